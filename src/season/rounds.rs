//! Programs against what was done: which sprays were the rounds of which program on which block.

use chrono::NaiveDate;

use super::SprayFacts;
use crate::journal::{BlockId, Journal, ProgramId, ProgramStart, stage_words};
use crate::text::{Sources, Span};

/// A program on one block.
#[derive(Clone, Debug)]
pub struct Run {
    /// The program.
    pub program: ProgramId,
    /// The block.
    pub block: BlockId,
    /// The day the first round counts from, and where it is written: a start day, or the first sight of the stage.
    pub anchor: Option<(NaiveDate, Span)>,
    /// Its rounds, as places in the season's list of sprays, in the order of time.
    pub rounds: Vec<usize>,
}

/// Lays every program beside the sprays of its mix on its blocks, from its anchor on. Rounds before the anchor's year
/// belong to another season and are left out.
pub fn runs(journal: &Journal, sources: &Sources, sprays: &[SprayFacts], by_block: &[Vec<usize>]) -> Vec<Run> {
    let mut runs = Vec::new();
    for (index, program) in journal.programs.iter().enumerate() {
        let mix = program.mix.and_then(|mix| mix.id);
        for block in program.blocks.iter().filter_map(|block| block.id) {
            let rounds: Vec<usize> = by_block[block.index()]
                .iter()
                .copied()
                .filter(|&at| {
                    let spray = sprays[at].spray(journal);
                    mix.is_some()
                        && spray.mix.and_then(|used| used.mix.id) == mix
                        && spray.ground.blocks.iter().any(|named| named.id == Some(block))
                })
                .collect();
            let anchor = match program.start.as_ref().map(|start| (&start.value, start.span)) {
                Some((ProgramStart::Day(day), span)) => Some((*day, span)),
                Some((ProgramStart::Stage(stage), _)) => {
                    first_sight(journal, sources, &by_block[block.index()], sprays, block, stage)
                }
                None => None,
            };
            runs.push(Run { program: ProgramId(index as u32), block, anchor, rounds });
        }
    }
    runs
}

/// The first day on which a block was recorded at a stage: an observation or a spray whose stage begins with its words.
fn first_sight(
    journal: &Journal,
    sources: &Sources,
    sprays_here: &[usize],
    sprays: &[SprayFacts],
    block: BlockId,
    stage: &str,
) -> Option<(NaiveDate, Span)> {
    let is_stage = |span: Span| {
        let words = stage_words(sources.slice(span));
        words.strip_prefix(stage).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
    };
    let observed = journal.observations.iter().filter_map(|seen| {
        let stage = seen.stage?;
        (seen.ground.blocks.iter().any(|named| named.id == Some(block)) && is_stage(stage))
            .then_some((seen.at.day, stage))
    });
    let sprayed = sprays_here.iter().filter_map(|&at| {
        let spray = sprays[at].spray(journal);
        let stage = spray.stage?;
        is_stage(stage).then_some((spray.at.day, stage))
    });
    observed.chain(sprayed).min_by_key(|&(day, span)| (day, span))
}
