//! Days and times as written.

use chrono::{NaiveDate, NaiveTime};

use super::trouble::DateTrouble;

/// A day, `2026-05-14`.
pub(super) fn date_of(words: &str) -> Result<NaiveDate, DateTrouble> {
    let bytes = words.as_bytes();
    let digits = |from: usize, to: usize| {
        bytes
            .get(from..to)
            .filter(|part| part.iter().all(u8::is_ascii_digit))
            .map(|part| part.iter().fold(0u32, |value, digit| value * 10 + u32::from(digit - b'0')))
    };
    let (Some(year), Some(month), Some(day)) = (digits(0, 4), digits(5, 7), digits(8, 10)) else {
        return Err(DateTrouble::NotADate);
    };
    if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
        return Err(DateTrouble::NotADate);
    }
    NaiveDate::from_ymd_opt(year as i32, month, day).ok_or(DateTrouble::NoSuchDay)
}

/// A time of day: `05:50`, `5:50 am`.
pub(super) fn clock_of(words: &str) -> Option<NaiveTime> {
    let (hour, rest) = words.split_once(':')?;
    let mut hour: u32 = hour.parse().ok()?;
    let minute: u32 = rest.get(..2)?.parse().ok()?;
    match rest.get(2..)?.trim_start().to_ascii_lowercase().as_str() {
        "" => {}
        half @ ("am" | "pm") => {
            if hour == 0 || hour > 12 {
                return None;
            }
            hour = hour % 12 + if half == "pm" { 12 } else { 0 };
        }
        _ => return None,
    }
    NaiveTime::from_hms_opt(hour, minute, 0)
}
