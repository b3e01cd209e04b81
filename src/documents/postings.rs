//! Sheets and signs put up for a spray and taken down after it.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use serde::Serialize;

use super::book::Book;
use super::words::day;
use crate::journal::{BlockId, Notice};
use crate::season::{Change, Log, SprayFacts};

/// What was posted of one notice for a spray.
#[derive(Clone, Debug, Serialize)]
pub struct Notices {
    /// `Sheet` or `Warning signs`.
    pub notice: &'static str,
    /// When and by whom it was put up and taken down; nothing where that was asked for and is not recorded.
    pub said: Vec<String>,
}

/// A notice goes up two days after a spray at the latest; signs may go up on the day before it.
const UP: u64 = 2;
/// What comes down later than that came down for another reason.
const DOWN: u64 = 40;

/// The signs at some blocks, or for the whole farm, for a spray on a day: each putting up, and the first taking down after
/// it. What went up earlier counts where it still stands.
fn about<'j>(logs: &[Log<'j>], blocks: impl Iterator<Item = BlockId>, sprayed: NaiveDate) -> Vec<Change<'j>> {
    let earliest = sprayed.checked_sub_days(Days::new(1)).unwrap_or(sprayed);
    let latest = sprayed.checked_add_days(Days::new(UP)).unwrap_or(sprayed);
    let last_down = sprayed.checked_add_days(Days::new(DOWN)).unwrap_or(sprayed);
    let mut found = BTreeMap::new();
    for log in blocks.filter_map(|block| logs.get(block.index())).chain(logs.last()) {
        let first = log.partition_point(|change| change.on < earliest);
        let stood = log[..first].last().filter(|change| change.up).map(|_| first - 1);
        let mut up: Vec<Change<'j>> = Vec::new();
        for change in log[stood.unwrap_or(first)..].iter().take_while(|change| change.on <= last_down) {
            if change.up {
                up.extend(Some(*change).filter(|change| change.on <= latest));
            } else if change.on < sprayed {
                up.clear();
            } else if !up.is_empty() {
                up.push(*change);
                break;
            }
        }
        found.extend(up.into_iter().map(|change| (order(&change), change)));
    }
    found.into_values().collect()
}

/// The sheet of a spray at each of its blocks: the first that went up from its day on and before the next spray's day, or
/// the next in turn where the block was sprayed more than once that day; with its own taking down.
pub(super) fn sheets<'b>(book: &Book<'b>, facts: &SprayFacts) -> Vec<Change<'b>> {
    let season = book.season;
    let day = facts.start.local.date();
    let latest = day.checked_add_days(Days::new(UP)).unwrap_or(day);
    let mut found = BTreeMap::new();
    for touched in &facts.touched {
        let others = &season.by_block[touched.block.index()];
        let start = |at: usize| season.sprays[at].start.local.date();
        let own = others.partition_point(|&at| start(at) < day);
        let same = others[own..].iter().take_while(|&&at| start(at) == day);
        let turn = same.clone().position(|&at| season.sprays[at].index == facts.index).unwrap_or(0);
        let next = others.get(own + same.count()).and_then(|&at| start(at).pred_opt());
        let up = season.board.sheets_of(touched.block, day, next.map_or(latest, |last| last.min(latest)));
        let Some(stood) = up.get(turn.min(up.len().saturating_sub(1))) else { continue };
        found.extend([Some(stood.up), stood.down].into_iter().flatten().map(|change| (order(&change), change)));
    }
    found.into_values().collect()
}

/// The warning signs of a spray of some blocks on a day.
pub(super) fn signs<'b>(book: &Book<'b>, blocks: impl Iterator<Item = BlockId>, sprayed: NaiveDate) -> Vec<Change<'b>> {
    about(book.season.board.logs(Notice::Signs), blocks, sprayed)
}

/// The order of time: by day, then by clock where both have one on the day, then as written.
fn order(change: &Change<'_>) -> (NaiveDate, Option<chrono::NaiveDateTime>, u32, bool, u32) {
    let clock = change.posted.clock.map(|clock| clock.local);
    (change.on, clock, change.posting.at.entry.start, !change.up, change.posted.span.start)
}

/// The sheets and signs of a spray. A notice that nobody posted stands there only where the farm or a material asks for
/// it in a block with workers.
pub(super) fn notices(book: &Book<'_>, facts: &SprayFacts) -> Vec<Notices> {
    let journal = book.journal();
    let workers = facts.touched.iter().any(|touched| journal.block(touched.block).workers.is_some_and(|w| w.value));
    let farm = journal.farm.as_ref().map(|farm| farm.needs).unwrap_or_default();
    let needs = || facts.doses.iter().map(|dose| journal.material(dose.material).needs).chain([farm]);
    let asked_sheet = workers && needs().any(|needs| needs.sheet.is_some());
    let asked_signs = workers && needs().any(|needs| needs.signs.is_some());
    let sprayed = facts.spray(journal).at.day;
    let blocks = facts.touched.iter().map(|touched| touched.block);
    let both =
        [("Sheet", sheets(book, facts), asked_sheet), ("Warning signs", signs(book, blocks, sprayed), asked_signs)];
    both.into_iter()
        .map(|(notice, changes, asked)| {
            (Notices { notice, said: changes.iter().map(|change| said(book, change)).collect() }, asked)
        })
        .filter(|(notices, asked)| *asked || !notices.said.is_empty())
        .map(|(notices, _)| notices)
        .collect()
}

/// `up 14 April 2026 05:50 by Ada Quill, young-pear`.
pub(super) fn said(book: &Book<'_>, change: &Change<'_>) -> String {
    let when = match change.posted.clock {
        Some(clock) => format!("{}{}", day(clock.local.date()), clock.local.format(" %H:%M")),
        None => day(change.on),
    };
    let by = book.people(&change.posting.by).map(|by| format!(" by {by}")).unwrap_or_default();
    let place = book.ground(&change.posting.ground);
    let place = if place.is_empty() { String::new() } else { format!(", {place}") };
    format!("{} {when}{by}{place}", if change.up { "up" } else { "down" })
}
