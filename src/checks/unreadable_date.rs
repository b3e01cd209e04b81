//! See the Markdown beside this file.

use chrono::{Datelike, NaiveDate};

use super::lost::lost_lines;
use super::wording::{either, hides, quote};
use super::{Ahead, Check, Findings, say};
use crate::finding::{Finding, Level};
use crate::journal::{DateTrouble, Trouble};
use crate::season::Season;
use crate::syntax::Lost;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "unreadable-date",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A day or a time that is none",
    explain: include_str!("unreadable_date.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let &Trouble::UnreadableDate { at, why } = trouble else { continue };
        if hides(season, at) {
            continue;
        }
        let finding = match why {
            DateTrouble::NoSuchTime => no_such_time(season, at, found),
            DateTrouble::NoSuchDay | DateTrouble::NotADate => no_such_day(season, at, found),
        };
        found.add(finding);
    }
    for lost in lost_lines(season) {
        if let Lost::OtherDate(date) = &lost.lost {
            let finding = other_order(season, lost.at(&date.at), &date.readings, found);
            found.add(finding);
        }
    }
}

fn other_order(season: &Season<'_>, at: Span, readings: &[NaiveDate], found: &Findings) -> Finding {
    let written = quote(season, at);
    let days: Vec<String> = readings.iter().map(|day| format!("{day} ({})", say::day(*day))).collect();
    let (headline, help) = match readings {
        [] => {
            (format!("{written} is no date: a date is written year-month-day"), "write it like 2026-05-14".to_string())
        }
        [_] => {
            (format!("{written} is no date as the journal writes them: year-month-day"), format!("write {}", days[0]))
        }
        _ => (
            format!("{written} could be two days, so it is read as neither"),
            format!("write {}, whichever it was", either(&days)),
        ),
    };
    found.finding(at, headline).here("year, month, day is the only order").help(help)
}

fn no_such_day(season: &Season<'_>, at: Span, found: &Findings) -> Finding {
    let written = season.words(at);
    let number = |range: std::ops::Range<usize>| written.get(range).and_then(|part| part.parse::<u32>().ok());
    let parts = (number(0..4), number(5..7), number(8..10));
    let finding = found.finding(at, format!("there is no day {written}"));
    let (Some(year), Some(month), Some(day)) = parts else { return finding };
    let swapped = NaiveDate::from_ymd_opt(year as i32, day, month);
    match NaiveDate::from_ymd_opt(year as i32, month, 1) {
        None => {
            let finding = finding.here(format!("there is no month {month}"));
            match swapped {
                Some(other) => finding
                    .help(format!("the order is year-month-day; with month and day the other way round it is {other}")),
                None => finding.help("the order is year-month-day, such as 2026-05-14"),
            }
        }
        Some(first) => {
            let days = first.num_days_in_month();
            finding.here(format!("{} has {days} days", first.format("%B %Y")))
        }
    }
}

fn no_such_time(season: &Season<'_>, at: Span, found: &Findings) -> Finding {
    let written = season.words(at);
    let finding = found.finding(at, format!("there is no time {written}"));
    let lower = written.to_ascii_lowercase();
    if lower.starts_with("24:") {
        return finding.here("the day ends at 23:59").help("write `00:00 next day` for midnight");
    }
    if lower.ends_with('m') {
        return finding.here("with am or pm the hours run from 1 to 12");
    }
    finding.here("hours run from 00 to 23, minutes from 00 to 59")
}
