//! Days written in another order than year, month, day: recognised only to say how to write them.

use std::ops::Range;

use chrono::{NaiveDate, Weekday};

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// A day in another order, at the start of some words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OtherDate {
    /// Where it stands in the words.
    pub at: Range<usize>,
    /// The days it may mean, earliest first; none where no year is known or no such day is.
    pub readings: Vec<NaiveDate>,
}

/// Reads `5/6`, `14.5.2026`, `2026-5-6`, `May 14`, `Thu 14 May 2026`; `year` where none is written.
pub(crate) fn other_date(words: &str, year: Option<i32>) -> Option<OtherDate> {
    let mut reader = Parts { words, at: 0 };
    let weekday = reader.letters().is_some_and(|word| weekday_named(word).is_some());
    if weekday {
        reader.skip(&[' ', ',', '.']);
    } else {
        reader.at = 0;
    }
    let start = reader.at;
    let (days, year) = match reader.letters().and_then(month_named) {
        Some(month) => {
            reader.skip(&[' ', '.']);
            let day = reader.digits(2)?;
            (vec![(month, day)], reader.year_behind(year))
        }
        None => {
            reader.at = start;
            reader.numbers(year)?
        }
    };
    let start = if weekday { 0 } else { start };
    // Year, month and day in two digits each is the one right way.
    if is_right(&words[start..reader.at]) {
        return None;
    }
    let mut readings: Vec<NaiveDate> = Vec::with_capacity(2);
    for (month, day) in days {
        readings.extend(year.and_then(|year| NaiveDate::from_ymd_opt(year, month, day)));
    }
    readings.sort_unstable();
    readings.dedup();
    Some(OtherDate { at: start..reader.at, readings })
}

/// Whether a line that begins no entry is a day in words, as `May 14` or `Thu 14 May`.
pub(crate) fn is_spoken_date(line: &str) -> bool {
    let line = &line[..line.find('\n').unwrap_or(line.len())];
    let begins = line.split([' ', '\t', ',', '.']).next().unwrap_or_default();
    let counts = |word: &str| weekday_named(word).is_some() || month_named(word).is_some();
    counts(begins) && line.bytes().any(|byte| byte.is_ascii_digit())
}

/// A weekday: in full, or its first three letters or more; `Weds` too.
pub fn weekday_named(words: &str) -> Option<Weekday> {
    const DAYS: [&str; 7] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
    let written = words.to_ascii_lowercase();
    let written = if written == "weds" { "wed" } else { written.as_str() };
    let at = DAYS.iter().position(|day| written.len() >= 3 && day.starts_with(written))?;
    Weekday::try_from(at as u8).ok()
}

fn is_right(words: &str) -> bool {
    words.len() == 10
        && words.bytes().enumerate().all(|(at, byte)| match at {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        })
}

fn month_named(word: &str) -> Option<u32> {
    let word = word.to_ascii_lowercase();
    let at = MONTHS.iter().position(|month| word.len() >= 3 && month.starts_with(&word))?;
    Some(at as u32 + 1)
}

struct Parts<'w> {
    words: &'w str,
    at: usize,
}

type MonthDays = Vec<(u32, u32)>;

impl<'w> Parts<'w> {
    fn rest(&self) -> &'w str {
        &self.words[self.at..]
    }

    fn take(&mut self, fits: impl Fn(u8) -> bool) -> &'w str {
        let rest = self.rest();
        let length = rest.bytes().position(|byte| !fits(byte)).unwrap_or(rest.len());
        self.at += length;
        &rest[..length]
    }

    fn letters(&mut self) -> Option<&'w str> {
        Some(self.take(|byte| byte.is_ascii_alphabetic())).filter(|letters| !letters.is_empty())
    }

    /// A number of at most so many digits.
    fn digits(&mut self, most: usize) -> Option<u32> {
        let digits = self.take(|byte| byte.is_ascii_digit());
        if digits.is_empty() || digits.len() > most { None } else { digits.parse().ok() }
    }

    fn skip(&mut self, these: &[char]) {
        self.at = self.words.len() - self.rest().trim_start_matches(these).len();
    }

    /// A year behind a day and a month, else the one that is known anyway.
    fn year_behind(&mut self, known: Option<i32>) -> Option<i32> {
        let before = self.at;
        self.skip(&[' ', ',', '.']);
        let digits = self.take(|byte| byte.is_ascii_digit());
        if digits.len() == 4 && !self.rest().starts_with(':') {
            return digits.parse().ok();
        }
        self.at = before;
        known
    }

    /// `5/6`, `14.5.26`, `2026/5/6`, `14 May`: the month and day it may be, and the year.
    fn numbers(&mut self, known: Option<i32>) -> Option<(MonthDays, Option<i32>)> {
        let first = self.take(|byte| byte.is_ascii_digit());
        if first.is_empty() || first.len() == 3 || first.len() > 4 {
            return None;
        }
        let one: u32 = first.parse().ok()?;
        let before = self.at;
        // `14 May`, `14th of May`.
        if first.len() <= 2 {
            if ["st", "nd", "rd", "th"].iter().any(|ending| self.rest().starts_with(ending)) {
                self.at += 2;
            }
            self.skip(&[' ', '.', '-']);
            if let Some(of) = self.rest().strip_prefix("of ") {
                self.at = self.words.len() - of.len();
            }
            if let Some(month) = self.letters().and_then(month_named) {
                return Some((vec![(month, one)], self.year_behind(known)));
            }
            self.at = before;
        }
        let mark = self.rest().chars().next().filter(|mark| matches!(mark, '/' | '.' | '-'))?;
        self.at += 1;
        let two = self.digits(2)?;
        let mut third = "";
        if self.rest().starts_with(mark) {
            self.at += 1;
            third = self.take(|byte| byte.is_ascii_digit());
        }
        match (first.len(), third.len()) {
            (4, 1 | 2) => Some((vec![(two, third.parse().ok()?)], Some(one as i32))),
            (1 | 2, 0) => Some((vec![(one, two), (two, one)], known)),
            // Two digits of a year are of this century: the journal is younger than that.
            (1 | 2, 2) => Some((vec![(one, two), (two, one)], Some(2000 + third.parse::<i32>().ok()?))),
            (1 | 2, 4) => Some((vec![(one, two), (two, one)], third.parse().ok())),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use chrono::Weekday;

    use super::{is_spoken_date, other_date, weekday_named};

    fn read(words: &str) -> Option<(String, Vec<String>)> {
        let date = other_date(words, Some(2026))?;
        Some((words[date.at].to_string(), date.readings.iter().map(ToString::to_string).collect()))
    }

    #[test]
    fn both_readings_are_offered_where_both_are_days() {
        let both = vec!["2026-05-06".to_string(), "2026-06-05".to_string()];
        assert_eq!(read("5/6 Thu"), Some(("5/6".into(), both.clone())));
        assert_eq!(read("6.5.2026"), Some(("6.5.2026".into(), both.clone())));
        assert_eq!(read("5-6-26 by t-marsh"), Some(("5-6-26".into(), both)));
        assert_eq!(read("14.5.2026"), Some(("14.5.2026".into(), vec!["2026-05-14".into()])));
        assert_eq!(read("5/5"), Some(("5/5".into(), vec!["2026-05-05".into()])));
    }

    #[test]
    fn months_in_words_have_one_reading() {
        for words in
            ["May 14", "14 May", "14th of May", "Thu 14 May", "Thursday, May 14", "14 May 2026", "may 14, 2026"]
        {
            let (_, readings) = read(words).unwrap();
            assert_eq!(readings, ["2026-05-14"], "{words}");
        }
        assert_eq!(read("May 14 06:00").unwrap().0, "May 14");
        assert_eq!(read("Thu 2026-05-14"), Some(("Thu 2026-05-14".into(), vec!["2026-05-14".into()])));
        assert_eq!(read("2026/5/14").unwrap().1, ["2026-05-14"]);
    }

    #[test]
    fn what_is_no_day_is_none() {
        for words in ["", "sulfur 2 lb", "12 gal", "123/4", "mayhem 3", "5", "5/", "05:50", "2026-05-14: rain"] {
            assert_eq!(read(words), None, "{words}");
        }
        assert_eq!(read("31/31").unwrap().1, Vec::<String>::new());
        assert_eq!(other_date("5/6", None).unwrap().readings, []);
    }

    #[test]
    fn weekdays_may_be_short() {
        assert_eq!(weekday_named("Thu"), Some(Weekday::Thu));
        assert_eq!(weekday_named("thurs"), Some(Weekday::Thu));
        assert_eq!(weekday_named("Weds"), Some(Weekday::Wed));
        assert_eq!(weekday_named("Sunday"), Some(Weekday::Sun));
        assert_eq!(weekday_named("T"), None);
        assert_eq!(weekday_named("Thursdays"), None);
    }

    #[test]
    fn a_day_in_words_begins_a_page() {
        assert!(is_spoken_date("May 14\n  note cold"));
        assert!(is_spoken_date("Thu 2026-05-14"));
        assert!(is_spoken_date("Thurs, 14 May"));
        assert!(!is_spoken_date("may-pear 2"));
        assert!(!is_spoken_date("mart pear"));
        assert!(!is_spoken_date("march\n  over 1 acre"));
    }
}
