//! When warning signs go up and come down, and when sheets may come down.

use super::super::book::Book;
use super::super::notice_rules::{sheet_asked, undeclared, without_interval};
use super::super::posting_sheet::stays;
use super::super::postings::sheets;
use super::super::sign_schedule::sign_schedule;
use super::super::words::{day, list};
use super::event::{Draft, EventKind, EventState, When};
use super::keys::SprayKeys;
use super::{Drafts, place, task, whole};
use crate::duty::Duties;
use crate::season::{Moment, SprayFacts};

/// Signs and sheets of every spray.
pub(super) fn of_notices(book: &Book<'_>, keys: &SprayKeys, drafts: &mut Drafts) {
    of_signs(book, keys, drafts);
    of_sheets(book, keys, drafts);
}

/// When warning signs go up and come down.
fn of_signs(book: &Book<'_>, keys: &SprayKeys, drafts: &mut Drafts) {
    let Some(schedule) = sign_schedule(book) else { return };
    let mut facts: Vec<Option<&SprayFacts>> = vec![None; book.journal().sprays.len()];
    book.season.sprays.iter().for_each(|spray| facts[spray.index] = Some(spray));
    for row in schedule.rows {
        let times = row.times;
        let Some(facts) = facts[times.spray] else { continue };
        let block = match &row.rows {
            Some(rows) => format!("{}, {rows}", row.block),
            None => row.block.clone(),
        };
        let start = facts.start;
        let up = match times.up_from {
            _ if facts.spray(book.journal()).sessions.is_empty() => When::day(start.local.date()),
            Some(from) => When::At(whole(book, from), Some(start)),
            None => When::At(start, None),
        };
        let why = |also: Option<String>| -> Vec<String> {
            let asked = format!("Asked for by {}.", list(&row.asked_by));
            let recorded = row.recorded.iter().map(|said| format!("On record: {said}."));
            [format!("For the spray of {}.", row.day), asked].into_iter().chain(also).chain(recorded).collect()
        };
        let draft = |kind: EventKind, at: When, state: EventState, title: String, why: Vec<String>| Draft {
            kind,
            key: keys.of(times.spray, times.block),
            at,
            state,
            title,
            why,
            place: Some(place(book, times.block)),
        };
        let state = task(book, up, times.up);
        drafts.extend([draft(EventKind::SignsUp, up, state, format!("{block}: warning signs up"), why(None))]);
        let Some(from) = times.down_from else { continue };
        let down = When::At(whole(book, from), times.down_by.filter(|by| *by > whole(book, from)));
        // Where no rule says by when, signs are never late.
        let state = match task(book, down, times.down) {
            EventState::Overdue if times.down_by.is_none() => EventState::Past,
            state => state,
        };
        let (title, also) = match &row.ask {
            Some(ask) => (
                format!("{block}: ask before warning signs come down"),
                Some(format!("No re-entry interval is recorded for {ask}: ask first.")),
            ),
            None => (
                format!("{block}: warning signs may come down"),
                row.other.then(|| "Another spray keeps the block closed until then.".to_string()),
            ),
        };
        drafts.extend([draft(EventKind::SignsDown, down, state, title, why(also))]);
    }
}

/// When sheets may come down.
fn of_sheets(book: &Book<'_>, keys: &SprayKeys, drafts: &mut Drafts) {
    let duties = Duties::new(book.season);
    for facts in book.sprays() {
        let Some(asked) = sheet_asked(book, &duties, facts) else { continue };
        let Some(block) = facts.touched.first().map(|touched| touched.block) else { continue };
        let spray = facts.spray(book.journal());
        let missing = without_interval(book, facts, &undeclared(book, spray));
        let stays = stays(book, facts, &asked, !missing.is_empty());
        let over: Moment = whole(book, stays.over);
        let changes = sheets(book, facts);
        let up = changes.iter().filter(|change| change.up).count();
        let taken = up > 0 && up == changes.len() - up;
        let at = When::At(over, None);
        let state = match task(book, at, taken) {
            // It may come down then; no rule says that it must.
            EventState::Overdue | EventState::Due => EventState::Past,
            state => state,
        };
        let ground = format!("the spray of {} on {}", book.ground(&spray.ground), day(spray.at.day));
        let mut why = vec![format!("Asked for by {}.", list(&asked.by.iter().map(|by| &by.en).collect::<Vec<_>>()))];
        why.push(format!("{}.", stays.why.en.trim_end_matches('.')));
        let title = if stays.at_least {
            why.push(format!("No re-entry interval is recorded for {}: ask first.", list(&missing)));
            format!("Ask before the sheet about {ground} comes down")
        } else {
            format!("The sheet about {ground} may come down")
        };
        drafts.extend([Draft {
            kind: EventKind::SheetDown,
            key: keys.of(facts.index, block),
            at,
            state,
            title,
            why,
            place: Some(place(book, block)),
        }]);
    }
}
