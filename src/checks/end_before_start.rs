//! See the Markdown beside this file.

use chrono::{Duration, NaiveDateTime, Timelike};

use super::asked::{ALONE, VISITS};
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::{Clocked, Ground, Session};
use crate::season::{ClockFit, Season};
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "end-before-start",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "An end that is not after its start",
    explain: include_str!("end_before_start.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.each_spray(season, ALONE, |found, _, facts| {
        let spray = facts.spray(season.journal);
        look(season, found, "the spray", &spray.ground, &spray.sessions);
    });
    found.among(season, &[EntryWord::Observe], |found| {
        for seen in &season.journal.observations {
            look(season, found, "the observation", &seen.ground, seen.time.as_slice());
        }
    });
    found.among(season, VISITS, |found| {
        scene::visits(season).for_each(|visit| look(season, found, visit.what, visit.ground, visit.sessions));
    });
}

fn look(season: &Season<'_>, found: &mut Findings, what: &str, ground: &Ground, sessions: &[Session]) {
    for session in sessions {
        let Some(written) = session.end else { continue };
        let (start, start_fit) = season.zone.written(session.start, false);
        let (end, end_fit) = season.zone.written(written, true);
        let (from, to) = (session.start.local, written.local);
        // A time that the clock change skipped or repeated is another finding's matter.
        let plain = start_fit == ClockFit::Once && end_fit == ClockFit::Once;
        if end.seconds > start.seconds || !(plain || to <= from) {
            continue;
        }
        let place = scene::blocks(season, ground);
        let of = if place.is_empty() { what.to_string() } else { format!("{what} of {place}") };
        let headline = if to == from {
            format!("{of} ends at {}, when it starts", clock(to))
        } else if to.date() == from.date() {
            format!("{of} ends at {}, before it starts at {}", clock(to), clock(from))
        } else {
            format!(
                "{of} ends on {} {}, before it starts on {} {}",
                say::day(to.date()),
                clock(to),
                say::day(from.date()),
                clock(from)
            )
        };
        let mut finding =
            found.finding(written.span, headline).here("ends here").label(session.start.span, "starts here");
        let afternoon = to.hour() < 12 && short(to + HALF_DAY - from);
        let overnight = to < from && to.date() == from.date() && from.hour() >= 15;
        if let Some(slip) = half_day_slip(season, session, written) {
            if afternoon {
                finding = finding.working(format!(
                    "12 hours later it would be {}, {} after the start",
                    clock(to + HALF_DAY),
                    say::time((to + HALF_DAY - from).num_seconds())
                ));
            }
            finding = finding.slip(Some(slip));
        } else if overnight {
            finding = finding.slip(Some("it went on past midnight".to_string()));
        }
        finding = if overnight {
            finding.help(format!(
                "if it ended after midnight, write `{} next day`; until then the end of that day is taken",
                clock(to)
            ))
        } else {
            finding.help("put the times right; until then the end of that day is taken, and re-entry and harvest are counted from it")
        };
        found.add(finding);
    }
}

/// An hour of the afternoon written as one of the morning.
const HALF_DAY: Duration = Duration::hours(12);
/// A slip of 12 hours is offered only where the time that it would mean is this short.
const LONGEST_SLIP: Duration = Duration::hours(8);

fn short(time: Duration) -> bool {
    time > Duration::zero() && time <= LONGEST_SLIP
}

/// Which of the two hours was taken 12 hours off, in the words they are written in: an end in the morning that may be one
/// of the afternoon, and a start with `pm` that may be one of the morning.
fn half_day_slip(season: &Season<'_>, session: &Session, end: Clocked) -> Option<String> {
    let (from, to) = (session.start.local, end.local);
    let has = |clocked: Clocked, mark: &str| season.words(clocked.span).to_ascii_lowercase().contains(mark);
    let later = (to.hour() < 12 && short(to + HALF_DAY - from)).then(|| {
        let meant = clock(to + HALF_DAY);
        match has(end, "am") {
            true => format!("`am` where `pm` was meant at the end: {meant}"),
            false => format!("an afternoon hour written without `pm`: {meant}"),
        }
    });
    let sooner = (has(session.start, "pm") && from.hour() >= 12 && short(to - (from - HALF_DAY)))
        .then(|| format!("`pm` where `am` was meant at the start: {}", clock(from - HALF_DAY)));
    match (later, sooner) {
        (Some(later), Some(sooner)) => Some(format!("{later}; or {sooner}")),
        (one, other) => one.or(other),
    }
}

fn clock(local: NaiveDateTime) -> String {
    local.format("%H:%M").to_string()
}
