//! See the Markdown beside this file.

use chrono::{Datelike, NaiveDate};
use rustc_hash::FxHashSet;

use super::asked::{ALONE, VISITS};
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::{Finding, Level};
use crate::journal::{Entered, Journal, Session};
use crate::season::{Season, grounds};
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "future-date",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "Something done that is still to come",
    explain: include_str!("future_date.md"),
    run,
};

/// A future day is put down to a slip of the year when the same day a year before is at most so many days from today.
const YEAR_SLIP_WITHIN: i64 = 60;

fn run(season: &Season<'_>, found: &mut Findings) {
    let journal = season.journal;
    if let Some(today) = season.as_of {
        pages(journal, found, today);
    }
    found.each_spray(season, ALONE, |found, _, facts| {
        let spray = facts.spray(journal);
        times(season, found, spray.at.day, &spray.sessions);
        entered(season, found, spray.at.day, spray.entered.as_deref());
    });
    found.among(season, &[EntryWord::Observe], |found| {
        for seen in &journal.observations {
            entered(season, found, seen.at.day, seen.entered.as_deref());
        }
    });
    found.among(season, VISITS, |found| {
        for visit in scene::visits(season) {
            times(season, found, visit.day, visit.sessions);
            entered(season, found, visit.day, visit.entered);
        }
    });
}

/// Pages after today, but those of forecasts alone.
fn pages(journal: &Journal, found: &mut Findings, today: NaiveDate) {
    let foretold = only_foretold(journal, today);
    for page in journal.days.iter().filter(|page| page.at.day > today) {
        let day = page.at.day;
        if foretold.contains(&day) {
            continue;
        }
        let headline =
            format!("this page is dated {}, {} after today", say::day(day), scene::days(scene::between(today, day)));
        let finding = found.finding(page.at.line, headline).working(format!("today is {}", say::day(today)));
        found.add(
            slipped(finding, day, today)
                .help("put the date right; what is still to come belongs in a program or a forecast"),
        );
    }
}

/// The days after today with forecasts and nothing that was done: a forecast is of what is still to come.
fn only_foretold(journal: &Journal, today: NaiveDate) -> FxHashSet<NaiveDate> {
    let mut foretold: FxHashSet<NaiveDate> =
        journal.forecasts.iter().map(|it| it.at.day).filter(|&day| day > today).collect();
    if foretold.is_empty() {
        return foretold;
    }
    let records = grounds(journal).filter(|(kind, ..)| *kind != EntryWord::Forecast).map(|(_, at, _)| at.day);
    let care = journal.calibrations.iter().map(|it| it.at.day).chain(journal.cleanings.iter().map(|it| it.at.day));
    let stock = journal.receipts.iter().map(|it| it.at.day).chain(journal.brews.iter().map(|it| it.at.day));
    let shelf = journal.counts.iter().map(|it| it.at.day).chain(journal.discards.iter().map(|it| it.at.day));
    let paper = journal.approvals.iter().map(|it| it.at.day).chain(journal.trainings.iter().map(|it| it.at.day));
    let rest = journal.amendments.iter().map(|it| it.at.day).chain(journal.samples.iter().map(|it| it.at.day));
    for day in records.chain(care).chain(stock).chain(shelf).chain(paper).chain(rest) {
        foretold.remove(&day);
    }
    foretold
}

/// A session that begins after today, on a page that is not itself in the future.
fn times(season: &Season<'_>, found: &mut Findings, page: NaiveDate, sessions: &[Session]) {
    let Some(today) = season.as_of.filter(|today| page <= *today) else { return };
    for session in sessions {
        let day = session.start.local.date();
        if day > today {
            let headline =
                format!("this began on {}, {} after today", say::day(day), scene::days(scene::between(today, day)));
            let finding = found.finding(session.start.span, headline).working(format!("today is {}", say::day(today)));
            found.add(slipped(finding, day, today).help("put the date right"));
        }
    }
}

fn entered(season: &Season<'_>, found: &mut Findings, page: NaiveDate, entered: Option<&Entered>) {
    let Some(entered) = entered else { return };
    let day = entered.day;
    if day < page {
        let headline = format!(
            "this was written down on {}, {} before it happened",
            say::day(day),
            scene::days(scene::between(day, page))
        );
        let finding = found.finding(entered.span, headline).working(format!("its page is {}", say::day(page)));
        found.add(
            finding.help("put the earlier or the later date right: a record is made when the thing is done, or after"),
        );
    } else if let Some(today) = season.as_of
        && day > today
        && page <= today
    {
        let headline = format!(
            "this was written down on {}, {} after today",
            say::day(day),
            scene::days(scene::between(today, day))
        );
        let finding = found.finding(entered.span, headline).working(format!("today is {}", say::day(today)));
        found.add(slipped(finding, day, today).help("put the date right"));
    }
}

fn slipped(finding: Finding, day: NaiveDate, today: NaiveDate) -> Finding {
    let year_before = day.with_year(day.year() - 1);
    let slip = year_before.filter(|meant| scene::between(*meant, today).abs() <= YEAR_SLIP_WITHIN);
    finding.slip(slip.map(|meant| {
        format!("the year: {} is {} from today", say::day(meant), scene::days(scene::between(meant, today).abs()))
    }))
}
