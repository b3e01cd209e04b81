//! Programs against what was done: which sprays were the rounds of which program on which block.

use chrono::{Datelike, Days, NaiveDate};

use super::anchors::Anchors;
use super::rows::{disjoint, rows_of};
use super::{Rows, SprayFacts};
use crate::journal::{BlockId, Journal, Program, ProgramId, ProgramStart};
use crate::quantity::Exact;
use crate::text::{Sources, Span};

/// One run of a program on one block: rounds that follow one another. A pause of more than three times the longest
/// interval, and more than 30 days (180 where the program sets no interval), ends a run.
#[derive(Clone, Debug)]
pub struct Run {
    /// The program.
    pub program: ProgramId,
    /// The block.
    pub block: BlockId,
    /// Which run it is of the program on the block, from 0.
    pub number: usize,
    /// The day the first round counts from, and where it is written: a start day, or the first sight in that year of what
    /// the program waits for.
    pub anchor: Option<(NaiveDate, Span)>,
    /// Its rounds that were sprayed, each as the place of its first spray in the season's list, in the order of time. A
    /// tank sprayed over a block in several pieces (on one day, or other rows within the shortest interval) is one round.
    pub rounds: Vec<usize>,
    /// All of its rounds in the order of time, those with them that were left out on purpose.
    pub steps: Vec<RoundStep>,
}

/// A round of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RoundStep {
    /// The day it was sprayed, or decided to leave it out.
    pub day: NaiveDate,
    /// What became of it.
    pub taken: Taken,
}

/// What became of a round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Taken {
    /// It was sprayed: the place of its first spray in the season's list.
    Sprayed(usize),
    /// It was left out on purpose: a place in [`Journal::skips`].
    Skipped(usize),
}

/// The days on which a round is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Due {
    /// The first.
    pub first: NaiveDate,
    /// The last.
    pub last: NaiveDate,
}

/// How many days from its start day, or from the first sight of its stage, a program's first round may come: common
/// practice, no source.
const FIRST_ROUND_WITHIN: u64 = 3;
/// How many days off a round may be where the program gives one interval rather than a range: common practice, no source.
const GIVE: i64 = 1;
/// A shorter pause than this many days never ends a run.
const LEAST_PAUSE: i64 = 30;
/// The pause that ends a run of a program without an interval.
const PAUSE_WITHOUT_INTERVAL: i64 = 180;
/// Within how many days other rows belong to the same round where a program has no interval, and within how many days a
/// spray that was broken off is finished.
const PIECES_WITHIN: i64 = 2;
/// How many pieces a round is looked through for at most.
const MOST_PIECES: usize = 64;

impl Run {
    /// When its first round was due: until three days after the anchor.
    pub fn first_due(&self) -> Option<Due> {
        let (first, _) = self.anchor?;
        Some(Due { first, last: first.checked_add_days(Days::new(FIRST_ROUND_WITHIN))? })
    }
}

/// When the next round is due after one on a day: not before the shortest interval and not after the longest, counted
/// in calendar days; a single interval has a day's give either way.
pub fn due_after(program: &Program, day: NaiveDate) -> Option<Due> {
    let (shortest, longest) = interval_days(program)?;
    let after = |days: i64| day.checked_add_days(Days::new(u64::try_from(days).ok()?));
    Some(Due { first: after(shortest)?, last: after(longest)? })
}

/// The fewest and the most days from round to round.
fn interval_days(program: &Program) -> Option<(i64, i64)> {
    let (shortest, longest) = program.every?.value;
    let give = if shortest == longest { GIVE } else { 0 };
    let days = |seconds: Exact| seconds.div(Exact::int(86_400));
    let shortest = i64::try_from(days(shortest)?.ceil()).ok()?.saturating_sub(give).max(0);
    let longest = i64::try_from(days(longest)?.floor()).ok()?.saturating_add(give);
    Some((shortest, longest))
}

/// Lays every program beside the sprays of its mix on its blocks.
pub(super) fn runs(
    journal: &Journal,
    sources: &Sources,
    sprays: &[SprayFacts],
    by_block: &[Vec<usize>],
    anchors: &Anchors,
) -> Vec<Run> {
    let skips = skips(journal);
    let mut runs = Vec::new();
    for (index, program) in journal.programs.iter().enumerate() {
        let id = ProgramId::at(index);
        let Some(mix) = program.mix.and_then(|mix| mix.id) else { continue };
        for block in program.blocks.iter().filter_map(|block| block.id) {
            let of_mix = by_block[block.index()].iter().copied().filter(|&at| {
                let spray = sprays[at].spray(journal);
                spray.mix.and_then(|used| used.mix.id) == Some(mix)
                    && spray.ground.blocks.iter().any(|named| named.id == Some(block))
            });
            let sprayed = rounds(journal, program, sprays, of_mix)
                .into_iter()
                .map(|at| RoundStep { day: sprays[at].start.local.date(), taken: Taken::Sprayed(at) });
            let mut steps: Vec<RoundStep> = sprayed.collect();
            let from = skips.partition_point(|&(key, ..)| key < (id, block));
            let left_out = skips[from..].iter().take_while(|&&(key, ..)| key == (id, block));
            for &(_, day, skip) in left_out {
                // A round that was sprayed on that day was not left out.
                if steps.iter().all(|step| step.day != day) {
                    steps.push(RoundStep { day, taken: Taken::Skipped(skip) });
                }
            }
            steps.sort_by_key(|step| (step.day, step.taken));
            let anchors = anchors.of(journal, sources, program, block);
            let found = split(program, &steps, &anchors).into_iter().enumerate();
            runs.extend(found.map(|(number, (anchor, steps))| {
                let sprayed = steps.iter().filter_map(|step| match step.taken {
                    Taken::Sprayed(at) => Some(at),
                    Taken::Skipped(_) => None,
                });
                Run { program: id, block, number, anchor, rounds: sprayed.collect(), steps }
            }));
        }
    }
    runs
}

/// A round left out: of which program on which block, when, and its place in [`Journal::skips`].
type Skipped = ((ProgramId, BlockId), NaiveDate, usize);

/// Every round that was left out, in the order of programs, blocks and days.
fn skips(journal: &Journal) -> Vec<Skipped> {
    let each = journal.skips.iter().enumerate().filter_map(|(at, skip)| Some((at, skip, skip.program?.id?)));
    let mut skips: Vec<Skipped> = each
        .flat_map(|(at, skip, program)| {
            let blocks = skip.ground.blocks.iter().filter_map(|block| block.id);
            blocks.map(move |block| ((program, block), skip.at.day, at))
        })
        .collect();
    skips.sort_unstable();
    skips
}

/// The rounds among the sprays of a mix on a block: pieces of one round put together.
fn rounds(
    journal: &Journal,
    program: &Program,
    sprays: &[SprayFacts],
    of_mix: impl Iterator<Item = usize>,
) -> Vec<usize> {
    let pieces_within = interval_days(program).map_or(PIECES_WITHIN, |(shortest, _)| shortest - 1);
    let mut rounds = Vec::new();
    // The first day of the round, its rows so far, and the day and the end of its latest piece.
    let mut open: Option<(NaiveDate, Vec<Rows<'_>>, NaiveDate, bool)> = None;
    for at in of_mix {
        let spray = sprays[at].spray(journal);
        let (day, rows) = (sprays[at].start.local.date(), rows_of(&spray.ground));
        if let Some((first, taken, latest, stopped)) = &mut open {
            let days = day.signed_duration_since(*first).num_days();
            let same_day = day == *first || day == *latest;
            let other_rows =
                days <= pieces_within && taken.len() < MOST_PIECES && taken.iter().all(|taken| disjoint(*taken, rows));
            let finished = *stopped && day.signed_duration_since(*latest).num_days() <= PIECES_WITHIN;
            if same_day || other_rows || finished {
                taken.push(rows);
                (*latest, *stopped) = (day, spray.stopped.is_some());
                continue;
            }
        }
        rounds.push(at);
        open = Some((day, vec![rows], day, spray.stopped.is_some()));
    }
    rounds
}

/// Cuts rounds into runs at the long pauses, and gives every anchor its run: the one with a round about that day, or
/// else a run without rounds. Runs before a program's start day are of no program, nor are those of later years, nor
/// those of a year without the sight that the program starts with.
fn split(program: &Program, rounds: &[RoundStep], anchors: &[(NaiveDate, Span)]) -> Vec<Found> {
    let longest = interval_days(program).map(|(_, longest)| longest);
    let pause = pause_of(longest);
    // A program with a start is of that year: beyond New Year it only goes on without a pause.
    let over_new_year = longest.unwrap_or_default().max(LEAST_PAUSE);
    let start = program.start.as_ref().map(|start| &start.value);
    let of_one_year = |from: NaiveDate, to: NaiveDate| match start {
        Some(ProgramStart::Day(start)) => to.year() <= start.year(),
        Some(_) => to.year() == from.year(),
        None => true,
    };
    let goes_on = |from: NaiveDate, to: NaiveDate| {
        let days = to.signed_duration_since(from).num_days();
        days <= pause && (days.abs() <= over_new_year || of_one_year(from, to))
    };
    // The stage may be written down some days after the first round.
    let lead = longest.unwrap_or_default().clamp(14, LEAST_PAUSE);
    let mut runs: Vec<Found> = Vec::new();
    for &round in rounds {
        match runs.last_mut() {
            Some((_, run)) if run.last().is_some_and(|last| goes_on(last.day, round.day)) => {
                run.push(round);
            }
            _ => runs.push((None, vec![round])),
        }
    }
    for &anchor in anchors {
        let about = |round: &RoundStep| {
            round.day.signed_duration_since(anchor.0).num_days() >= -lead && goes_on(anchor.0, round.day)
        };
        match runs.iter_mut().find(|(known, run)| known.is_none() && run.iter().any(about)) {
            Some((known, _)) => *known = Some(anchor),
            None => runs.push((Some(anchor), Vec::new())),
        }
    }
    match start {
        Some(ProgramStart::Day(start)) => runs.retain(|(anchor, run)| {
            let first = run.first().map(|round| round.day);
            anchor.is_some() || first.is_some_and(|first| first >= *start && first.year() == start.year())
        }),
        // Where the sight was not written down in a year, whether the program began is not known.
        Some(_) => runs.retain(|(anchor, run)| {
            let first = run.first().map(|round| round.day.year());
            anchor.is_some() || anchors.binary_search_by_key(&first, |(day, _)| Some(day.year())).is_ok()
        }),
        None => {}
    }
    let began = |run: &Found| run.1.first().map(|round| round.day).into_iter().chain(run.0.map(|(day, _)| day)).min();
    runs.sort_by_key(|run| began(run));
    runs
}

/// The pause that ends a run, in days, by the longest interval.
fn pause_of(longest: Option<i64>) -> i64 {
    longest.map_or(PAUSE_WITHOUT_INTERVAL, |longest| longest.saturating_mul(3).max(LEAST_PAUSE))
}

/// How long a pause ends a run of a program, in days.
pub fn pause(program: &Program) -> i64 {
    pause_of(interval_days(program).map(|(_, longest)| longest))
}

/// A run before it has its number: its anchor and its rounds.
type Found = (Option<(NaiveDate, Span)>, Vec<RoundStep>);
