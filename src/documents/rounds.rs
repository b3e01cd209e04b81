//! Rounds planned and done, and those that were late or missed and why.

use chrono::{Days, NaiveDate};
use serde::Serialize;

use super::book::Book;
use super::findings::FindingView;
use super::words::{day, day_short};
use crate::journal::{BlockId, Program, ProgramStart};
use crate::quantity::Exact;
use crate::season::{RoundStep, Run, Taken};

/// Findings that are about the timing of rounds.
const ROUND_CODES: &[&str] = &["round-late", "round-early", "rounds-missed", "rounds-extra"];

/// A program on a block.
#[derive(Clone, Debug, Serialize)]
pub struct RunView {
    /// The program.
    pub program: String,
    /// The block.
    pub block: String,
    /// What was planned, as written.
    pub planned: String,
    /// From when rounds count: a day, or a stage and the day it was seen.
    pub start: String,
    /// The rounds that were done.
    pub done: Vec<RoundDone>,
    /// The rounds that were left out on purpose, with the day and the reason.
    pub skipped: Vec<String>,
    /// How many were done, of how many: `3 of 3 to 4`.
    pub count: String,
}

/// A round that was done.
#[derive(Clone, Debug, Serialize)]
pub struct RoundDone {
    /// Its number.
    pub number: usize,
    /// Its day.
    pub day: String,
    /// Days since the round before.
    pub gap: Option<i64>,
}

/// A stretch of days in which a round is planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Window {
    /// Which round, from one.
    pub number: usize,
    /// The first day.
    pub first: NaiveDate,
    /// The last day.
    pub last: NaiveDate,
    /// When it was done, if it was.
    pub done: Option<NaiveDate>,
    /// When it was decided to leave it out, if it was.
    pub skipped: Option<NaiveDate>,
}

/// The programs of the part to show, in the order of the journal.
pub(super) fn runs(book: &Book<'_>) -> Vec<RunView> {
    let season = book.season;
    let mut views: Vec<RunView> =
        season.runs.iter().filter(|run| book.scope.has_block(run.block)).map(|run| run_view(book, run)).collect();
    // A program without a run on a block is shown too: its stage was not recorded, so that no spray counts as a round.
    for (at, program) in book.journal().programs.iter().enumerate() {
        let Some(waits_for) = program.start.as_ref().and_then(|start| waits_for(&start.value)) else { continue };
        for block in program.blocks.iter().filter_map(|block| block.id).filter(|&block| book.scope.has_block(block)) {
            if season.runs.iter().any(|run| run.program.index() == at && run.block == block) {
                continue;
            }
            views.push(RunView {
                program: program.named.shown().to_string(),
                block: book.block(block).to_string(),
                planned: planned(program),
                start: waits_for.clone(),
                count: "not counted".to_string(),
                done: Vec::new(),
                skipped: Vec::new(),
            });
        }
    }
    views
}

fn run_view(book: &Book<'_>, run: &Run) -> RunView {
    let program = book.journal().program(run.program);
    let steps = steps_of(book, run);
    let mut before: Option<NaiveDate> = None;
    let (mut done, mut skipped, mut sprayed) = (Vec::new(), Vec::new(), 0);
    for (index, step) in steps.iter().enumerate() {
        let gap = before.replace(step.day).map(|before| step.day.signed_duration_since(before).num_days());
        let shown = book.scope.has_day(step.day);
        match step.taken {
            Taken::Sprayed(_) => {
                sprayed += 1;
                done.extend(shown.then(|| RoundDone { number: index + 1, day: day_short(step.day), gap }));
            }
            Taken::Skipped(at) if shown => skipped.push(skip_words(book, index + 1, step.day, at)),
            Taken::Skipped(_) => {}
        }
    }
    RunView {
        program: program.named.shown().to_string(),
        block: book.block(run.block).to_string(),
        planned: planned(program),
        start: start(run, program),
        count: count_words(sprayed, program),
        done,
        skipped,
    }
}

/// `round 2 skipped 24 May: too hot`.
fn skip_words(book: &Book<'_>, number: usize, on: NaiveDate, skip: usize) -> String {
    match book.some_words(book.journal().skips[skip].reason) {
        Some(reason) => format!("round {number} skipped {}: {reason}", day_short(on)),
        None => format!("round {number} skipped {}, reason not recorded", day_short(on)),
    }
}

/// The rounds of a run from its anchor on, each with the day of its page.
fn steps_of(book: &Book<'_>, run: &Run) -> Vec<RoundStep> {
    let on_page = |step: &RoundStep| match step.taken {
        Taken::Sprayed(at) => RoundStep { day: book.season.sprays[at].spray(book.journal()).at.day, ..*step },
        Taken::Skipped(_) => *step,
    };
    let steps = run.steps.iter().map(on_page);
    steps.filter(|step| run.anchor.is_none_or(|(anchor, _)| step.day >= anchor)).collect()
}

/// `2 of 3 to 4`.
pub(super) fn count_words(done: usize, program: &Program) -> String {
    match program.rounds.map(|rounds| rounds.value) {
        Some((fewest, most)) if fewest == most => format!("{done} of {most}"),
        Some((fewest, most)) => format!("{done} of {fewest} to {most}"),
        None => done.to_string(),
    }
}

fn planned(program: &Program) -> String {
    let rounds = program.rounds.map(|rounds| match rounds.value {
        (fewest, most) if fewest == most => format!("{most} rounds"),
        (fewest, most) => format!("{fewest} to {most} rounds"),
    });
    let every = program.every.and_then(|every| {
        let (least, most) = (in_days(every.value.0)?, in_days(every.value.1)?);
        Some(if least == most { format!("every {least} days") } else { format!("every {least} to {most} days") })
    });
    let parts: Vec<String> = [rounds, every].into_iter().flatten().collect();
    if parts.is_empty() { "not written".to_string() } else { parts.join(", ") }
}

fn start(run: &Run, program: &Program) -> String {
    match (program.start.as_ref().map(|start| &start.value), run.anchor) {
        (Some(ProgramStart::Day(start)), _) => day(*start),
        (Some(ProgramStart::Stage(stage)), Some((seen, _))) => format!("{stage}, seen {}", day(seen)),
        // There are rounds, or there would be no run: the stage was there and was not written down.
        (Some(start), _) => waits_for(start).unwrap_or_default(),
        (None, _) => "not written".to_string(),
    }
}

/// What a program waits for that was not recorded; nothing for one that begins on a day.
fn waits_for(start: &ProgramStart) -> Option<String> {
    match start {
        ProgramStart::Day(_) => None,
        ProgramStart::Stage(stage) => Some(format!("{stage}, stage not recorded")),
        ProgramStart::Bbch(code) => Some(format!("BBCH {code:02}, stage not recorded")),
        ProgramStart::Seen(sight) => {
            let how = if sight.severity { "severity" } else { "incidence" };
            Some(format!("{how} of {} over {} %, not recorded", sight.what, sight.over))
        }
    }
}

/// Whole days, rounded up.
fn in_days(seconds: Exact) -> Option<i64> {
    i64::try_from(seconds.div(Exact::int(86_400))?.ceil()).ok()
}

/// When each round of a run was due: the first on its anchor, each later one counted from the round before it, or from
/// where that round should have been.
pub(super) fn windows(book: &Book<'_>, run: &Run) -> Vec<Window> {
    let program = book.journal().program(run.program);
    let (Some((anchor, _)), Some(every), Some(rounds)) = (run.anchor, program.every, program.rounds) else {
        return Vec::new();
    };
    let (Some(least), Some(most)) = (in_days(every.value.0), in_days(every.value.1)) else { return Vec::new() };
    let done = steps_of(book, run);
    let later =
        |day: NaiveDate, days: i64| u64::try_from(days).ok().and_then(|days| day.checked_add_days(Days::new(days)));
    let mut windows = Vec::new();
    let (mut first, mut last) = (anchor, anchor);
    // No journal holds more rounds than that; a slip in the number must not fill the page.
    const MOST: usize = 60;
    for number in 1..=(rounds.value.0 as usize).max(done.len()).min(MOST) {
        let round = done.get(number - 1).copied();
        let sprayed = |step: &RoundStep| matches!(step.taken, Taken::Sprayed(_));
        let when = |wanted: bool| round.filter(|step| sprayed(step) == wanted).map(|step| step.day);
        windows.push(Window { number, first, last, done: when(true), skipped: when(false) });
        let (from, to) = round.map_or((first, last), |step| (step.day, step.day));
        let (Some(next_first), Some(next_last)) = (later(from, least), later(to, most)) else { break };
        (first, last) = (next_first, next_last);
    }
    windows
}

/// Rounds that were late, early, missed or too many, with the reason where one was written.
pub(super) fn off_plan(book: &Book<'_>) -> Vec<FindingView> {
    let about_rounds = |code: &str| ROUND_CODES.contains(&code);
    let mut entries: Vec<crate::text::Span> = book.sprays().map(|facts| facts.spray(book.journal()).at.entry).collect();
    entries.extend(
        book.season
            .runs
            .iter()
            .filter(|run| book.scope.has_block(run.block))
            .map(|run| book.journal().program(run.program).named.entry),
    );
    let mut found: Vec<_> = entries.into_iter().flat_map(|entry| book.findings_at(entry)).collect();
    found.retain(|finding| about_rounds(finding.code));
    found.sort_by_key(|finding| (finding.span().start, finding.code, finding.headline.clone()));
    found.dedup();
    found.into_iter().map(|finding| FindingView::new(book, finding)).collect()
}

/// For each spray: the block, the number of the round and the program (as a place in the journal) that it was.
pub(super) fn round_names(book: &Book<'_>) -> Vec<Vec<(BlockId, usize, usize)>> {
    let mut names = vec![Vec::new(); book.season.sprays.len()];
    for run in &book.season.runs {
        for (index, step) in steps_of(book, run).into_iter().enumerate() {
            if let Taken::Sprayed(at) = step.taken {
                names[at].push((run.block, index + 1, run.program.index()));
            }
        }
    }
    names
}
