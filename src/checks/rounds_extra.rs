//! See the Markdown beside this file.

use super::asked::ROUNDS;
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::{BlockId, ProgramId};
use crate::season::Season;
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "rounds-extra",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "More rounds than the program has",
    explain: include_str!("rounds_extra.md"),
    run,
};

/// A run with too many rounds.
struct Hit {
    /// The first spray that is too many.
    at: usize,
    program: ProgramId,
    rounds: usize,
    most: usize,
    first: usize,
    block: BlockId,
}

impl Hit {
    fn key(&self) -> (usize, ProgramId, usize, usize) {
        (self.at, self.program, self.rounds, self.first)
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, ROUNDS, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Spray) || season.lost(EntryWord::Observe) {
        return;
    }
    let mut hits: Vec<Hit> = Vec::new();
    for run in &season.runs {
        let Some(rounds) = season.journal.program(run.program).rounds else { continue };
        let most = rounds.value.1 as usize;
        if let (Some(&at), Some(&first)) = (run.rounds.get(most), run.rounds.first()) {
            hits.push(Hit { at, program: run.program, rounds: run.rounds.len(), most, first, block: run.block });
        }
    }
    hits.sort_by_key(|hit| (hit.key(), hit.block));
    for hits in hits.chunk_by(|one, other| one.key() == other.key()) {
        report(season, found, hits);
    }
}

fn report(season: &Season<'_>, found: &mut Findings, hits: &[Hit]) {
    let Hit { at, program, rounds, most, first, .. } = hits[0];
    let program = season.journal.program(program);
    let place = scene::named(season, hits.iter().map(|hit| hit.block));
    let headline = format!(
        "{place} had {} of {}; the program has at most {most}",
        scene::count(rounds, "round"),
        program.named.name
    );
    let (first, extra) = (&season.sprays[first], &season.sprays[at]);
    let mut finding = found
        .finding(extra.spray(season.journal).at.line, headline)
        .here(format!("round {}", most + 1))
        .label(first.spray(season.journal).at.line, "round 1 here");
    if let Some(rounds) = program.rounds {
        finding = finding.label(rounds.span, "rounds set here");
    }
    found.add(
        finding
            .working(format!(
                "round 1 was on {}, round {} on {}",
                say::day(first.start.local.date()),
                most + 1,
                say::day(extra.start.local.date())
            ))
            .help("if the sprays are right, note why, or change the program; the product labels may limit how many there may be")
            .source("the program is your own"),
    );
}
