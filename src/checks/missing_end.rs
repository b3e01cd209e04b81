//! See the Markdown beside this file.

use super::asked::RECORD;
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::Duties;
use crate::finding::Level;
use crate::rulebook::Element;
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "missing-end",
    level: Level::Note,
    ahead: Ahead::Nothing,
    summary: "A spray without an end, taken as the end of that day",
    explain: include_str!("missing_end.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    // A rulebook may ask by anything, people included.
    found.each_spray(season, RECORD, |found, _, facts| {
        let spray = facts.spray(season.journal);
        let open = spray.sessions.iter().find(|session| session.end.is_none());
        if !facts.end_assumed || spray.time_lost || open.is_none() && !spray.sessions.is_empty() {
            return;
        }
        let interval = any_interval(season, facts);
        let workers = scene::ids(&spray.ground.blocks)
            .find_map(|id| season.journal.block(id).workers.filter(|workers| workers.value));
        if facts.reentry.is_none() && interval.is_none() && workers.is_none() {
            return;
        }
        // Where a rulebook asks for the time, the record is incomplete, and that finding says what is taken for the end.
        if duties.asks(facts, Element::End) || open.is_none() && duties.asks(facts, Element::Start) {
            return;
        }
        let at = open.map_or(spray.at.line, |session| session.span);
        let place = scene::blocks(season, &spray.ground);
        let day = say::day(facts.start.local.date());
        let missing = if open.is_some() { "no end time" } else { "no time" };
        let taken = say::moment(facts.end);
        let headline = format!("the spray of {place} on {day} has {missing}; its end is taken as {taken}");
        let mut finding = found.finding(at, headline);
        if let Some(hold) = facts.reentry {
            finding = finding
                .label(hold.span, "re-entry is counted from the end")
                .working(format!("re-entry then runs until {}", scene::day_or_moment(hold.until)));
        } else if let Some(span) = interval {
            finding = finding.label(span, "the harvest interval is counted from the end");
        } else if let Some(workers) = workers {
            finding = finding.label(workers.span, "workers are told when a spray ended");
        }
        let start = spray.sessions.first().map_or("05:50", |session| season.words(session.start.span));
        let help = match open {
            Some(_) => format!("add the end: `time {start} to` and the time"),
            None => "add when it began and ended, such as `time 05:50 to 07:20`".to_string(),
        };
        found.add(finding.help(help).source(
            "GLOBALG.A.P., crop protection records: where no end time is recorded, the end of that day is taken",
        ));
    });
}

/// Where the first harvest interval is set that runs from this spray.
fn any_interval(season: &Season<'_>, facts: &SprayFacts) -> Option<crate::text::Span> {
    facts.touched.iter().find_map(|touched| {
        let crop = season.crop(touched.block);
        facts.doses.iter().find_map(|dose| {
            let interval = season.preharvest(dose.material, crop)?;
            interval.time.seconds()?.is_positive().then_some(interval.span)
        })
    })
}
