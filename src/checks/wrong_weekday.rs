//! See the Markdown beside this file.

use chrono::Datelike;

use super::wording::{hides, quote};
use super::{Check, Findings, say};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;
use crate::syntax::weekday_named;

pub(super) const CHECK: Check = Check {
    code: "wrong-weekday",
    level: Level::Error,
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
        let finding = match nearest {
            Some(near) if near.year() > 0 => finding.help(format!(
                "the nearest {} is {}: put right the date or the weekday",
                full(written),
                say::day(near)
            )),
            _ => finding.help("put right the date or the weekday"),
        };
        found.add(finding);
    }
}

fn full(weekday: chrono::Weekday) -> &'static str {
    match weekday {
        chrono::Weekday::Mon => "Monday",
        chrono::Weekday::Tue => "Tuesday",
        chrono::Weekday::Wed => "Wednesday",
        chrono::Weekday::Thu => "Thursday",
        chrono::Weekday::Fri => "Friday",
        chrono::Weekday::Sat => "Saturday",
        chrono::Weekday::Sun => "Sunday",
    }
}
