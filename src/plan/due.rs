//! Which rounds each program has left on each block, and when the next one is due.

use chrono::{Datelike, Days, NaiveDate};
use rustc_hash::FxHashSet;

use crate::journal::{BlockId, Program, ProgramId};
use crate::season::{CodeSeen, Due, NextDue, Rained, RoundStep, Run, Season, due_after, pause};

/// A program on a block as it stands on a day.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// The program.
    pub program: ProgramId,
    /// The block.
    pub block: BlockId,
    /// The rounds sprayed and skipped, in the order of time.
    pub steps: Vec<RoundStep>,
    /// The day that the first round counts from.
    pub anchor: Option<NaiveDate>,
    /// How far it has come.
    pub phase: Phase,
}

/// How far a program has come on a block.
#[derive(Clone, Debug, PartialEq)]
pub enum Phase {
    /// It has not begun.
    Waits(Waits),
    /// A round is to come; its window.
    Next(Window),
    /// All rounds are done or skipped.
    Done,
    /// It ended with rounds left: the next one's time is long past, or over by the program's own words.
    Ended(Ended),
}

/// What a program waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Waits {
    /// What it starts with was not seen this year.
    Sight,
    /// It does not say when it begins, and no round was sprayed.
    Start,
    /// It has no interval from round to round.
    Interval,
}

/// Why a program ended with rounds left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// The next round would come after the last day of its rounds.
    Until(NaiveDate),
    /// The block is past the growth stages of its rounds.
    Stage(CodeSeen),
    /// The next round was due so long ago that it belongs to the program no more.
    LongPast(Due),
}

/// The days on which a round may be sprayed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Which round, from 1.
    pub number: usize,
    /// The days.
    pub due: Due,
    /// Whether the program may do without it.
    pub optional: bool,
    /// What rain changed about the days.
    pub rained: Option<Rained>,
}

/// Every program on every block of it, in the order of the journal.
pub fn outlooks(season: &Season<'_>, today: NaiveDate) -> Vec<Outlook> {
    let mut outlooks = Vec::new();
    let key = |run: &&Run| (run.program, run.block);
    let mut runs: Vec<&Run> = season.runs.iter().collect();
    runs.sort_by_key(|run| (key(run), run.number));
    for (index, program) in season.journal.programs.iter().enumerate() {
        let id = ProgramId::at(index);
        if program.mix.and_then(|mix| mix.id).is_none() {
            continue;
        }
        let mut blocks: Vec<BlockId> = program.blocks.iter().filter_map(|block| block.id).collect();
        let mut seen = FxHashSet::default();
        blocks.retain(|block| seen.insert(*block));
        for block in blocks {
            let from = runs.partition_point(|run| key(run) < (id, block));
            let of_block = runs[from..].iter().take_while(|run| key(run) == (id, block));
            let latest = of_block
                .filter(|run| {
                    let began = run.steps.last().map(|step| step.day).or(run.anchor.map(|(day, _)| day));
                    began.is_some_and(|day| is_current(program, day, today))
                })
                .last();
            outlooks.push(match latest {
                Some(run) => {
                    let steps: Vec<RoundStep> = run.steps.iter().copied().filter(|step| step.day <= today).collect();
                    let next = match steps.last() {
                        Some(last) => season.next_due(run, last.day),
                        None => run.first_due().map(|due| NextDue { due, rained: None }),
                    };
                    let phase = phase(season, program, block, steps.len(), next, today);
                    Outlook { program: id, block, steps, anchor: run.anchor.map(|(day, _)| day), phase }
                }
                None => {
                    let waits = if program.start.is_some() { Waits::Sight } else { Waits::Start };
                    Outlook { program: id, block, steps: Vec::new(), anchor: None, phase: Phase::Waits(waits) }
                }
            });
        }
    }
    outlooks
}

/// Whether a run whose latest day is that is this year's.
fn is_current(program: &Program, latest: NaiveDate, today: NaiveDate) -> bool {
    latest.year() >= today.year() || today.signed_duration_since(latest).num_days() <= pause(program)
}

fn phase(
    season: &Season<'_>,
    program: &Program,
    block: BlockId,
    taken: usize,
    next: Option<NextDue>,
    today: NaiveDate,
) -> Phase {
    if rounds_of(program).is_some_and(|(_, most)| taken >= most) {
        return Phase::Done;
    }
    let Some(next) = next else {
        return Phase::Waits(if taken > 0 { Waits::Interval } else { Waits::Start });
    };
    let window = window(program, taken + 1, next.due, next.rained);
    if let Some((_, last)) = program.window.map(|window| window.value)
        && let Some(seen) = season.anchors.code_at(block, today).filter(|seen| seen.code > last)
    {
        return over(&window, Ended::Stage(seen));
    }
    let Some(window) = window_until(program, window) else {
        let until = program.until.map_or(today, |until| until.value);
        return over(&window, Ended::Until(until));
    };
    let late = today.signed_duration_since(window.due.last).num_days();
    if late > pause(program) || late > 0 && window.optional {
        return over(&window, Ended::LongPast(window.due));
    }
    Phase::Next(window)
}

/// A program that goes on no more: done where its next round was one that it may do without.
fn over(window: &Window, why: Ended) -> Phase {
    if window.optional { Phase::Done } else { Phase::Ended(why) }
}

/// The fewest and the most rounds of a program.
pub(super) fn rounds_of(program: &Program) -> Option<(usize, usize)> {
    program.rounds.map(|rounds| (rounds.value.0 as usize, rounds.value.1 as usize))
}

fn window(program: &Program, number: usize, due: Due, rained: Option<Rained>) -> Window {
    let optional = rounds_of(program).is_some_and(|(fewest, _)| number > fewest);
    Window { number, due, optional, rained }
}

/// A window cut off behind the last day of the program's rounds; nothing where none of it is left.
fn window_until(program: &Program, window: Window) -> Option<Window> {
    let Some(until) = program.until else { return Some(window) };
    let due = Due { first: window.due.first, last: window.due.last.min(until.value) };
    (due.first <= due.last).then_some(Window { due, ..window })
}

/// The window of the round after one that is planned for a day; nothing where the program has no more, or sets no interval.
pub(super) fn after(program: &Program, number: usize, day: NaiveDate) -> Option<Window> {
    // A program that does not say how many rounds it has is planned one round ahead.
    let (_, most) = rounds_of(program)?;
    if number >= most {
        return None;
    }
    window_until(program, window(program, number + 1, due_after(program, day)?, None))
}

/// How many days ahead an overdue round is tried.
const LATE_ROUND_WITHIN: u64 = 14;

/// The days on which a round can still be sprayed, from today on: its window, or the two weeks to come where that is past.
pub(super) fn days_left(program: &Program, window: &Window, today: NaiveDate) -> (NaiveDate, NaiveDate) {
    let first = window.due.first.max(today);
    let late = today.checked_add_days(Days::new(LATE_ROUND_WITHIN)).unwrap_or(today);
    let last = if window.due.last < today { late } else { window.due.last };
    let last = program.until.map_or(last, |until| last.min(until.value));
    (first, last.max(first))
}
