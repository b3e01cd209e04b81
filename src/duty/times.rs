//! By when something is due after a spray, and until when its record is kept.

use chrono::{Datelike, Days, Months, NaiveDate};

use super::Duties;
use crate::journal::Entered;
use crate::rulebook::{Keep, KeepFrom, TimeSpan};
use crate::season::{Moment, Season, SprayFacts};

/// The last time at which something is done in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Due {
    /// Any time of that day.
    Day(NaiveDate),
    /// That moment.
    At(Moment),
}

/// Whether a record was made in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// It was.
    InTime,
    /// It was not.
    Late,
    /// The day is known and is the last one, the time of that day is not.
    Unclear,
}

/// By when something is done that a rule wants so long after a spray. Days are counted from the day on which the spray
/// ended where that is after its page's, so that one over midnight is not called late. `None` past the end of the
/// calendar.
pub fn due(season: &Season<'_>, facts: &SprayFacts, within: TimeSpan) -> Option<Due> {
    let ended = last_day(season, facts);
    match within {
        TimeSpan::SameDay => Some(Due::Day(ended)),
        TimeSpan::Days(days) => ended.checked_add_days(Days::new(u64::from(days))).map(Due::Day),
        TimeSpan::Seconds(seconds) => Some(Due::At(season.zone.later(facts.end, seconds))),
    }
}

/// Whether what was written down then was written down in time.
pub fn made(season: &Season<'_>, entered: &Entered, due: Due) -> Made {
    match due {
        Due::Day(last) if entered.day <= last => Made::InTime,
        Due::Day(_) => Made::Late,
        Due::At(last) => match entered.clock {
            Some(clock) if season.zone.written(clock, false).0 <= last => Made::InTime,
            Some(_) => Made::Late,
            None if entered.day < last.local.date() => Made::InTime,
            None if entered.day > last.local.date() => Made::Late,
            None => Made::Unclear,
        },
    }
}

/// The last day of a spray.
fn last_day(season: &Season<'_>, facts: &SprayFacts) -> NaiveDate {
    facts.end.local.date().max(facts.spray(season.journal).at.day)
}

/// Until when a record is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The last day.
    pub until: NaiveDate,
    /// Whether that day moves on, since the time runs from the last entry of a book that may still be written in.
    pub moves: bool,
    /// Whether the time was to run from the end of re-entry, and no label in the tank has one on record: it is counted
    /// from the end of the spray then.
    pub without_reentry: bool,
}

/// Until when a rule wants the record of a spray kept. `None` past the end of the calendar.
pub fn kept(duties: &Duties<'_>, facts: &SprayFacts, keep: Keep) -> Option<Kept> {
    let ended = last_day(duties.season, facts);
    let (from, moves, without_reentry) = match keep.from {
        KeepFrom::Spray => (ended, false, false),
        KeepFrom::Record => {
            let entered = facts.spray(duties.season.journal).entered.as_ref().map(|entered| entered.day);
            (entered.map_or(ended, |entered| entered.max(ended)), false, false)
        }
        KeepFrom::Reentry => match facts.reentry {
            Some(hold) => (hold.until.local.date(), false, false),
            None => (ended, false, true),
        },
        KeepFrom::YearEnd => (NaiveDate::from_ymd_opt(ended.year(), 12, 31)?, false, false),
        KeepFrom::LastEntry => (duties.last_page.map_or(ended, |last| last.max(ended)), true, false),
    };
    Some(Kept { until: years_later(from, keep.years)?, moves, without_reentry })
}

/// The same day so many years later; 1 March for 29 February where that year has none, so that no time is cut short.
pub fn years_later(day: NaiveDate, years: u32) -> Option<NaiveDate> {
    let later = day.checked_add_months(Months::new(years.checked_mul(12)?))?;
    if later.day() == day.day() { Some(later) } else { later.succ_opt() }
}
