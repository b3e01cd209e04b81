//! Programs against what was done: which sprays were the rounds of which program on which block.

use chrono::{Datelike, Days, NaiveDate};

use super::rows::{disjoint, rows_of};
use super::{Rows, SprayFacts};
use crate::journal::{BlockId, Journal, Program, ProgramId, ProgramStart, stage_words};
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
    /// The day the first round counts from, and where it is written: a start day, or the first sight of the stage in
    /// that year.
    pub anchor: Option<(NaiveDate, Span)>,
    /// Its rounds, each as the place of its first spray in the season's list, in the order of time. A tank sprayed over
    /// a block in several pieces (on one day, or other rows within the shortest interval) is one round.
    pub rounds: Vec<usize>,
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
pub fn runs(journal: &Journal, sources: &Sources, sprays: &[SprayFacts], by_block: &[Vec<usize>]) -> Vec<Run> {
    let by_stage =
        |program: &Program| matches!(&program.start, Some(start) if matches!(start.value, ProgramStart::Stage(_)));
    let sightings = match journal.programs.iter().any(by_stage) {
        true => sightings(journal, sources, sprays, by_block),
        false => Vec::new(),
    };
    let mut runs = Vec::new();
    for (index, program) in journal.programs.iter().enumerate() {
        let Some(mix) = program.mix.and_then(|mix| mix.id) else { continue };
        for block in program.blocks.iter().filter_map(|block| block.id) {
            let of_mix = by_block[block.index()].iter().copied().filter(|&at| {
                let spray = sprays[at].spray(journal);
                spray.mix.and_then(|used| used.mix.id) == Some(mix)
                    && spray.ground.blocks.iter().any(|named| named.id == Some(block))
            });
            let rounds = rounds(journal, program, sprays, of_mix);
            let anchors = match program.start.as_ref().map(|start| (&start.value, start.span)) {
                Some((ProgramStart::Day(day), span)) => vec![(*day, span)],
                Some((ProgramStart::Stage(stage), _)) => first_sights(&sightings[block.index()], stage),
                // Without a sight of them nobody knows that the program began, and nothing is counted.
                Some((ProgramStart::Bbch(_) | ProgramStart::Seen(_), _)) | None => Vec::new(),
            };
            let day = |at: usize| sprays[at].start.local.date();
            let found = split(program, &rounds, &anchors, day).into_iter().enumerate();
            runs.extend(found.map(|(number, (anchor, rounds))| Run {
                program: ProgramId(index as u32),
                block,
                number,
                anchor,
                rounds,
            }));
        }
    }
    runs
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
/// those of a year without the stage that the program starts with.
fn split(
    program: &Program,
    rounds: &[usize],
    anchors: &[(NaiveDate, Span)],
    day: impl Fn(usize) -> NaiveDate,
) -> Vec<Found> {
    let longest = interval_days(program).map(|(_, longest)| longest);
    let pause = longest.map_or(PAUSE_WITHOUT_INTERVAL, |longest| longest.saturating_mul(3).max(LEAST_PAUSE));
    // A program with a start is of that year: beyond New Year it only goes on without a pause.
    let over_new_year = longest.unwrap_or_default().max(LEAST_PAUSE);
    let of_one_year = |from: NaiveDate, to: NaiveDate| match program.start.as_ref().map(|start| &start.value) {
        Some(ProgramStart::Day(start)) => to.year() <= start.year(),
        Some(ProgramStart::Stage(_) | ProgramStart::Bbch(_) | ProgramStart::Seen(_)) => to.year() == from.year(),
        None => true,
    };
    let goes_on = |from: NaiveDate, to: NaiveDate| {
        let days = to.signed_duration_since(from).num_days();
        days <= pause && (days.abs() <= over_new_year || of_one_year(from, to))
    };
    // The stage may be written down some days after the first round.
    let lead = longest.unwrap_or_default().clamp(14, LEAST_PAUSE);
    let mut runs: Vec<Found> = Vec::new();
    for &at in rounds {
        match runs.last_mut() {
            Some((_, run)) if run.last().is_some_and(|&last| goes_on(day(last), day(at))) => {
                run.push(at);
            }
            _ => runs.push((None, vec![at])),
        }
    }
    for &anchor in anchors {
        let about =
            |at: usize| day(at).signed_duration_since(anchor.0).num_days() >= -lead && goes_on(anchor.0, day(at));
        match runs.iter_mut().find(|(known, run)| known.is_none() && run.iter().any(|&at| about(at))) {
            Some((known, _)) => *known = Some(anchor),
            None => runs.push((Some(anchor), Vec::new())),
        }
    }
    match program.start.as_ref().map(|start| &start.value) {
        Some(ProgramStart::Day(start)) => runs.retain(|(anchor, run)| {
            let first = run.first().map(|&at| day(at));
            anchor.is_some() || first.is_some_and(|first| first >= *start && first.year() == start.year())
        }),
        // Where the stage was not written down in a year, whether the program began is not known.
        Some(ProgramStart::Stage(_) | ProgramStart::Bbch(_) | ProgramStart::Seen(_)) => runs.retain(|(anchor, run)| {
            let first = run.first().map(|&at| day(at).year());
            anchor.is_some() || anchors.binary_search_by_key(&first, |(day, _)| Some(day.year())).is_ok()
        }),
        None => {}
    }
    let began = |run: &Found| run.1.first().map(|&at| day(at)).into_iter().chain(run.0.map(|(day, _)| day)).min();
    runs.sort_by_key(|run| began(run));
    runs
}

/// A run before it has its number: its anchor and its rounds.
type Found = (Option<(NaiveDate, Span)>, Vec<usize>);

/// A stage of a block that was written down: the day, where, and its words as stages are compared.
type Sighting = (NaiveDate, Span, String);

/// For each block, the stages written down, by observations and sprays.
fn sightings(
    journal: &Journal,
    sources: &Sources,
    sprays: &[SprayFacts],
    by_block: &[Vec<usize>],
) -> Vec<Vec<Sighting>> {
    let mut sightings: Vec<Vec<Sighting>> = vec![Vec::new(); by_block.len()];
    let observed = journal.observations.iter().filter_map(|seen| Some((seen.at.day, seen.stage?, &seen.ground)));
    let sprayed = sprays.iter().filter_map(|facts| {
        let spray = facts.spray(journal);
        Some((spray.at.day, spray.stage?, &spray.ground))
    });
    for (day, stage, ground) in observed.chain(sprayed) {
        let words = stage_words(sources.slice(stage));
        for block in ground.blocks.iter().filter_map(|block| block.id) {
            sightings[block.index()].push((day, stage, words.clone()));
        }
    }
    sightings
}

/// The first day of each year on which a block was recorded at a stage: one whose words begin with the stage's.
fn first_sights(sightings: &[Sighting], stage: &str) -> Vec<(NaiveDate, Span)> {
    let is_stage = |words: &str| words.strip_prefix(stage).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '));
    let mut seen: Vec<(NaiveDate, Span)> =
        sightings.iter().filter(|(_, _, words)| is_stage(words)).map(|&(day, span, _)| (day, span)).collect();
    seen.sort_unstable();
    seen.dedup_by_key(|(day, _)| day.year());
    seen
}
