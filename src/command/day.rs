//! Days as they are typed behind an option.

use chrono::{Datelike as _, Days, NaiveDate};

use crate::syntax::other_date;

/// A day as the journal writes it.
pub(super) fn day(words: &str) -> Result<NaiveDate, String> {
    let words = words.trim();
    match words.parse::<NaiveDate>() {
        // Two digits of a year would be a year of antiquity.
        Ok(day) if (1000..=9999).contains(&day.year()) => Ok(day),
        _ => Err(no_such_day(words).unwrap_or_else(|| written(words))),
    }
}

/// `2026-02-30` is written as a day, but there is no such.
fn no_such_day(words: &str) -> Option<String> {
    let mut parts = words.split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    if year.len() != 4 || parts.next().is_some() {
        return None;
    }
    let (year, month, _): (i32, u32, u32) = (year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
    let first = NaiveDate::from_ymd_opt(year, month, 1);
    Some(match first {
        Some(first) => {
            let next = first.checked_add_months(chrono::Months::new(1))?;
            let last = next.checked_sub_days(Days::new(1))?;
            format!("there is no such day: {} ends with {last}", first.format("%B %Y"))
        }
        None => "there is no such month: the months are 01 to 12, and the day comes behind".to_string(),
    })
}

/// How a day is written, and that one where it is known.
fn written(words: &str) -> String {
    // `26-05-14` is refused for its year alone.
    let short = words.parse::<NaiveDate>().ok().and_then(|day| day.with_year(2000 + day.year().rem_euclid(100)));
    let readings = match short {
        Some(day) => vec![day],
        None => other_date(words, None)
            .filter(|other| other.at == (0..words.len()))
            .map(|other| other.readings)
            .unwrap_or_default(),
    };
    let meant: Vec<String> = readings.iter().map(ToString::to_string).collect();
    match meant.is_empty() {
        true => "a day is written year-month-day, as 2026-05-14".to_string(),
        false => format!("a day is written year-month-day: {}", meant.join(" or ")),
    }
}
