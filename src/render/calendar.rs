//! Entries as an iCalendar file (RFC 5545). The only place that knows of the library that writes it.
//!
//! Moments are in UTC where the farm's time zone is known, which every reader shows by its own clock, and floating where it
//! is not (RFC 5545 section 3.3.5). Nothing is repeated and nothing rings.

use chrono::{DateTime, Days, NaiveDate, NaiveTime, Utc};
use icalendar::{
    Calendar as File, Component, DatePerhapsTime, Event as Entry, EventLike, EventStatus, Property, ValueType,
};

use crate::documents::{Calendar, Event, EventKind, EventState, When};
use crate::season::Moment;
use crate::text::escape_hidden;

/// Who made the file.
const MADE_BY: &str = concat!("-//Foliary//foliary ", env!("CARGO_PKG_VERSION"), "//EN");
/// What stands at the end of each entry, since a calendar on a telephone shows no page around it.
const CAUTION: &str = "The product label and local law come first; look at the journal before you act by this.";

/// The file of a calendar, as of a moment in seconds of the common time scale: the start of the calendar's day where none is
/// given. Of two files the one of the later moment counts, so that one made again on the same day moves what changed.
pub fn ical(calendar: &Calendar, now: Option<i64>) -> String {
    let day = calendar.head.compiled_on.unwrap_or_default().and_time(NaiveTime::MIN).and_utc();
    let made = now.and_then(|now| DateTime::from_timestamp(now, 0)).unwrap_or(day);
    let mut file = File::empty();
    for (key, value) in [("VERSION", "2.0"), ("PRODID", MADE_BY), ("CALSCALE", "GREGORIAN")] {
        file.append_property(Property::new(key, value));
    }
    let name = text(&calendar.head.farm);
    // The first is RFC 7986 section 5.1, the second what calendar programs read before that.
    for key in ["NAME", "X-WR-CALNAME"] {
        file.append_property(Property::new(key, name.as_str()).append_parameter(ValueType::Text).done());
    }
    for event in calendar.events() {
        file.push(entry(event, made, calendar.zone.is_some()));
    }
    folded(&file.to_string())
}

/// How many octets a line may have (RFC 5545 section 3.1). The library counts the space that continues a line as none.
const LINE: usize = 75;

/// The same lines, folded so that none is longer than [`LINE`].
fn folded(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for line in text.replace("\r\n ", "").lines() {
        let mut room = LINE;
        for letter in line.chars() {
            if letter.len_utf8() > room {
                folded.push_str("\r\n ");
                room = LINE - 1;
            }
            room -= letter.len_utf8();
            folded.push(letter);
        }
        folded.push_str("\r\n");
    }
    folded
}

fn entry(event: &Event, made: DateTime<Utc>, zoned: bool) -> Entry {
    let mut entry = Entry::new();
    entry.uid(&event.uid).timestamp(made).last_modified(made).sequence(sequence(made));
    match event.at {
        // The end of whole days is the day after the last (RFC 5545 section 3.6.1).
        When::Days(first, last) => {
            entry.starts(first).ends(last.checked_add_days(Days::new(1)).unwrap_or(last));
        }
        When::At(start, end) => {
            entry.starts(moment(start, zoned));
            // Without an end it is over as it begins, which is what a moment is.
            if let Some(end) = end {
                entry.ends(moment(end, zoned));
            }
        }
    }
    entry.summary(&text(&title(event))).description(&description(event)).status(status(event));
    entry.add_property("CATEGORIES", event.name);
    // Nobody is busy by it.
    entry.add_property("TRANSP", "TRANSPARENT");
    if let Some(block) = &event.block {
        let place = event.location.as_ref().map_or_else(|| block.clone(), |location| format!("{block}, {location}"));
        entry.location(&text(&place));
    }
    entry.done()
}

/// The number of the revision, the minutes since 1 January 2000: later files have higher ones.
fn sequence(made: DateTime<Utc>) -> u32 {
    let first = NaiveDate::from_ymd_opt(2000, 1, 1).unwrap_or_default().and_time(NaiveTime::MIN).and_utc();
    u32::try_from(made.signed_duration_since(first).num_minutes()).unwrap_or_default()
}

fn moment(moment: Moment, zoned: bool) -> DatePerhapsTime {
    match DateTime::<Utc>::from_timestamp(moment.seconds, 0).filter(|_| zoned) {
        Some(time) => time.into(),
        None => moment.local.into(),
    }
}

/// The title, with how it stands in front where that is not plain from the time: calendars show little else.
fn title(event: &Event) -> String {
    match event.standing {
        EventState::ToCome | EventState::Due | EventState::Past | EventState::Replaced => event.title.clone(),
        EventState::Overdue => format!("Overdue: {}", event.title),
        EventState::Blocked => format!("Blocked: {}", event.title),
        EventState::Done => format!("Done: {}", event.title),
        EventState::Skipped => format!("Skipped: {}", event.title),
    }
}

fn description(event: &Event) -> String {
    let lines: Vec<String> = event.why.iter().map(|line| text(line)).chain([CAUTION.to_string()]).collect();
    lines.join("\n")
}

fn status(event: &Event) -> EventStatus {
    match event.standing {
        EventState::Skipped | EventState::Replaced => EventStatus::Cancelled,
        // Days of rounds to come move with the rounds before them.
        EventState::ToCome if event.kind == EventKind::Round.word() => EventStatus::Tentative,
        _ => EventStatus::Confirmed,
    }
}

/// A line of text: what would break a line or cannot be seen is written out. The library escapes the rest.
fn text(words: &str) -> String {
    escape_hidden(&words.replace(['\r', '\n', '\t'], " ")).into_owned()
}
