//! A day: its weekday, and how far it is from today.

use chrono::{Datelike as _, NaiveDate};

use super::words::Page;
use crate::editor::state::Cursor;
use crate::syntax::Entry;
use crate::text::Span;

/// The day that the cursor is on.
pub(super) fn day(cursor: &Cursor<'_>, entry: &Entry, at: Span) -> Option<Page> {
    let at = if entry.head.weekday == Some(at) { entry.head.date? } else { at };
    let date: NaiveDate = cursor.desk.sources().slice(at).parse().ok()?;
    let mut page = Page::default().title(date.format("%A, %-d %B %Y").to_string());
    if let Some(today) = cursor.desk.today() {
        page = page.text(from_today(date, today));
    }
    Some(page.text(format!("Day {} of the year.", date.ordinal())))
}

/// How far a day is from today: `Today.`, `12 days ago.`, `In 3 days.`
pub fn from_today(date: NaiveDate, today: NaiveDate) -> String {
    match date.signed_duration_since(today).num_days() {
        0 => "Today.".to_string(),
        1 => "Tomorrow.".to_string(),
        -1 => "Yesterday.".to_string(),
        days if days > 0 => format!("In {days} days."),
        days => format!("{} days ago.", -days),
    }
}
