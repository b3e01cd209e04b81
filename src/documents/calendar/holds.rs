//! When people may go in and pick again, after everything that came onto a block.

use std::collections::BTreeMap;

use super::super::book::Book;
use super::super::posting_sheets::unread_rinses;
use super::super::words::{clear_from, count, day, list, moment};
use super::event::{Draft, EventKind, EventState, When};
use super::waits::{BlockWaits, Came};
use super::{Drafts, place, whole};
use crate::journal::BlockId;
use crate::season::Moment;

/// The ends of all holds on the blocks of the part to show; `waits` are those of every block.
pub(super) fn of_holds(book: &Book<'_>, waits: &[BlockWaits<'_>], drafts: &mut Drafts) {
    drafts.unknown.extend(unread_rinses(book));
    for line in &book.season.unread {
        let blocks = line.blocks.iter().filter(|block| book.scope.has_block(**block));
        let blocks: Vec<&str> = blocks.map(|block| book.journal().block(*block).named.shown()).collect();
        if !blocks.is_empty() && drafts.has(When::day(line.day.1.local.date())) {
            drafts.unknown.push(format!(
                "When people may go in and pick again in {} is not known: the line “{}” could not be read. Ask first.",
                list(&blocks),
                book.words(line.line).trim(),
            ));
        }
    }
    let (mut entry, mut picking) = (Unknown::default(), Unknown::default());
    for (block, waits) in waits.iter().enumerate() {
        let block = BlockId::at(block);
        if !book.scope.has_block(block) {
            continue;
        }
        for came in &waits.came {
            let on = On { book, block, waits, came };
            let (people, picked) = (on.reentry(), on.clear());
            // Of what came before the days that are asked for nobody wants to know what is not recorded.
            if drafts.has(When::day(came.end.local.date())) {
                if people.is_none() {
                    entry.note(&came.people.missing, on.named());
                }
                if picked.is_none() {
                    picking.note(&came.picking.missing, on.named());
                }
            }
            drafts.extend(people);
            drafts.extend(picked);
        }
    }
    drafts.unknown.extend(entry.said("people may go in"));
    drafts.unknown.extend(picking.said("they may pick"));
}

/// What has no entry because something is not known: by what is not known, how many, and the last.
#[derive(Default)]
struct Unknown(BTreeMap<String, (usize, String)>);

impl Unknown {
    fn note(&mut self, missing: &[String], last: String) {
        if !missing.is_empty() {
            let known = self.0.entry(list(missing)).or_default();
            *known = (known.0 + 1, last);
        }
    }

    fn said(self, what: &'static str) -> impl Iterator<Item = String> {
        self.0.into_iter().map(move |(missing, (times, last))| {
            format!(
                "When {what} after {} is not in the calendar, because it is not recorded: {missing}. The last is {last}. Ask first.",
                count(times, "spray", "sprays"),
            )
        })
    }
}

/// Something that came onto a block.
struct On<'b> {
    book: &'b Book<'b>,
    block: BlockId,
    waits: &'b BlockWaits<'b>,
    came: &'b Came<'b>,
}

impl On<'_> {
    fn place(&self) -> String {
        let block = self.book.block(self.block);
        match &self.came.rows {
            Some(rows) => format!("{block}, {rows}"),
            None => block.to_string(),
        }
    }

    fn named(&self) -> String {
        format!("that of {} on {}", self.place(), day(self.came.day))
    }

    /// What set the wait, and from when it was counted.
    fn counted(&self, what: &str) -> Vec<String> {
        let came = self.came;
        let of = if came.rinse { "cleaning whose rinse water went there" } else { "spray" };
        let end = moment(came.end);
        vec![
            format!("The longest on record: {what}."),
            match came.end_assumed {
                true => format!("The end of the {of} is not recorded; it is taken as {end}."),
                false => format!("Counted from the end of the {of}, {end}."),
            },
        ]
    }

    /// When nobody need stay out any more.
    fn reentry(&self) -> Option<Draft> {
        let (until, what) = self.came.people.until.as_ref()?;
        let mut why = self.counted(what);
        let picking = &self.came.picking;
        if picking.missing.is_empty() && picking.until.as_ref().is_none_or(|(picking, _)| picking <= until) {
            why.push("Nothing on record of it asks for a longer wait before picking.".to_string());
        }
        let (place, unknown) = (self.place(), self.waits.unknown(self.came, false, *until));
        let closed = self.waits.closed(Some(self.came), false, *until).map(|closed| moment(whole(self.book, closed)));
        let title = match &closed {
            Some(closed) => format!("{place}: still closed until {closed}, by something else"),
            None if !unknown.is_empty() => format!("{place}: recorded re-entry interval over, ask before going in"),
            None => format!("{place}: re-entry interval over"),
        };
        if !unknown.is_empty() {
            why.push(format!("Not recorded: {}. Ask before anyone goes in.", list(&unknown)));
        }
        let at = When::At(whole(self.book, *until), None);
        Some(self.draft(EventKind::Reentry, at, closed.is_some(), title, why))
    }

    /// From when it may be picked, where that is later than when people may go in.
    fn clear(&self) -> Option<Draft> {
        let (until, what) = self.came.picking.until.as_ref()?;
        if self.came.people.until.as_ref().is_some_and(|(people, _)| people >= until) {
            return None;
        }
        let mut why = self.counted(what);
        let (place, unknown) = (self.place(), self.waits.unknown(self.came, true, *until));
        let uncleared =
            self.waits.closed(Some(self.came), true, *until).map(|until| clear_from(whole(self.book, until)));
        let title = match &uncleared {
            Some(uncleared) => format!("{place}: not clear to pick before {uncleared}, by something else"),
            None if !unknown.is_empty() => format!("{place}: recorded harvest interval over, ask before picking"),
            None => format!("{place}: clear to pick by what is recorded"),
        };
        if !unknown.is_empty() {
            why.push(format!("Not recorded: {}. Ask before you pick.", list(&unknown)));
        }
        let at = self.from(whole(self.book, *until));
        Some(self.draft(EventKind::Clear, at, uncleared.is_some(), title, why))
    }

    /// All day where it is so from the day's first moment on.
    fn from(&self, until: Moment) -> When {
        let day = until.local.date();
        if until == self.book.season.zone.start_of(day) { When::day(day) } else { When::At(until, None) }
    }

    fn draft(&self, kind: EventKind, at: When, replaced: bool, title: String, why: Vec<String>) -> Draft {
        let over = self.book.season.as_of.is_some_and(|today| at.last_day() < today);
        let state = match () {
            () if replaced => EventState::Replaced,
            () if over => EventState::Past,
            () => EventState::ToCome,
        };
        Draft { kind, key: self.came.key.clone(), at, state, title, why, place: Some(place(self.book, self.block)) }
    }
}
