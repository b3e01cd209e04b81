//! See the Markdown beside this file.

use chrono::{Datelike, NaiveDate, Weekday};

use super::wording::{hides, quote};
use super::{Ahead, Check, Findings, say};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;
use crate::syntax::weekday_named;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "wrong-weekday",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A weekday that is not the date's",
    explain: include_str!("wrong_weekday.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let &Trouble::WrongWeekday { at, date, is } = trouble else { continue };
        if hides(season, at) {
            continue;
        }
        let (day, weekday) = (season.words(date), full(is));
        let Some(written) = weekday_named(season.words(at)) else {
            let finding = found
                .finding(at, format!("{} is no weekday", quote(season, at)))
                .here("only a weekday may stand behind the date")
                .help(format!("{day} is a {weekday}; anything else about the day goes behind `note`"));
            found.add(finding);
            continue;
        };
        let finding = found
            .finding(at, format!("{day} is a {weekday}, not a {}", full(written)))
            .here("one of the two is wrong")
            .label(date, format!("a {weekday}"));
        // The day with that weekday which is nearest, at most three days off.
        let nearest = day.parse::<chrono::NaiveDate>().ok().and_then(|day| {
            let later = (7 + written.num_days_from_monday() - is.num_days_from_monday()) % 7;
            let shift = if later > 3 { i64::from(later) - 7 } else { i64::from(later) };
            day.checked_add_signed(chrono::TimeDelta::days(shift))
        });
        let parsed = day.parse::<NaiveDate>().ok();
        let other_year = parsed.and_then(|day| other_year(season, day, written));
        let finding = match (nearest, other_year, parsed) {
            (_, Some(other), Some(day)) if in_order(season, date, other) && !in_order(season, date, day) => {
                finding.slip(Some(format!("the year: {other} is a {}", full(written)))).help("put right the year")
            }
            (Some(near), Some(other), _) => finding.help(format!(
                "the nearest {} is {}, and {other} is one too: put right the date, the year or the weekday",
                full(written),
                say::day(near)
            )),
            (Some(near), None, _) if near.year() > 0 => finding.help(format!(
                "the nearest {} is {}: put right the date or the weekday",
                full(written),
                say::day(near)
            )),
            _ => finding.help("put right the date or the weekday"),
        };
        found.add(finding);
    }
}

/// The same day of the year before or after, where that is the weekday and it is not still to come.
fn other_year(season: &Season<'_>, day: NaiveDate, weekday: Weekday) -> Option<NaiveDate> {
    let years = [day.year() - 1, day.year() + 1].into_iter().filter(|&year| year > 0);
    let past = |other: &NaiveDate| season.as_of.is_none_or(|today| *other <= today);
    years.filter_map(|year| day.with_year(year)).filter(past).find(|other| other.weekday() == weekday)
}

/// Whether a day lies between the page before a date line and the one behind it; false where it is the only page.
fn in_order(season: &Season<'_>, date: Span, day: NaiveDate) -> bool {
    let days = &season.journal.days;
    let at = days.partition_point(|day| day.at.line.end < date.end);
    let before = at.checked_sub(1).and_then(|before| days.get(before)).map(|page| page.at.day);
    let after = days.get(at + 1).map(|page| page.at.day);
    (before.is_some() || after.is_some())
        && before.is_none_or(|before| before <= day)
        && after.is_none_or(|after| day <= after)
}

fn full(weekday: Weekday) -> &'static str {
    match weekday {
        Weekday::Mon => "Monday",
        Weekday::Tue => "Tuesday",
        Weekday::Wed => "Wednesday",
        Weekday::Thu => "Thursday",
        Weekday::Fri => "Friday",
        Weekday::Sat => "Saturday",
        Weekday::Sun => "Sunday",
    }
}
