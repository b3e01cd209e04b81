//! See the Markdown beside this file.

use super::asked::{ALONE, VISITS};
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::{Clocked, Session};
use crate::season::{ClockFit, Season};

pub(super) const CHECK: Check = Check {
    code: "clock-change",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A clock time that did not exist, or that happened twice",
    explain: include_str!("clock_change.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    if season.zone.name().is_none() {
        return;
    }
    found.each_spray(season, ALONE, |found, _, facts| look(season, found, &facts.spray(season.journal).sessions));
    found.among(season, VISITS, |found| {
        scene::visits(season).for_each(|visit| look(season, found, visit.sessions));
    });
}

fn look(season: &Season<'_>, found: &mut Findings, sessions: &[Session]) {
    for session in sessions {
        time(season, found, session.start, false);
        if let Some(end) = session.end {
            time(season, found, end, true);
        }
    }
}

fn time(season: &Season<'_>, found: &mut Findings, clocked: Clocked, end: bool) {
    let (taken, fit) = season.zone.written(clocked, end);
    let zone = season.zone.name().unwrap_or_default();
    let local = clocked.local;
    let (clock, day) = (local.format("%H:%M"), say::day(local.date()));
    let headline = match fit {
        ClockFit::Once => return,
        ClockFit::Never => format!("{clock} on {day} never happened in {zone}: the clocks jumped over it"),
        ClockFit::Twice => {
            format!("{clock} on {day} happened twice in {zone}, and the journal does not say which is meant")
        }
    };
    let mut finding = found.finding(clocked.span, headline);
    if let Some(written) = season.journal.farm.as_ref().and_then(|farm| farm.zone) {
        finding = finding.label(written.span, "the farm's time zone");
    }
    if let Some(change) = season.zone.change_at(local) {
        let how = if change.to > change.from { "forward" } else { "back" };
        finding = finding.working(format!(
            "the clocks went {how} from {} to {}",
            change.from.format("%H:%M"),
            change.to.format("%H:%M")
        ));
    }
    let finding = match (fit, end) {
        (ClockFit::Never, _) => finding
            .working(format!("taken as {}, the moment of the change", taken.local.format("%H:%M")))
            .help("put the time right: a watch that had not been set yet shows the hour before"),
        (_, end) => {
            let (which, why) = if end {
                ("second", "the later of the two, so that no interval ends too soon")
            } else {
                ("first", "the earlier of the two")
            };
            finding
                .working(format!("taken as the {which}, {why}"))
                .help(format!("write `{clock} first` or `{clock} second`"))
        }
    };
    found.add(finding.source("IANA time zone database"));
}
