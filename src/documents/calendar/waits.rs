//! What came onto each block and how long it keeps people and pickers out: the same intervals, rinses and waits of
//! rulebooks that the clearance of a block at a moment counts, laid out once for all moments of a season.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::super::book::Book;
use super::super::words::stated;
use super::keys::tank;
use crate::journal::{BlockId, Ground};
use crate::season::{Moment, Rows, RuleWait, UNKNOWN_FOR, disjoint, rows_of, rows_treated, undeclared};

/// Something that came onto a block: a spray, or the rinse water of a sprayer.
pub(super) struct Came<'j> {
    /// The page's day.
    pub day: NaiveDate,
    /// Which of the block's rows; all where absent.
    pub rows: Option<String>,
    ground: Vec<Rows<'j>>,
    pub rinse: bool,
    pub start: Moment,
    pub end: Moment,
    pub end_assumed: bool,
    /// What tells it apart from all others of the farm, whatever its times.
    pub key: Vec<String>,
    /// What keeps everybody out.
    pub people: Hold,
    /// What keeps pickers out besides.
    pub picking: Hold,
}

/// Until when something is kept from a block.
#[derive(Default)]
pub(super) struct Hold {
    /// The end of the longest wait that is known, and what sets it.
    pub until: Option<(Moment, String)>,
    /// What is not known, each thing once.
    pub missing: Vec<String>,
    /// For how long, in seconds, that keeps the block from being known as clear.
    missing_until: i64,
}

impl Hold {
    fn wait(&mut self, until: Option<Moment>, what: impl FnOnce() -> String) {
        if let Some(until) = until
            && self.until.as_ref().is_none_or(|(known, _)| *known < until)
        {
            self.until = Some((until, what()));
        }
    }

    fn miss(&mut self, what: String, until: i64) {
        if !self.missing.contains(&what) {
            self.missing.push(what);
        }
        self.missing_until = self.missing_until.max(until);
    }

    fn moment(&self) -> Option<Moment> {
        self.until.as_ref().map(|(until, _)| *until)
    }
}

impl Came<'_> {
    /// Whether it may have come onto the same rows.
    fn meets(&self, other: &Came<'_>) -> bool {
        self.ground.iter().any(|one| other.ground.iter().any(|other| !disjoint(*one, *other)))
    }

    fn holds(&self, picking: bool) -> impl Iterator<Item = &Hold> {
        std::iter::once(&self.people).chain(picking.then_some(&self.picking))
    }

    /// Until when it keeps the block closed, by what is known.
    fn until(&self, picking: bool) -> Moment {
        self.holds(picking).filter_map(Hold::moment).fold(self.end, Moment::max)
    }

    /// Until when, in seconds, it is not known whether it keeps the block closed.
    fn unknown_until(&self, picking: bool) -> Option<i64> {
        let holds = self.holds(picking).filter(|hold| !hold.missing.is_empty());
        holds.map(|hold| hold.missing_until).max()
    }
}

/// All that came onto a block, in the order of time.
pub(super) struct BlockWaits<'j> {
    pub came: Vec<Came<'j>>,
    entry: Vec<Latest>,
    picking: Vec<Latest>,
}

/// The latest end of anything that came up to a place: nothing before it needs looking through once that is over.
#[derive(Clone, Copy, Default)]
struct Latest {
    until: Option<Moment>,
    unknown: Option<i64>,
}

impl<'j> BlockWaits<'j> {
    /// Of a block; `waits` gives those of rulebooks.
    pub(super) fn new(
        book: &Book<'j>,
        waits: &impl Fn(usize, Moment, BlockId) -> Vec<RuleWait>,
        block: BlockId,
    ) -> Self {
        let season = book.season;
        let sprays = season.by_block[block.index()].iter().map(|&at| spray(book, waits, block, at));
        let rinses = season.rinsed[block.index()].iter().map(|&at| rinse(book, waits, block, at));
        let mut came: Vec<Came<'j>> = sprays.chain(rinses).collect();
        // Those of one moment are in the order in which the season has them, which no file's place changes.
        came.sort_by_key(|came| (came.start, came.end));
        number(&mut came);
        let (entry, picking) = (latest(&came, false), latest(&came, true));
        Self { came, entry, picking }
    }

    /// Until when people, or pickers, are kept at a moment from the rows that something came onto, by all that began
    /// before it; nothing where they are not.
    pub(super) fn closed(&self, rows: Option<&Came<'_>>, picking: bool, moment: Moment) -> Option<Moment> {
        let of = |latest: &Latest| latest.until.is_some_and(|until| until > moment);
        let here = self.before(picking, moment, of, rows);
        here.map(|came| came.until(picking)).filter(|until| *until > moment).max()
    }

    /// What is not known at a moment of what came onto the same rows; the latest that something is not known of says it.
    pub(super) fn unknown(&self, rows: &Came<'_>, picking: bool, moment: Moment) -> Vec<String> {
        let runs = |until: Option<i64>| until.is_some_and(|until| until > moment.seconds);
        let mut here = self.before(picking, moment, |latest| runs(latest.unknown), Some(rows));
        let found = here.find(|came| runs(came.unknown_until(picking)));
        found.map(|came| came.holds(picking).flat_map(|hold| hold.missing.clone()).collect()).unwrap_or_default()
    }

    /// What began by a moment, the latest first, as far back as something may still run.
    fn before<'s>(
        &'s self,
        picking: bool,
        moment: Moment,
        runs: impl Fn(&Latest) -> bool + 's,
        rows: Option<&'s Came<'_>>,
    ) -> impl Iterator<Item = &'s Came<'j>> {
        let begun = self.came.partition_point(|came| came.start <= moment);
        let latest = if picking { &self.picking } else { &self.entry };
        let back = self.came[..begun].iter().zip(&latest[..begun]).rev();
        let back = back.take_while(move |(_, latest)| runs(latest)).map(|(came, _)| came);
        back.filter(move |came| rows.is_none_or(|rows| came.meets(rows)))
    }
}

fn latest(came: &[Came<'_>], picking: bool) -> Vec<Latest> {
    let mut now = Latest::default();
    let all = came.iter().map(|came| {
        now.until = now.until.max(Some(came.until(picking)));
        now.unknown = now.unknown.max(came.unknown_until(picking));
        now
    });
    all.collect()
}

/// Of several alike on one day, which: in the order of time.
fn number(came: &mut [Came<'_>]) {
    let mut alike: BTreeMap<Vec<String>, usize> = BTreeMap::new();
    for came in came {
        let number = alike.entry(came.key.clone()).or_default();
        *number += 1;
        came.key.push(number.to_string());
    }
}

fn spray<'j>(
    book: &Book<'j>,
    waits: &impl Fn(usize, Moment, BlockId) -> Vec<RuleWait>,
    block: BlockId,
    at: usize,
) -> Came<'j> {
    let facts = &book.season.sprays[at];
    let spray = facts.spray(book.journal());
    let named = |ground: &Ground| ground.blocks.iter().any(|named| named.id == Some(block));
    let ground = match &spray.leftover {
        Some(leftover) if !named(&spray.ground) => &leftover.ground,
        _ => &spray.ground,
    };
    let name = book.journal().block(block).named.name.to_string();
    let mut came = Came {
        day: spray.at.day,
        rows: book.rows(ground),
        ground: rows_treated(spray, block).collect(),
        rinse: false,
        start: facts.start,
        end: book.season.latest_end(&spray.sessions, facts.end),
        end_assumed: facts.end_assumed,
        key: vec![name, spray.at.day.to_string(), tank(book, facts)],
        people: Hold::default(),
        picking: Hold::default(),
    };
    add_tank(book, waits, block, at, &mut came);
    came
}

fn rinse<'j>(
    book: &Book<'j>,
    waits: &impl Fn(usize, Moment, BlockId) -> Vec<RuleWait>,
    block: BlockId,
    at: usize,
) -> Came<'j> {
    let (journal, rinse) = (book.journal(), &book.season.rinses[at]);
    let cleaning = rinse.cleaning(journal);
    let name = journal.block(block).named.name.to_string();
    let rig = book.words(cleaning.rig.span).to_lowercase();
    let mut came = Came {
        day: cleaning.at.day,
        rows: rinse.ground(journal).and_then(|ground| book.rows(ground)),
        ground: rinse.ground(journal).map(rows_of).into_iter().collect(),
        rinse: true,
        start: rinse.start,
        end: book.season.latest_end(&cleaning.sessions, rinse.end),
        end_assumed: rinse.end_assumed,
        key: vec![name, cleaning.at.day.to_string(), "rinse".to_string(), rig],
        people: Hold::default(),
        picking: Hold::default(),
    };
    for &spray in &rinse.sprays {
        add_tank(book, waits, block, spray, &mut came);
    }
    if rinse.unnamed.is_some() || rinse.unfilled {
        came.people.miss("what was in the sprayer".to_string(), a_year_after(came.end));
    }
    came
}

/// What was in the tank of a spray, counted from the end of what brought it onto the block.
fn add_tank(
    book: &Book<'_>,
    waits: &impl Fn(usize, Moment, BlockId) -> Vec<RuleWait>,
    block: BlockId,
    at: usize,
    came: &mut Came<'_>,
) {
    let (season, facts) = (book.season, &book.season.sprays[at]);
    let (end, crop) = (came.end, season.crop(block));
    let year = a_year_after(end);
    for dose in &facts.doses {
        let name = book.material(dose.material);
        match season.journal.material(dose.material).reentry {
            Some(reentry) => {
                let seconds = reentry.value.seconds().and_then(|seconds| i64::try_from(seconds.ceil()).ok());
                let until = seconds.map(|seconds| season.zone.later(end, seconds));
                came.people.wait(until, || format!("re-entry interval of {} ({name})", stated(reentry.value)));
            }
            None => came.people.miss(format!("the re-entry interval of {name}"), year),
        }
        match season.harvest_wait(dose.material, crop, end) {
            Some((interval, until)) => {
                came.picking.wait(until, || format!("harvest interval of {} ({name})", stated(interval.time)));
            }
            None => came.picking.miss(format!("the harvest interval of {name}"), year),
        }
        let by_crop = || season.journal.material(dose.material).preharvest.iter().any(|one| !one.crops.is_empty());
        if crop.is_none() && by_crop() {
            came.picking.miss(format!("the crop, and so the harvest interval of {name}"), year);
        }
        if season.journal.material(dose.material).preharvest_lost {
            came.picking.miss(format!("a harvest interval of {name} that cannot be read"), year);
        }
    }
    for (batch, id) in season.brewed(facts) {
        let (material, name) = (season.journal.material(id), book.material(id));
        let batch = season.journal.brew(batch).named.shown();
        if let Some(reentry) = material.reentry {
            let seconds = reentry.value.seconds().and_then(|seconds| i64::try_from(seconds.ceil()).ok());
            let until = seconds.map(|seconds| season.zone.later(end, seconds));
            came.people
                .wait(until, || format!("re-entry interval of {} ({name} in batch {batch})", stated(reentry.value)));
        }
        if let Some((interval, until)) = season.harvest_wait(id, crop, end) {
            came.picking
                .wait(until, || format!("harvest interval of {} ({name} in batch {batch})", stated(interval.time)));
        }
        if material.preharvest_lost {
            came.picking.miss(format!("a harvest interval of {name} that cannot be read"), year);
        }
    }
    for wait in waits(at, end, block) {
        let what = format!("{} ({})", book.material(wait.material), wait.cited);
        if wait.if_touching_soil {
            let contact = format!("whether what is eaten touches the soil, for {what}");
            came.picking.miss(contact, wait.until.seconds);
        } else {
            came.picking.wait(Some(wait.until), || format!("wait before the harvest after {what}"));
        }
    }
    let spray = facts.spray(season.journal);
    let undeclared = undeclared(season.journal, spray);
    if undeclared.is_empty() && facts.doses.is_empty() {
        came.people.miss("what was in the tank".to_string(), year);
    }
    for span in undeclared.into_iter().chain(season.undeclared_in_batches(facts)) {
        came.people.miss(format!("what {} is", book.words(span)), year);
    }
    for span in season.half_read(facts) {
        came.people.miss(format!("what a line about {} says that cannot be read", book.words(span)), year);
    }
    if season.has_unread_line(spray.at.entry) || spray.time_lost {
        came.people.miss("what a line of the record says that cannot be read".to_string(), year);
    }
}

fn a_year_after(end: Moment) -> i64 {
    end.seconds.saturating_add(UNKNOWN_FOR)
}
