//! See the Markdown beside this file.

use chrono::{Datelike, NaiveDate};
use rustc_hash::FxHashSet;

use super::asked::ROUNDS;
use super::{Ahead, Check, Findings, scene};
use crate::finding::Level;
use crate::journal::{BlockId, Ground, ProgramId, ProgramStart, stage_words};
use crate::season::Season;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "stage-unknown",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A growth stage one letter away from the one that a program waits for",
    explain: include_str!("stage_unknown.md"),
    run,
};

/// A shorter word is no slip for another.
const SHORTEST: usize = 5;

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, ROUNDS, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    let journal = season.journal;
    let waiting: Vec<(ProgramId, &str, Span)> = journal
        .programs
        .iter()
        .enumerate()
        .filter_map(|(id, program)| match program.start.as_ref() {
            Some(start) => match &start.value {
                ProgramStart::Stage(stage) => Some((ProgramId(id as u32), &**stage, start.span)),
                ProgramStart::Day(_) | ProgramStart::Bbch(_) | ProgramStart::Seen(_) => None,
            },
            None => None,
        })
        .collect();
    if waiting.is_empty() {
        return;
    }
    let seen: FxHashSet<(ProgramId, BlockId, i32)> =
        season.runs.iter().filter_map(|run| Some((run.program, run.block, run.anchor?.0.year()))).collect();
    let observed = journal.observations.iter().filter_map(|seen| Some((seen.at.day, seen.stage?, &seen.ground)));
    let sprayed = journal.sprays.iter().filter_map(|spray| Some((spray.at.day, spray.stage?, &spray.ground)));
    let mut known = FxHashSet::default();
    let sights: Vec<(NaiveDate, Span, &Ground)> = observed.chain(sprayed).collect();
    for (day, at, ground) in sights {
        let words = stage_words(season.words(at));
        for &(id, stage, start) in waiting.iter().filter(|(_, stage, _)| is_slip(&words, stage)) {
            let program = journal.program(id);
            let waits = |block: BlockId| {
                program.blocks.iter().any(|one| one.id == Some(block)) && !seen.contains(&(id, block, day.year()))
            };
            let blocks: Vec<BlockId> = scene::ids(&ground.blocks).filter(|block| waits(*block)).collect();
            if blocks.is_empty() || !known.insert((id, at)) {
                continue;
            }
            let place = scene::named(season, blocks.into_iter());
            let headline =
                format!("the stage `{words}` of {place} is not the `{stage}` that {} waits for", program.named.name);
            // Only what stands in front of the first comma is the stage.
            let first = season.words(at).split(',').next().unwrap_or_default().trim_end().len() as u32;
            found.add(
                found
                    .finding(at, headline)
                    .here("one letter away")
                    .label(start, "waits for this")
                    .help(format!("did you mean `{stage}`? As it is, the program does not begin here"))
                    .edit(Span::new(at.start, at.start + first), stage)
                    .source("common practice, no source"),
            );
        }
    }
}

/// One letter too many, too few or wrong, or two changed over; numbers are never slips for one another.
fn is_slip(words: &str, stage: &str) -> bool {
    let letters = |words: &str| words.chars().filter(|sign| !sign.is_ascii_digit()).collect::<String>();
    words.len().min(stage.len()) >= SHORTEST
        && words.len().abs_diff(stage.len()) <= 4
        && strsim::osa_distance(words, stage) == 1
        && letters(words) != letters(stage)
}
