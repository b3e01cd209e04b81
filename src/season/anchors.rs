//! The days that programs count from: a start day, or the first sight in a year of what they wait for.

use chrono::{Datelike, NaiveDate};

use super::SprayFacts;
use crate::journal::{BlockId, Journal, Observation, Program, ProgramStart, Sight, stage_words};
use crate::quantity::Exact;
use crate::text::{Sources, Span};
use crate::trade::code_of;

/// A stage of a block that was written down.
#[derive(Clone, Debug)]
struct StageSeen {
    day: NaiveDate,
    at: Span,
    /// Its words as stages are compared.
    words: String,
    /// Its BBCH code, where the words or the crop's scale have one.
    code: Option<u8>,
}

/// A growth stage with a code, as it was written down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CodeSeen {
    /// The day.
    pub day: NaiveDate,
    /// The BBCH code.
    pub code: u8,
    /// Where the stage is written.
    pub at: Span,
}

/// What programs wait for, by block: stages written down, and observations.
#[derive(Debug, Default)]
pub struct Anchors {
    stages: Vec<Vec<StageSeen>>,
    /// Places in the journal's list of observations.
    looks: Vec<Vec<usize>>,
}

impl Anchors {
    /// Gathers what the programs of a journal wait for; nothing is gathered that none waits for.
    pub(super) fn new(journal: &Journal, sources: &Sources, sprays: &[SprayFacts]) -> Self {
        let waits = |for_it: fn(&ProgramStart) -> bool| {
            journal.programs.iter().filter_map(|program| program.start.as_ref()).any(|start| for_it(&start.value))
        };
        let stages = waits(|start| matches!(start, ProgramStart::Stage(_) | ProgramStart::Bbch(_)))
            || journal.programs.iter().any(|program| program.window.is_some());
        let looks = waits(|start| matches!(start, ProgramStart::Seen(_)));
        Self {
            stages: if stages { stages_seen(journal, sources, sprays) } else { Vec::new() },
            looks: if looks { looks_at(journal) } else { Vec::new() },
        }
    }

    /// The days that a program counts from on a block, in the order of time, a year at most once, each with the place
    /// where it is written.
    pub(super) fn of(
        &self,
        journal: &Journal,
        sources: &Sources,
        program: &Program,
        block: BlockId,
    ) -> Vec<(NaiveDate, Span)> {
        let Some(start) = &program.start else { return Vec::new() };
        let stages = || self.stages.get(block.index()).into_iter().flatten();
        let looks = || self.looks.get(block.index()).into_iter().flatten().map(|&at| &journal.observations[at]);
        match &start.value {
            ProgramStart::Day(day) => vec![(*day, start.span)],
            ProgramStart::Stage(stage) => {
                firsts(stages().filter(|seen| begins_with(&seen.words, stage)).map(|seen| (seen.day, seen.at)))
            }
            ProgramStart::Bbch(code) => {
                firsts(stages().filter(|seen| seen.code >= Some(*code)).map(|seen| (seen.day, seen.at)))
            }
            ProgramStart::Seen(sight) => {
                firsts(looks().filter_map(|seen| Some((seen.at.day, over(sources, seen, sight)?))))
            }
        }
    }

    /// The latest stage with a code that was written down of a block up to a day of the same year.
    pub fn code_at(&self, block: BlockId, day: NaiveDate) -> Option<CodeSeen> {
        let seen = self.stages.get(block.index())?;
        let here = seen.iter().filter(|seen| seen.day <= day && seen.day.year() == day.year());
        here.filter_map(|seen| Some(CodeSeen { day: seen.day, code: seen.code?, at: seen.at }))
            .max_by_key(|seen| (seen.day, seen.code))
    }
}

/// Whether the words of a stage begin with those that are waited for.
fn begins_with(words: &str, stage: &str) -> bool {
    words.strip_prefix(stage).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
}

/// The first of each year.
fn firsts(seen: impl Iterator<Item = (NaiveDate, Span)>) -> Vec<(NaiveDate, Span)> {
    let mut seen: Vec<(NaiveDate, Span)> = seen.collect();
    seen.sort_unstable();
    seen.dedup_by_key(|(day, _)| day.year());
    seen
}

/// Where an observation says that there was more of something than so many percent.
fn over(sources: &Sources, seen: &Observation, sight: &Sight) -> Option<Span> {
    let is = |what: Span| sources.slice(what).trim().to_lowercase() == *sight.what;
    if sight.severity {
        let mut over = seen.severity.iter().filter(|one| is(one.what) && one.percent > sight.over);
        return over.next().map(|one| one.span);
    }
    let more = |found: u32, of: u32| {
        let hundredfold = Exact::int(i64::from(found) * 100);
        of > 0 && sight.over.mul(Exact::int(i64::from(of))).is_some_and(|limit| hundredfold > limit)
    };
    seen.incidence.iter().find(|one| is(one.what) && more(one.found, one.of)).map(|one| one.span)
}

/// For each block, the stages written down, by observations and sprays.
fn stages_seen(journal: &Journal, sources: &Sources, sprays: &[SprayFacts]) -> Vec<Vec<StageSeen>> {
    let mut stages: Vec<Vec<StageSeen>> = vec![Vec::new(); journal.blocks.len()];
    let observed = journal.observations.iter().filter_map(|seen| Some((seen.at.day, seen.stage?, &seen.ground)));
    let sprayed = sprays.iter().filter_map(|facts| {
        let spray = facts.spray(journal);
        Some((spray.at.day, spray.stage?, &spray.ground))
    });
    for (day, at, ground) in observed.chain(sprayed) {
        let written = sources.slice(at);
        let words = stage_words(written);
        for block in ground.blocks.iter().filter_map(|block| block.id) {
            let crop = journal.block(block).crop.as_ref().map(|crop| &*crop.value);
            let code = code_of(crop, written);
            stages[block.index()].push(StageSeen { day, at, words: words.clone(), code });
        }
    }
    stages
}

/// For each block, the observations of it.
fn looks_at(journal: &Journal) -> Vec<Vec<usize>> {
    let mut looks: Vec<Vec<usize>> = vec![Vec::new(); journal.blocks.len()];
    for (at, seen) in journal.observations.iter().enumerate() {
        for block in seen.ground.blocks.iter().filter_map(|block| block.id) {
            looks[block.index()].push(at);
        }
    }
    looks
}
