//! One entry of the calendar: what kind it is, when, and the name by which a calendar program knows it again.

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveDateTime, Timelike};
use serde::Serialize;

use super::super::digest::Digest;
use super::super::phrases::whole_minute;
use crate::season::Moment;

/// Declares the kinds of entries, each with the word it is asked for by and what it is called.
macro_rules! kinds {
    ($($(#[$about:meta])* $kind:ident = $word:literal, $name:literal;)*) => {
        /// What an entry is about.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum EventKind { $($(#[$about])* $kind,)* }

        impl EventKind {
            /// Every kind, in the order in which those of one time stand.
            pub const ALL: &'static [EventKind] = &[$(EventKind::$kind,)*];

            /// The word it is asked for by.
            pub const fn word(self) -> &'static str {
                match self { $(EventKind::$kind => $word,)* }
            }

            /// What it is called.
            pub const fn name(self) -> &'static str {
                match self { $(EventKind::$kind => $name,)* }
            }
        }
    };
}

kinds! {
    /// The days in which a round may be sprayed.
    Round = "round", "Round due";
    /// When a re-entry interval ends.
    Reentry = "re-entry", "Re-entry";
    /// When harvest intervals are over.
    Clear = "clear-to-pick", "Clear to pick";
    /// When picking is expected.
    Picking = "picking", "Picking expected";
    /// When warning signs go up.
    SignsUp = "signs-up", "Signs up";
    /// When warning signs come down.
    SignsDown = "signs-down", "Signs down";
    /// When a sheet may come down.
    SheetDown = "sheet-down", "Sheet down";
    /// From when a batch may be used.
    Ready = "ready", "Batch ready";
    /// Until when a batch or a delivery may be used.
    UseBy = "use-by", "Use by";
    /// When a sprayer is to be measured again.
    Calibration = "calibration", "Calibration";
    /// By when a record is to be complete.
    Record = "record", "Record due";
    /// By when a report is handed in.
    Report = "report", "Report due";
    /// The last day of a licence.
    Licence = "licence", "Licence";
    /// The last day for which a training counts.
    Training = "training", "Training";
    /// The last day of an approval.
    Approval = "approval", "Approval";
}

/// How an entry stands on the day that counts as today.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventState {
    /// It is still ahead, or not over.
    ToCome,
    /// It is the time for it.
    Due,
    /// Its time is over, and nothing says that it was done.
    Overdue,
    /// Something stands in its way.
    Blocked,
    /// It was done.
    Done,
    /// It was left out on purpose.
    Skipped,
    /// It went by.
    Past,
    /// Something else took its place: what a calendar may still hold of it is no longer so.
    Replaced,
}

impl EventState {
    /// The word that pages and programs see.
    pub const fn word(self) -> &'static str {
        match self {
            EventState::ToCome => "to come",
            EventState::Due => "due",
            EventState::Overdue => "overdue",
            EventState::Blocked => "blocked",
            EventState::Done => "done",
            EventState::Skipped => "skipped",
            EventState::Past => "past",
            EventState::Replaced => "replaced",
        }
    }
}

/// When an entry is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// All of some days, from the first to the last.
    Days(NaiveDate, NaiveDate),
    /// A moment, and, where it lasts, its end.
    At(Moment, Option<Moment>),
}

impl When {
    /// One day.
    pub(super) const fn day(day: NaiveDate) -> Self {
        When::Days(day, day)
    }

    /// The first day it touches.
    pub fn first_day(self) -> NaiveDate {
        match self {
            When::Days(first, _) => first,
            When::At(start, _) => start.local.date(),
        }
    }

    /// The last day it touches.
    pub fn last_day(self) -> NaiveDate {
        match self {
            When::Days(_, last) => last,
            When::At(start, end) => end.unwrap_or(start).local.date(),
        }
    }

    /// The order of time: what takes whole days stands before what begins on them.
    pub(super) fn order(self) -> (NaiveDate, Option<Moment>, NaiveDate) {
        match self {
            When::Days(first, last) => (first, None, last),
            When::At(start, _) => (start.local.date(), Some(start), self.last_day()),
        }
    }

    fn words(self) -> String {
        match self {
            When::Days(first, last) if first == last => weekday(first),
            When::Days(first, last) => format!("{} to {}", weekday(first), weekday(last)),
            When::At(start, end) => {
                let start = whole_minute(start);
                let words = format!("{}, {}", weekday(start.date()), start.format("%H:%M"));
                match end.map(|end| end.local) {
                    None => words,
                    Some(end) if end.date() == start.date() => format!("{words} to {}", end.format("%H:%M")),
                    Some(end) => format!("{words} to {}, {}", weekday(end.date()), end.format("%H:%M")),
                }
            }
        }
    }
}

/// `Thu 14 May 2026`.
fn weekday(day: NaiveDate) -> String {
    day.format("%a %-d %b %Y").to_string()
}

/// An entry of the calendar.
#[derive(Clone, Debug, Serialize)]
pub struct Event {
    /// The word of its kind.
    pub kind: &'static str,
    /// What its kind is called.
    pub name: &'static str,
    /// By what a calendar program knows it again: always the same for the same thing, whatever its time.
    pub uid: String,
    /// How it stands: `to come`, `due`, `overdue`, `blocked`, `done`, `skipped`, `past` or `replaced`.
    pub state: &'static str,
    /// When, in words.
    pub when: String,
    /// Whether it takes whole days.
    pub all_day: bool,
    /// The first day, or the moment: with the farm's own offset from UTC where its time zone is known.
    pub start: String,
    /// The last day, which is part of it, or the end; absent for a moment.
    pub end: Option<String>,
    /// What it is, in a line that stands alone.
    pub title: String,
    /// What stands behind it.
    pub why: Vec<String>,
    /// The block, where it is about one.
    pub block: Option<String>,
    /// Where the block is.
    pub location: Option<String>,
    /// When, for machines.
    #[serde(skip)]
    pub at: When,
    /// How it stands, for machines.
    #[serde(skip)]
    pub standing: EventState,
    #[serde(skip)]
    pub(super) sort: EventKind,
}

/// What an entry is made of.
pub(super) struct Draft {
    pub kind: EventKind,
    /// What it is about, by names and days: never its time, so that a time put right moves the entry.
    pub key: Vec<String>,
    pub at: When,
    pub state: EventState,
    pub title: String,
    pub why: Vec<String>,
    /// The block's title, and where it is.
    pub place: Option<(String, Option<String>)>,
}

impl Draft {
    /// The entry of a farm. Moments are shown with their offset where the time zone is known.
    pub(super) fn event(self, farm: &str, zoned: bool) -> Event {
        let (block, location) = self.place.map_or((None, None), |(block, location)| (Some(block), location));
        let (start, end) = match self.at {
            When::Days(first, last) => (first.to_string(), Some(last.to_string())),
            When::At(start, end) => (iso(start, zoned), end.map(|end| iso(end, zoned))),
        };
        Event {
            kind: self.kind.word(),
            name: self.kind.name(),
            uid: uid(farm, self.kind, &self.key),
            state: self.state.word(),
            when: self.at.words(),
            all_day: matches!(self.at, When::Days(..)),
            start,
            end,
            title: self.title,
            why: self.why,
            block,
            location,
            at: self.at,
            standing: self.state,
            sort: self.kind,
        }
    }
}

/// The name by which calendar programs know an entry again. RFC 7986 section 5.3 wants it unique for all time and without
/// anything in it that tells of a user or a computer: a digest of what the entry is about, at a domain that RFC 2606
/// section 2 keeps from ever being anybody's.
fn uid(farm: &str, kind: EventKind, key: &[String]) -> String {
    let parts = [farm, kind.word()].into_iter().chain(key.iter().map(String::as_str));
    // Each part with its length in front, so that no two lists of parts are the same text.
    let text: String = parts.map(|part| format!("{}:{part}", part.len())).collect();
    format!("{}@foliary.invalid", &Digest::of_text(&text).long[..40])
}

/// A moment as ISO 8601 has it, to the second.
fn iso(moment: Moment, zoned: bool) -> String {
    let offset = moment.local.and_utc().timestamp().saturating_sub(moment.seconds);
    let zone = i32::try_from(offset).ok().and_then(FixedOffset::east_opt).filter(|_| zoned);
    match zone.zip(DateTime::from_timestamp(moment.seconds, 0)) {
        Some((zone, time)) => time.with_timezone(&zone).to_rfc3339(),
        None => without_zone(moment.local),
    }
}

fn without_zone(local: NaiveDateTime) -> String {
    local.with_nanosecond(0).unwrap_or(local).format("%Y-%m-%dT%H:%M:%S").to_string()
}
