//! Days as spreadsheets have them, in whichever order.

use chrono::{Datelike as _, NaiveDate, Weekday};
use serde::Deserialize;

use super::clock::{Span, span_of_words};
use super::sheet::{Sheet, Value};
use crate::syntax::{other_date, weekday_named};

/// In which order the numbers of a day stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DateOrder {
    /// `5/14/2024`.
    MonthDayYear,
    /// `14/5/2024`.
    DayMonthYear,
    /// `24/5/14`.
    YearMonthDay,
    /// Nothing in the sheet tells.
    #[default]
    Unsettled,
}

impl DateOrder {
    /// As the mapping file writes it.
    pub fn word(self) -> &'static str {
        match self {
            DateOrder::MonthDayYear => "month-day-year",
            DateOrder::DayMonthYear => "day-month-year",
            DateOrder::YearMonthDay => "year-month-day",
            DateOrder::Unsettled => "unsettled",
        }
    }
}

/// The order of a whole column, and how that is known.
pub(super) fn order_of(sheet: &Sheet, rows: std::ops::Range<usize>, column: usize) -> (DateOrder, String) {
    let mut month_first = None;
    let mut day_first = None;
    let mut either = None;
    for row in rows {
        let Value::Text(words) = &sheet.cell(row, column).value else { continue };
        let Some((one, two, third)) = numbers(without_weekday(words).1) else { continue };
        if third.is_none_or(|third| third.1 == 0) || one.1 == 4 {
            continue;
        }
        let place = || Some(format!("`{words}` in row {}", row + 1));
        match (one.0, two.0) {
            (13.., _) if day_first.is_none() => day_first = place(),
            (_, 13..) if month_first.is_none() => month_first = place(),
            (one, two) if one != two && one <= 12 && two <= 12 && either.is_none() => either = place(),
            _ => {}
        }
    }
    match (month_first, day_first) {
        (Some(place), None) => (DateOrder::MonthDayYear, format!("{place} can only be read so")),
        (None, Some(place)) => (DateOrder::DayMonthYear, format!("{place} can only be read so")),
        (Some(one), Some(other)) => {
            (DateOrder::Unsettled, format!("{one} has the month first, {other} has the day first"))
        }
        (None, None) => match either {
            Some(place) => (DateOrder::Unsettled, format!("{place} can be read in two ways, and no other row tells")),
            None => (DateOrder::Unsettled, String::new()),
        },
    }
}

/// A day read, with the time that stood behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct ReadDay {
    pub(super) day: NaiveDate,
    pub(super) clock: Option<Span>,
    /// What the grower should look at.
    pub(super) doubt: Option<String>,
}

/// The day of a cell.
///
/// # Errors
/// A sentence that says why it is not known.
pub(super) fn day_of(value: &Value, order: DateOrder, year: Option<i32>) -> Result<ReadDay, String> {
    let plain = |day, clock| Ok(ReadDay { day, clock, doubt: None });
    match value {
        Value::Day(day) => plain(*day, None),
        Value::Moment(day, clock) => plain(*day, Some((*clock, None))),
        Value::Text(words) => day_of_words(words, order, year),
        Value::Number(number) => Err(format!("`{number}` is a number, not a day: give the column a date format")),
        Value::Clock(_) => Err("the date cell holds a time of day".to_string()),
        Value::Failed(mark) => Err(format!("the date cell shows {mark}")),
        Value::Empty => Err("the date cell is blank: say what blank-date means".to_string()),
    }
}

fn day_of_words(words: &str, order: DateOrder, year: Option<i32>) -> Result<ReadDay, String> {
    let (day_words, clock) = with_clock(words);
    let (weekday, bare) = without_weekday(day_words);
    let settled = |day: NaiveDate| {
        let doubt = weekday.filter(|&weekday| weekday != day.weekday());
        let doubt = doubt.map(|_| format!("`{words}`: {day} is a {}", day.format("%A")));
        Ok(ReadDay { day, clock, doubt })
    };
    if let Ok(day) = bare.parse::<NaiveDate>()
        && bare.len() == 10
    {
        return settled(day);
    }
    let readings = match numbers(bare) {
        Some(found) => {
            let readings = numeric(found, order, year).ok_or_else(|| no_year(words))?;
            // There is no month 13: one of another order, in a column of one, can be read in one way only.
            match numeric(found, DateOrder::Unsettled, year).as_deref() {
                Some(&[day]) if readings.is_empty() => {
                    let doubt = Some(format!("`{words}` can only be {day}, in another order than the column's"));
                    return Ok(ReadDay { day, clock, doubt });
                }
                _ => readings,
            }
        }
        None => {
            let spoken = spoken(bare);
            let other = other_date(&spoken, year).ok_or_else(|| format!("`{words}` is not understood as a day"))?;
            if other.at.end < spoken.trim_end().len() {
                return Err(format!("`{words}` holds more than a day"));
            }
            if other.readings.is_empty() && year.is_none() {
                return Err(no_year(words));
            }
            other.readings
        }
    };
    match readings[..] {
        [] => Err(format!("there is no day `{words}`{}", in_order(order))),
        [day] => settled(day),
        _ => {
            let fitting: Vec<NaiveDate> =
                readings.iter().copied().filter(|day| Some(day.weekday()) == weekday).collect();
            match fitting[..] {
                [day] => settled(day),
                _ => {
                    let all: Vec<String> = readings.iter().map(ToString::to_string).collect();
                    Err(format!("`{words}` is {}: say the date-order", all.join(" or ")))
                }
            }
        }
    }
}

/// `14-May-24` as `14 May 2024`.
fn spoken(words: &str) -> String {
    let plain = words.replace(['-', '/', ',', '\''], " ");
    let parts: Vec<&str> = plain.split_whitespace().collect();
    let is_number = |part: &&str| part.bytes().all(|byte| byte.is_ascii_digit());
    match parts[..] {
        [one, two, year] if year.len() == 2 && is_number(&year) => {
            let year = year.parse().map_or(0, |number| full_year((number, 2)));
            format!("{one} {two} {year}")
        }
        _ => parts.join(" "),
    }
}

fn no_year(words: &str) -> String {
    format!("`{words}` has no year: say the year")
}

fn in_order(order: DateOrder) -> String {
    if order == DateOrder::Unsettled { String::new() } else { format!(" in the order {}", order.word()) }
}

/// A number and how many digits it was written with.
type Digits = (u32, usize);

/// `5/14/2024`, `14.5.24`, `2024-5-14`, `5/14`.
fn numbers(words: &str) -> Option<(Digits, Digits, Option<Digits>)> {
    let mark = words.chars().find(|mark| matches!(mark, '/' | '.' | '-'))?;
    let digits = |part: &str| -> Option<Digits> {
        let part = part.trim();
        let counts = matches!(part.len(), 1 | 2 | 4) && part.bytes().all(|byte| byte.is_ascii_digit());
        counts.then(|| part.parse().ok().map(|number| (number, part.len())))?
    };
    let parts: Vec<Digits> = words.trim_end_matches('.').split(mark).map(digits).collect::<Option<_>>()?;
    match parts[..] {
        [one, two] if one.1 < 4 && two.1 < 4 => Some((one, two, None)),
        [one, two, three] => Some((one, two, Some(three))),
        _ => None,
    }
}

/// The days that three numbers may mean in an order, or in any; nothing where no year is known.
fn numeric(found: (Digits, Digits, Option<Digits>), order: DateOrder, year: Option<i32>) -> Option<Vec<NaiveDate>> {
    let (one, two, three) = found;
    let day = |year: i32, month: Digits, day: Digits| NaiveDate::from_ymd_opt(year, month.0, day.0);
    let mut days: Vec<NaiveDate> = match (one.1, three, order) {
        (4, Some(three), _) => day(one.0 as i32, two, three).into_iter().collect(),
        (_, Some(three), DateOrder::YearMonthDay) => day(full_year(one), two, three).into_iter().collect(),
        _ => {
            let year = three.map(full_year).or(year)?;
            let month_first = day(year, one, two).filter(|_| order != DateOrder::DayMonthYear);
            let day_first = day(year, two, one).filter(|_| order != DateOrder::MonthDayYear);
            month_first.into_iter().chain(day_first).collect()
        }
    };
    days.sort_unstable();
    days.dedup();
    Some(days)
}

/// Two digits are of the hundred years that end with 2050: nobody's records of sprays reach beyond either end.
fn full_year(year: Digits) -> i32 {
    let (year, digits) = (year.0 as i32, year.1);
    match (digits, year) {
        (4, _) => year,
        (_, 0..=50) => 2000 + year,
        _ => 1900 + year,
    }
}

/// A weekday in front, and the rest.
fn without_weekday(words: &str) -> (Option<Weekday>, &str) {
    let words = words.trim();
    let letters = words.len() - words.trim_start_matches(|letter: char| letter.is_ascii_alphabetic()).len();
    match weekday_named(&words[..letters]) {
        Some(weekday) => (Some(weekday), words[letters..].trim_start_matches([' ', ',', '.'])),
        None => (None, words),
    }
}

/// The day's words, and a time behind them, or from when to when.
fn with_clock(words: &str) -> (&str, Option<Span>) {
    let Some(colon) = words.find(':') else { return (words, None) };
    let Some(space) = words[..colon].rfind([' ', 'T']) else { return (words, None) };
    match span_of_words(&words[space + 1..]) {
        Some(clock) => (words[..space].trim_end_matches([',', ' ']), Some(clock)),
        None => (words, None),
    }
}
