//! Times of day as spreadsheets have them, and from when to when.

use chrono::{NaiveTime, TimeDelta};

use super::sheet::{Cell, Value};

/// From when, and to when where that is known.
pub(super) type Span = (NaiveTime, Option<NaiveTime>);

/// What stands between two times.
const TO: [&str; 8] = ["through", "thru", "until", "till", "to", "-", "\u{2013}", "\u{2014}"];

/// How long a spray that ends behind noon may be for its end to be read so. Common practice, no source.
const LONGEST: TimeDelta = TimeDelta::hours(8);

/// The time of day of a cell.
///
/// # Errors
/// A sentence where it has none.
pub(super) fn clock_of(cell: &Cell) -> Result<NaiveTime, String> {
    match &cell.value {
        Value::Clock(clock) | Value::Moment(_, clock) => Some(*clock),
        Value::Text(words) => clock_of_words(words),
        _ => None,
    }
    .ok_or_else(|| format!("`{}` is not understood as a time of day", cell.words()))
}

/// The time of day of a cell, or from when to when.
///
/// # Errors
/// A sentence where it has none.
pub(super) fn span_of(cell: &Cell) -> Result<Span, String> {
    match &cell.value {
        Value::Text(words) => {
            span_of_words(words).ok_or_else(|| format!("`{words}` is not understood as a time of day"))
        }
        _ => Ok((clock_of(cell)?, None)),
    }
}

/// `05:50`, `05:50-07:20`, `5:50 to 7:20 am`, `6-7:30 pm`.
pub(super) fn span_of_words(words: &str) -> Option<Span> {
    if let Some(clock) = clock_of_words(words) {
        return Some((clock, None));
    }
    let lower = words.trim().to_lowercase();
    let lower = lower.strip_prefix("from ").unwrap_or(&lower);
    let (from, to) = TO.iter().find_map(|mark| lower.split_once(mark))?;
    let (from, to) = between(Clock::read(from)?, Clock::read(to)?)?;
    Some((from, Some(to)))
}

/// Two times of which one may say for both in which half of the day they are: `6:00-7:30 pm`, `11 am to 1:30`.
fn between(from: Clock, to: Clock) -> Option<(NaiveTime, NaiveTime)> {
    // A bare hour is a time beside one that is written out.
    let is_plain = |clock: Clock| clock.minute.is_some() || clock.afternoon.is_some();
    if !is_plain(from) && !is_plain(to) {
        return None;
    }
    let halves = |clock: Clock, other: Clock| match (clock.afternoon, other.afternoon) {
        (None, Some(half)) if (1..=12).contains(&clock.hour) => vec![Some(half), Some(!half)],
        (own, _) => vec![own],
    };
    let times = |clock: Clock, other: Clock| -> Option<Vec<NaiveTime>> {
        halves(clock, other).into_iter().map(|afternoon| Clock { afternoon, ..clock }.time()).collect()
    };
    let (starts, mut ends) = (times(from, to)?, times(to, from)?);
    // `11:30-1:15` ends behind noon, unless that is longer than anybody sprays.
    if from.afternoon.is_none() && to.afternoon.is_none() && from.hour <= 12 && to.hour < 12 {
        let later = Clock { hour: to.hour + 12, ..to }.time()?;
        ends.extend((later - starts[0] <= LONGEST).then_some(later));
    }
    // The half that was written first, as long as the end comes behind the start.
    let in_order = starts.iter().flat_map(|&start| ends.iter().map(move |&end| (start, end)));
    in_order.clone().find(|(start, end)| start <= end).or_else(|| in_order.clone().next())
}

/// `5:50`, `05:50:00`, `5:50 am`, `6am`, `0550`, `5.50`, `5h50`.
fn clock_of_words(words: &str) -> Option<NaiveTime> {
    // A number alone is no time.
    Clock::read(words).filter(|clock| clock.minute.is_some() || clock.afternoon.is_some())?.time()
}

/// A time as it is written.
#[derive(Clone, Copy)]
struct Clock {
    hour: u32,
    minute: Option<u32>,
    /// In which half of the day, where that is written.
    afternoon: Option<bool>,
}

impl Clock {
    fn read(words: &str) -> Option<Self> {
        let lower = words.trim().to_lowercase().replace("a.m.", "am").replace("p.m.", "pm");
        let digits = lower.trim_end_matches(|letter: char| letter.is_ascii_alphabetic() || letter == ' ');
        let afternoon = match lower[digits.len()..].trim() {
            "am" | "a" => Some(false),
            "pm" | "p" => Some(true),
            "" | "h" | "hrs" => None,
            _ => return None,
        };
        let parts: Vec<&str> = digits.split([':', '.', 'h']).collect();
        let number = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit()).then(|| part.parse::<u32>().ok())?;
        let (hour, minute) = match parts[..] {
            [hour, minute] | [hour, minute, _] if minute.len() == 2 && matches!(hour.len(), 1 | 2) => {
                (number(hour)?, Some(number(minute)?))
            }
            [both] if both.len() == 4 && afternoon.is_none() => {
                let both = number(both)?;
                (both / 100, Some(both % 100))
            }
            [hour] if matches!(hour.len(), 1 | 2) => (number(hour)?, None),
            _ => return None,
        };
        Some(Self { hour, minute, afternoon })
    }

    fn time(self) -> Option<NaiveTime> {
        let hour = match self.afternoon {
            Some(_) if !(1..=12).contains(&self.hour) => return None,
            Some(afternoon) => self.hour % 12 + if afternoon { 12 } else { 0 },
            None => self.hour,
        };
        NaiveTime::from_hms_opt(hour, self.minute.unwrap_or_default(), 0)
    }
}
