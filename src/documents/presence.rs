//! Who was where: people in a block, sheets and signs, and how to reach everybody who is named.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::book::Book;
use super::words::{clock, day, list, moment};
use crate::journal::{BlockId, Ground, Notice, PersonId, Posted, Posting, Ref};
use crate::season::{BlockEntry, EntryKind, disjoint, rows_of, rows_treated};
use crate::text::Span;

/// People in a block.
#[derive(Clone, Debug, Serialize)]
pub struct Visit {
    /// The day, with the times where they are recorded.
    pub when: String,
    /// Which ground.
    pub ground: String,
    /// What was done there: the task, or `pick`.
    pub what: String,
    /// Who, and who else.
    pub who: Option<String>,
    /// A re-entry interval that was not over when they came.
    pub during: Option<String>,
    /// Where the entry is.
    pub place: String,
}

/// A sheet or signs put up or taken down.
#[derive(Clone, Debug, Serialize)]
pub struct NoticePosted {
    /// When.
    pub when: String,
    /// What: `sheet up`.
    pub what: &'static str,
    /// Where; absent for the whole farm.
    pub ground: Option<String>,
    /// Who did it.
    pub by: Option<String>,
}

/// Somebody to reach.
#[derive(Clone, Debug, Serialize)]
pub struct Reachable {
    /// The full name.
    pub name: String,
    /// What the person does on the farm.
    pub role: Option<String>,
    /// How to reach the person.
    pub contact: Option<String>,
    /// The postal address.
    pub address: Option<String>,
    /// The licence.
    pub licence: Option<String>,
    /// What the person did here: `picked and sprayed`.
    pub did: String,
}

/// How many sprays before a visit are looked at for one whose re-entry interval was not over. More in so short a time is
/// no way of working.
const LOOKED_AT: usize = 64;

/// A visit with the entry it is written in.
pub(super) fn visit(book: &Book<'_>, entry: &BlockEntry) -> (Visit, Span) {
    let journal = book.journal();
    let (at, ground, task, by, crew) = match entry.what {
        EntryKind::Work(index) => {
            let work = &journal.works[index];
            let task = book.some_words(work.task).unwrap_or_else(|| "work, not said what".to_string());
            (work.at, &work.ground, task, &work.by, work.crew)
        }
        EntryKind::Harvest(index) => {
            let pick = &journal.harvests[index];
            (pick.at, &pick.ground, "pick".to_string(), &pick.by, pick.crew)
        }
    };
    let who: Vec<String> = book.people(by).into_iter().chain(book.some_words(crew)).collect();
    let time = match (entry.start_written, entry.end_assumed) {
        (false, _) => ", time not recorded".to_string(),
        (true, true) => format!(" {}, end not recorded", clock(entry.start, at.day)),
        (true, false) => format!(" {} to {}", clock(entry.start, at.day), clock(entry.end, at.day)),
    };
    let visit = Visit {
        when: format!("{}{time}", day(at.day)),
        ground: book.ground(ground),
        what: task,
        who: (!who.is_empty()).then(|| who.join("; ")),
        during: during(book, entry, ground),
        place: book.place(at.line),
    };
    (visit, at.entry)
}

/// The longest re-entry interval that was not over when people came. Where no time is recorded they may have come at any
/// hour of the day.
fn during(book: &Book<'_>, entry: &BlockEntry, ground: &Ground) -> Option<String> {
    let season = book.season;
    let list = &season.by_block[entry.block.index()];
    let came = if entry.start_written { entry.start } else { entry.end };
    let before = list.partition_point(|&at| season.sprays[at].start <= came);
    let near = list[..before].iter().rev().take(LOOKED_AT).map(|&at| &season.sprays[at]);
    let met = near.filter(|facts| {
        let spray = facts.spray(season.journal);
        rows_treated(spray, entry.block).any(|rows| !disjoint(rows, rows_of(ground)))
    });
    let hold = met.filter_map(|facts| facts.reentry).max_by_key(|hold| hold.until)?;
    if hold.until.seconds <= entry.start.seconds {
        return None;
    }
    let sure = if entry.start_written { "" } else { "perhaps " };
    Some(format!("{sure}before re-entry ended, {} ({})", moment(hold.until), book.material(hold.material)))
}

/// What was put up and taken down by a posting.
pub(super) fn posted(book: &Book<'_>, posting: &Posting) -> Vec<NoticePosted> {
    let one = |posted: &Posted, up: bool| {
        let when = match posted.clock {
            Some(clock) => format!("{}{}", day(clock.local.date()), clock.local.format(" %H:%M")),
            None => format!("{}, time not recorded", day(posting.at.day)),
        };
        let ground = book.ground(&posting.ground);
        NoticePosted {
            when,
            what: match (posted.what, up) {
                (Notice::Sheet, true) => "sheet up",
                (Notice::Sheet, false) => "sheet down",
                (Notice::Signs, true) => "warning signs up",
                (Notice::Signs, false) => "warning signs down",
            },
            ground: (!ground.is_empty()).then_some(ground),
            by: book.people(&posting.by),
        }
    };
    let up = posting.up.iter().map(|posted| one(posted, true));
    up.chain(posting.down.iter().map(|posted| one(posted, false))).collect()
}

/// Everybody who is named, with what they did.
#[derive(Debug, Default)]
pub(super) struct People {
    known: BTreeMap<PersonId, BTreeSet<&'static str>>,
    unknown: BTreeMap<String, BTreeSet<&'static str>>,
}

impl People {
    /// Notes that some people did something.
    pub(super) fn did(&mut self, book: &Book<'_>, people: &[Ref<PersonId>], what: &'static str) {
        for person in people {
            match person.id {
                Some(id) => self.known.entry(id).or_default().insert(what),
                None => self.unknown.entry(book.words(person.span)).or_default().insert(what),
            };
        }
    }

    /// How to reach them, in the order of the journal.
    pub(super) fn reachable(self, book: &Book<'_>) -> Vec<Reachable> {
        let words = |did: BTreeSet<&'static str>| list(&did.into_iter().collect::<Vec<_>>());
        let known = self.known.into_iter().map(|(id, did)| {
            let person = book.journal().person(id);
            Reachable {
                name: person.named.shown().to_string(),
                role: book.some_words(person.role),
                contact: book.some_words(person.contact),
                address: book.some_words(person.address),
                licence: book.some_words(person.licence.map(|licence| licence.span)),
                did: words(did),
            }
        });
        let unknown = self.unknown.into_iter().map(|(name, did)| Reachable {
            name,
            role: None,
            contact: None,
            address: None,
            licence: None,
            did: words(did),
        });
        known.chain(unknown).collect()
    }
}

/// Whether some ground is a block's.
pub(super) fn is_on(ground: &Ground, block: BlockId) -> bool {
    ground.blocks.iter().any(|named| named.id == Some(block))
}
