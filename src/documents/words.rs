//! How documents say days, times, numbers and lists.

use chrono::{Datelike, NaiveDate};

pub(super) use crate::checks::{day, interval, list};
use crate::journal::Stated;
use crate::quantity::{Exact, System, Unit};
use crate::season::Moment;

/// `14 May`.
pub(super) fn day_short(day: NaiveDate) -> String {
    day.format("%-d %b").to_string()
}

/// `from 3 March to 12 September 2026`, with each fact said once.
pub(super) fn days(first: NaiveDate, last: NaiveDate) -> String {
    if first == last {
        format!("on {}", day(first))
    } else if first.year() == last.year() {
        format!("from {} to {}", first.format("%-d %B"), day(last))
    } else {
        format!("from {} to {}", day(first), day(last))
    }
}

/// `14 May 2026 07:20`.
pub(super) fn moment(moment: Moment) -> String {
    moment.local.format("%-d %B %Y %H:%M").to_string()
}

/// The first moment that is clear: `8 May 2026` where that is the day's first, `8 May 2026 07:20` otherwise.
pub(super) fn clear_from(until: Moment) -> String {
    if until.local.time() == chrono::NaiveTime::MIN { day(until.local.date()) } else { moment(until) }
}

/// `07:20` on its own day, `15 May 07:20` on another.
pub(super) fn clock(moment: Moment, page: NaiveDate) -> String {
    if moment.local.date() == page {
        moment.local.format("%H:%M").to_string()
    } else {
        moment.local.format("%-d %B %H:%M").to_string()
    }
}

/// `1 spray`, `3 sprays`.
pub(super) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// A time on a label, as it was written: `12 h`, `14 days`, `none stated`.
pub(super) fn stated(time: Stated) -> String {
    match time {
        Stated::NoneStated => "none stated".to_string(),
        Stated::For(time) => time.to_string(),
    }
}

/// The unit that ground is counted by: `acre` or `ha`.
pub(super) fn ground_unit(home: System) -> Unit {
    if home == System::Metric { Unit::HECTARE } else { Unit::ACRE }
}

/// The other of the two systems that documents show.
pub(super) fn other_system(home: System) -> System {
    if home == System::Metric { System::Us } else { System::Metric }
}

/// A whole percentage of a fraction of one, rounded to the nearest.
pub(super) fn percent(share: Exact) -> Option<i128> {
    let hundredfold = share.mul(Exact::int(100))?;
    Some(hundredfold.add(Exact::new(1, 2)?)?.floor())
}

/// Words as the beginning of a sentence.
pub(super) fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first: String = letters.next().map(char::to_uppercase).into_iter().flatten().collect();
    first + letters.as_str()
}
