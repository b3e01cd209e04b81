//! Days that stand in the journal by themselves: batches, deliveries, picking, sprayers to be measured again, licences,
//! approvals.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};

use super::super::book::Book;
use super::super::words::{clear_from, count, day};
use super::event::{Draft, EventKind, EventState, When};
use super::waits::BlockWaits;
use super::{Drafts, place, task, whole};
use crate::journal::{BlockId, MaterialId, RigId};
use crate::quantity::Exact;

/// A day that is no task: it is ahead, or it went by.
fn fact(book: &Book<'_>, at: When) -> EventState {
    if book.season.as_of.is_some_and(|today| at.last_day() < today) { EventState::Past } else { EventState::ToCome }
}

/// A day that is about no block.
pub(super) fn of_day(
    book: &Book<'_>,
    kind: EventKind,
    key: Vec<String>,
    on: NaiveDate,
    title: String,
    why: Vec<String>,
) -> Draft {
    let at = When::day(on);
    Draft { kind, key, at, state: fact(book, at), title, why, place: None }
}

/// Everything that is of the farm as a whole.
pub(super) fn of_farm(book: &Book<'_>, drafts: &mut Drafts) {
    of_batches(book, drafts);
    of_deliveries(book, drafts);
    of_rigs(book, drafts);
    of_licences(book, drafts);
    of_approvals(book, drafts);
}

fn of_batches(book: &Book<'_>, drafts: &mut Drafts) {
    for brew in &book.journal().brews {
        let (name, title) = (brew.named.name.to_string(), brew.named.shown());
        let of = match brew.material.and_then(|material| material.id) {
            Some(material) => format!("A batch of {}, begun on {}.", book.material(material), day(brew.at.day)),
            None => format!("A batch begun on {}.", day(brew.at.day)),
        };
        let one =
            |kind, on: NaiveDate, title: String| of_day(book, kind, vec![name.clone()], on, title, vec![of.clone()]);
        drafts.extend(
            brew.ready.map(|ready| one(EventKind::Ready, ready.value, format!("{title}: batch ready for use"))),
        );
        let last = brew.use_by.map(|last| (last.value, format!("{title}: last day to use the batch")));
        drafts.extend(last.map(|(on, title)| one(EventKind::UseBy, on, title)));
    }
}

/// Of deliveries of one material on one day, which one is told by its lot, or else by its number.
fn of_deliveries(book: &Book<'_>, drafts: &mut Drafts) {
    let journal = book.journal();
    let mut receipts: Vec<_> = journal.receipts.iter().filter(|receipt| receipt.use_by.is_some()).collect();
    receipts.sort_by_cached_key(|receipt| (receipt.at.day, book.season.words(receipt.at.entry)));
    let mut alike: BTreeMap<Vec<String>, usize> = BTreeMap::new();
    for receipt in receipts {
        let (Some(material), Some(last)) = (receipt.material.id, receipt.use_by) else { continue };
        let lot = book.some_words(receipt.lot);
        let name = journal.material(material).named.name.to_string();
        let mut key = vec![name, receipt.at.day.to_string(), lot.clone().unwrap_or_default()];
        let number = alike.entry(key.clone()).or_default();
        *number += 1;
        key.push(number.to_string());
        let which = lot.map(|lot| format!(", lot {lot}")).unwrap_or_default();
        let title = format!("{}{which}: last day to use it", book.material(material));
        let why = vec![format!("Delivered on {}.", day(receipt.at.day))];
        drafts.extend([of_day(book, EventKind::UseBy, key, last.value, title, why)]);
    }
}

/// When sprayers are to be measured again, by the farm's own rule.
fn of_rigs(book: &Book<'_>, drafts: &mut Drafts) {
    let journal = book.journal();
    for (at, rig) in journal.rigs.iter().enumerate() {
        let Some(every) = rig.recalibrate else { continue };
        let of_rig = journal.calibrations.iter().filter(|measured| measured.rig.id == Some(RigId::at(at)));
        let Some(last) = of_rig.map(|measured| measured.at.day).max() else { continue };
        let days = every.value.div(Exact::int(86_400)).and_then(|days| u64::try_from(days.floor()).ok());
        let Some(due) = days.and_then(|days| last.checked_add_days(Days::new(days))) else { continue };
        let title = format!("{}: last day for which its calibration counts", rig.named.shown());
        let (when, days) = (When::day(due), days.unwrap_or_default());
        let every = count(usize::try_from(days).unwrap_or(usize::MAX), "day", "days");
        drafts.extend([Draft {
            state: task(book, when, false),
            ..of_day(
                book,
                EventKind::Calibration,
                vec![rig.named.name.to_string()],
                due,
                title,
                vec![format!("Last measured on {}; the farm's own rule is every {every}.", day(last))],
            )
        }]);
    }
}

/// When picking is expected, beside what the harvest intervals on record say of it.
pub(super) fn of_picking(book: &Book<'_>, waits: &[BlockWaits<'_>], drafts: &mut Drafts) {
    for block in book.blocks() {
        let mut picking = book.journal().block(block).picking.clone();
        picking.sort_by_key(|picking| (picking.first, picking.last));
        let mut years: BTreeMap<i32, usize> = BTreeMap::new();
        for picking in picking {
            let number = years.entry(picking.first.year()).or_default();
            *number += 1;
            let key = vec![name(book, block), picking.first.year().to_string(), number.to_string()];
            let at = When::Days(picking.first, picking.last.unwrap_or(picking.first).max(picking.first));
            let first = book.season.zone.end_of(picking.first);
            let hold = waits[block.index()].closed(None, true, first);
            let hold = hold.map(|hold| whole(book, hold)).filter(|hold| hold.local.date() > picking.first);
            let (state, said, why) = match hold {
                Some(hold) => (
                    EventState::Blocked,
                    format!("picking expected, but not clear before {}", clear_from(hold)),
                    vec!["By what is recorded of what was sprayed so far.".to_string()],
                ),
                None => (fact(book, at), "picking expected".to_string(), Vec::new()),
            };
            let title = format!("{}: {said}", book.block(block));
            drafts.extend([Draft {
                kind: EventKind::Picking,
                key,
                at,
                state,
                title,
                why,
                place: Some(place(book, block)),
            }]);
        }
    }
}

fn name(book: &Book<'_>, block: BlockId) -> String {
    book.journal().block(block).named.name.to_string()
}

/// Only those with a last day on record.
fn of_licences(book: &Book<'_>, drafts: &mut Drafts) {
    for person in &book.journal().people {
        let Some(licence) = person.licence else { continue };
        let Some(until) = licence.until else { continue };
        let title = format!("{}: last day of the licence", person.named.shown());
        let why = vec![format!("Licence {}.", book.words(licence.number))];
        drafts.extend([of_day(book, EventKind::Licence, vec![person.named.name.to_string()], until, title, why)]);
    }
}

/// The last day on which any approval of a material holds; none where one has no end.
fn of_approvals(book: &Book<'_>, drafts: &mut Drafts) {
    let mut last: BTreeMap<MaterialId, Option<(NaiveDate, NaiveDate)>> = BTreeMap::new();
    for approval in &book.journal().approvals {
        for material in approval.materials.iter().filter_map(|material| material.id) {
            let until = approval.until.map(|until| (until.value, approval.at.day));
            let known = last.entry(material).or_insert(until);
            *known = known.zip(until).map(|(known, until)| known.max(until));
        }
    }
    for (material, until) in last {
        let Some((until, given)) = until else { continue };
        let title = format!("{}: last day of its approval", book.material(material));
        let key = vec![book.journal().material(material).named.name.to_string()];
        let why = vec![format!("Approved on {}.", day(given))];
        drafts.extend([of_day(book, EventKind::Approval, key, until, title, why)]);
    }
}
