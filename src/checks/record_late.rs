//! See the Markdown beside this file.

use chrono::{Days, NaiveDate};

use super::asked::RECORD;
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::{Asked, Duties};
use crate::finding::Level;
use crate::journal::Entered;
use crate::quantity::Exact;
use crate::rulebook::{Demand, TimeSpan};
use crate::season::{Moment, Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "record-late",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A record that was made later than a rulebook allows",
    explain: include_str!("record_late.md"),
    run,
};

/// A time to make the record in.
fn deadline(demand: &Demand) -> Option<(TimeSpan, &'static str)> {
    match demand {
        Demand::Deadline(within) => Some((*within, "the record is made")),
        Demand::MachineReadable(within) => Some((*within, "a form that machines can read is made")),
        _ => None,
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    if duties.of_kind(deadline).next().is_none() {
        return;
    }
    found.each_spray(season, RECORD, |found, _, facts| {
        let spray = facts.spray(season.journal);
        // An end that is only taken as so makes nobody late.
        let Some(entered) = spray.entered.as_deref().filter(|_| !facts.end_assumed || !spray.sessions.is_empty())
        else {
            return;
        };
        let late: Vec<(Asked<'_>, (TimeSpan, &str))> = duties
            .of_spray(facts, deadline)
            .filter(|(_, (within, _))| is_late(season, facts, spray.at.day, entered, *within))
            .collect();
        if !late.is_empty() {
            report(season, found, facts, entered, &late);
        }
    });
}

/// Whether a record was surely made after the time was over.
fn is_late(season: &Season<'_>, facts: &SprayFacts, day: NaiveDate, entered: &Entered, within: TimeSpan) -> bool {
    let last_day = |days: u32| facts.end.local.date().max(day).checked_add_days(Days::new(u64::from(days)));
    match within {
        TimeSpan::SameDay => last_day(0).is_some_and(|last| entered.day > last),
        TimeSpan::Days(days) => last_day(days).is_some_and(|last| entered.day > last),
        TimeSpan::Seconds(seconds) => made(season, entered).seconds > season.zone.later(facts.end, seconds).seconds,
    }
}

/// When the record was made; the start of its day where no time is written.
fn made(season: &Season<'_>, entered: &Entered) -> Moment {
    match entered.clock {
        Some(clock) => season.zone.written(clock, false).0,
        None => season.zone.start_of(entered.day),
    }
}

fn allowed(season: &Season<'_>, facts: &SprayFacts, day: NaiveDate, within: TimeSpan) -> String {
    let end = facts.end.local.date().max(day);
    match within {
        TimeSpan::SameDay => format!("on the day of the spray: by the end of {}", say::day(end)),
        TimeSpan::Days(days) => {
            let last = end.checked_add_days(Days::new(u64::from(days))).unwrap_or(end);
            format!("within {}: by {}", scene::days(i64::from(days)), say::day(last))
        }
        TimeSpan::Seconds(seconds) => {
            let hours = scene::hours(Exact::int(seconds));
            format!("within {hours}: by {}", say::moment(season.zone.later(facts.end, seconds)))
        }
    }
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    facts: &SprayFacts,
    entered: &Entered,
    late: &[(Asked<'_>, (TimeSpan, &str))],
) {
    let spray = facts.spray(season.journal);
    let place = scene::blocks(season, &spray.ground);
    let after = match scene::between(facts.end.local.date(), entered.day) {
        0 => say::time(made(season, entered).seconds - facts.end.seconds),
        days => scene::days(days),
    };
    let headline =
        format!("the spray of {place} on {} was written down {after} after it ended, too late", say::day(spray.at.day));
    let mut finding = found.finding(entered.span, headline);
    if late.iter().all(|(asked, _)| asked.from_memory()) {
        finding.level = Level::Note;
    }
    finding = finding.label(spray.at.line, "the spray");
    for (asked, (within, what)) in late {
        let name = asked.adoption.adopted.name.span;
        if !finding.labels.iter().any(|label| label.span == name) {
            finding = finding.label(name, "rulebook taken on here");
        }
        finding = finding.working(format!(
            "{}: {what} {}",
            asked.adoption.book.name,
            allowed(season, facts, spray.at.day, *within)
        ));
    }
    let cited: Vec<String> = late.iter().map(|(asked, _)| asked.cited()).collect();
    let slip = (scene::between(facts.end.local.date(), entered.day) >= 28).then(|| {
        "if the record was made in time and only typed here later, `entered` is the day it was first written down"
            .to_string()
    });
    found.add(
        finding
            .slip(slip)
            .help(
                "leave the true day as it is; say why with `accept record-late`, and write the next ones the same day",
            )
            .source(cited.join("; ")),
    );
}
