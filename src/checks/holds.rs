//! People in blocks against the intervals that sprays set there: one walk through each block's season, in order of time.

use crate::journal::{BlockId, MaterialId, Session};
use crate::season::{
    BlockEntry, By, ByRows, EntryKind, Hold, Moment, Rinse, Season, SprayFacts, disjoint, rows_of, rows_treated,
};
use crate::syntax::EntryWord;
use crate::text::Span;

use super::asked::RECORD;
use super::{Findings, scene};

/// A block, or some of its rows, closed after a spray, or after rinse water with what a spray had left in the sprayer.
#[derive(Clone, Copy, Debug)]
pub(super) struct Closed {
    /// The spray, as a place in the season's list.
    pub(super) at: usize,
    /// The rinse water, as a place in the season's list, where it came with that.
    pub(super) rinse: Option<usize>,
    /// When the spray, or the cleaning, began.
    pub(super) start: Moment,
    /// When it ended.
    pub(super) end: Moment,
    /// Whether that end is assumed.
    pub(super) end_assumed: bool,
    /// Until when.
    pub(super) until: Moment,
    /// Which material set it.
    pub(super) material: MaterialId,
    /// Where it is set.
    pub(super) span: Span,
}

/// People who came into a block, and what was then in force for their rows; the latest of each kind.
#[derive(Clone, Copy, Debug)]
pub(super) struct Meeting<'s> {
    /// Who came.
    pub(super) entry: &'s BlockEntry,
    /// The re-entry interval of an earlier or a running spray.
    pub(super) reentry: Option<Closed>,
    /// The harvest interval of an earlier spray.
    pub(super) interval: Option<Closed>,
    /// Whether the spray of `reentry` began while they were there.
    pub(super) ran_into: bool,
    /// A spray that ran while they were there; for people without a written time, one of the same day.
    pub(super) spray: Option<usize>,
}

impl Meeting<'_> {
    /// Whether people were surely there before an interval was over. Where no time was written, the whole day must lie
    /// in the interval.
    pub(super) fn too_soon(&self, closed: &Closed) -> bool {
        let there = if self.entry.start_written { self.entry.start } else { self.entry.end };
        self.ran_into || self.spray.is_none() && there.seconds < closed.until.seconds
    }
}

/// What happens in a block.
#[derive(Clone, Copy)]
enum Event<'s> {
    Spray(usize),
    Rinse(usize),
    Entry(&'s BlockEntry),
}

impl Closed {
    /// After a spray.
    fn spray(at: usize, facts: &SprayFacts, hold: Hold) -> Self {
        let Hold { until, material, span } = hold;
        let SprayFacts { start, end, end_assumed, .. } = *facts;
        Self { at, rinse: None, start, end, end_assumed, until, material, span }
    }

    /// After rinse water that held what a spray had left.
    fn rinse(season: &Season<'_>, rinse: usize, at: usize, hold: Hold) -> Self {
        let Hold { until, material, span } = hold;
        let Rinse { start, end, end_assumed, .. } = season.rinses[rinse];
        Self { at, rinse: Some(rinse), start, end, end_assumed, until, material, span }
    }
}

/// Walks through every block that people came into, as [`Findings::on_blocks`] does, and gathers what `told` makes of what
/// it meets. Entries that `wanted` refuses are passed over; `interval` gives the harvest interval that a spray's tank sets
/// for a block, counted from an end.
pub(super) fn walk<T>(
    season: &Season<'_>,
    found: &mut Findings,
    wanted: impl Fn(EntryKind) -> bool,
    interval: impl Fn(&SprayFacts, Moment, BlockId) -> Option<Hold>,
    told: impl Fn(Meeting<'_>) -> Option<T>,
) -> Vec<T> {
    let mut entries: Vec<Vec<&BlockEntry>> = vec![Vec::new(); season.by_block.len()];
    for entry in season.entries.iter().filter(|entry| wanted(entry.what)) {
        entries[entry.block.index()].push(entry);
    }
    let (mut reentries, mut intervals): (ByRows<'_, Closed>, ByRows<'_, Closed>) = Default::default();
    // Rinse water holds what was sprayed elsewhere.
    let by = if season.rinses.is_empty() { BY_SPRAYS } else { BY_RINSES };
    found.on_blocks(season, by, |_, block, _| {
        let entries = &entries[block.index()];
        let mut met = Vec::new();
        if entries.is_empty() {
            return met;
        }
        let mut meet = |meeting: Meeting<'_>| met.extend(told(meeting));
        reentries.clear();
        intervals.clear();
        let mut inside: Vec<&BlockEntry> = Vec::new();
        let mut running: Vec<usize> = Vec::new();
        for event in events(season, block, entries) {
            match event {
                Event::Spray(at) => {
                    let facts = &season.sprays[at];
                    let spray = facts.spray(season.journal);
                    let reentry = facts.reentry.map(|hold| Closed::spray(at, facts, hold));
                    let interval = interval(facts, facts.end, block).map(|hold| Closed::spray(at, facts, hold));
                    for rows in rows_treated(spray, block) {
                        if let Some(closed) = reentry {
                            reentries.put(rows, closed, |known| known.until <= closed.until);
                        }
                        if let Some(closed) = interval {
                            intervals.put(rows, closed, |known| known.until <= closed.until);
                        }
                    }
                    inside.retain(|entry| entry.end > facts.start);
                    if spray.sessions.is_empty() {
                        continue;
                    }
                    remember(&mut running, at);
                    for entry in &inside {
                        let visit = scene::visit(season, entry.what);
                        if !rows_treated(spray, block).any(|rows| !disjoint(rows, rows_of(visit.ground))) {
                            continue;
                        }
                        if !entry.start_written || overlap(season, &spray.sessions, visit.sessions) {
                            meet(Meeting { entry, reentry, interval: None, ran_into: false, spray: Some(at) });
                        } else if reentry.is_some() && !entry.end_assumed {
                            meet(Meeting { entry, reentry, interval: None, ran_into: true, spray: None });
                        }
                    }
                }
                Event::Rinse(at) => {
                    let rinse = &season.rinses[at];
                    let rows = rinse.ground(season.journal).and_then(rows_of);
                    if let Some((spray, hold)) = rinse.reentry {
                        let closed = Closed::rinse(season, at, spray, hold);
                        reentries.put(rows, closed, |known| known.until <= closed.until);
                    }
                    let holds = rinse.sprays.iter().filter_map(|&spray| {
                        let hold = interval(&season.sprays[spray], rinse.end, block)?;
                        Some(Closed::rinse(season, at, spray, hold))
                    });
                    if let Some(closed) = holds.max_by_key(|closed| closed.until) {
                        intervals.put(rows, closed, |known| known.until <= closed.until);
                    }
                }
                Event::Entry(entry) => {
                    let rows = rows_of(scene::visit(season, entry.what).ground);
                    let latest = |closed: &ByRows<'_, Closed>| closed.touching(rows).max_by_key(|c| c.until).copied();
                    let (reentry, interval) = (latest(&reentries), latest(&intervals));
                    meet(Meeting { entry, reentry, interval, ran_into: false, spray: None });
                    remember(&mut inside, entry);
                    running.retain(|&at| season.sprays[at].end > entry.start);
                    for &at in running.iter().filter(|_| entry.start_written) {
                        let spray = season.sprays[at].spray(season.journal);
                        let there = rows_treated(spray, block).any(|treated| !disjoint(treated, rows));
                        if there && overlap(season, &spray.sessions, scene::visit(season, entry.what).sessions) {
                            meet(Meeting { entry, reentry: None, interval: None, ran_into: false, spray: Some(at) });
                        }
                    }
                }
            }
        }
        met
    })
}

const BY_SPRAYS: By = By { any: &[EntryWord::Clean], ..RECORD };
const BY_RINSES: By = By { any: &[EntryWord::Clean, EntryWord::Spray], ..RECORD };

/// How many sprays, and how many people, are remembered as being in a block at most, and how many sessions of each are
/// compared. More is no way of working; the oldest are forgotten, so that time stays in proportion to the journal.
const MOST: usize = 16;

fn remember<T>(list: &mut Vec<T>, one: T) {
    if list.len() >= MOST {
        list.remove(0);
    }
    list.push(one);
}

/// Whether a session of the one runs into a session of the other by the times that are written. Of a session without an
/// end only the start is known.
fn overlap(season: &Season<'_>, one: &[Session], other: &[Session]) -> bool {
    let seconds = |session: &Session| {
        let from = season.zone.written(session.start, false).0.seconds;
        let to = session.end.map(|end| season.zone.written(end, true).0.seconds).filter(|to| *to > from);
        (from, to.unwrap_or(from.saturating_add(1)))
    };
    one.iter().take(MOST).map(seconds).any(|(from, to)| {
        other.iter().take(MOST).map(seconds).any(|(other_from, other_to)| from < other_to && other_from < to)
    })
}

/// Sprays, rinse water and entries of a block in the order of time. A spray without a time may have come at any hour of its day, so it
/// counts for what came after that day.
fn events<'s>(season: &'s Season<'_>, block: BlockId, entries: &[&'s BlockEntry]) -> Vec<Event<'s>> {
    let sprays = season.by_block[block.index()].iter().map(|&at| {
        let facts = &season.sprays[at];
        let timed = !facts.spray(season.journal).sessions.is_empty();
        (if timed { facts.start.seconds } else { facts.end.seconds }, 0, Event::Spray(at))
    });
    let rinses = season.rinsed[block.index()].iter().map(|&at| {
        let rinse = &season.rinses[at];
        let timed = !rinse.cleaning(season.journal).sessions.is_empty();
        (if timed { rinse.start.seconds } else { rinse.end.seconds }, 0, Event::Rinse(at))
    });
    let entries = entries.iter().map(|&entry| (entry.start.seconds, 1, Event::Entry(entry)));
    let mut events: Vec<(i64, u8, Event<'s>)> = sprays.chain(rinses).chain(entries).collect();
    events.sort_by_key(|&(seconds, order, _)| (seconds, order));
    events.into_iter().map(|(_, _, event)| event).collect()
}
