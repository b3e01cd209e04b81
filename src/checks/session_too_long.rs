//! See the Markdown beside this file.

use chrono::{Duration, NaiveDateTime, Timelike};

use super::asked::{ALONE, VISITS};
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::{Clocked, Ground, Session};
use crate::season::{ClockFit, Season};

pub(super) const CHECK: Check = Check {
    code: "session-too-long",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A session of more hours than anybody works",
    explain: include_str!("session_too_long.md"),
    run,
};

/// Longer than this nobody sprays at a stretch, in hours. Common practice, no source.
const SPRAYING: i64 = 12;
/// Longer than this nobody works or picks in a day, in hours. Common practice, no source.
const WORKING: i64 = 16;
/// Taking one half of the day for the other moves a time by so much.
const HALF_DAY: Duration = Duration::hours(12);
/// A slip of 12 hours is offered only where the time that is left is this short.
const LONGEST_SLIP: Duration = Duration::hours(8);

fn run(season: &Season<'_>, found: &mut Findings) {
    found.each_spray(season, ALONE, |found, _, facts| {
        let spray = facts.spray(season.journal);
        look(season, found, "the spray", &spray.ground, &spray.sessions, SPRAYING);
    });
    found.among(season, VISITS, |found| {
        scene::visits(season).for_each(|visit| look(season, found, visit.what, visit.ground, visit.sessions, WORKING));
    });
}

fn look(season: &Season<'_>, found: &mut Findings, what: &str, ground: &Ground, sessions: &[Session], most: i64) {
    for session in sessions {
        let Some(written) = session.end else { continue };
        let (start, start_fit) = season.zone.written(session.start, false);
        let (end, end_fit) = season.zone.written(written, true);
        let plain = start_fit == ClockFit::Once && end_fit == ClockFit::Once;
        let seconds = end.seconds.saturating_sub(start.seconds);
        if !plain || seconds <= most * 3_600 {
            continue;
        }
        let place = scene::blocks(season, ground);
        let of = if place.is_empty() { what.to_string() } else { format!("{what} of {place}") };
        let headline = format!(
            "{of} on {} went on for {}, from {} to {}",
            say::day(start.local.date()),
            say::time(seconds),
            clock(start.local),
            if end.local.date() == start.local.date() { clock(end.local) } else { say::moment(end) }
        );
        found.add(
            found
                .finding(session.span, headline)
                .here(format!("more than {most} hours at a stretch"))
                .slip(half_day_slip(season, session.start, written))
                .help("put the times right, write a `time` for each session, or accept this with the reason")
                .source("common practice, no source"),
        );
    }
}

/// Which of the two hours was taken 12 hours off, where that leaves a session of the usual length.
fn half_day_slip(season: &Season<'_>, start: Clocked, end: Clocked) -> Option<String> {
    let left = end.local - start.local - HALF_DAY;
    if left <= Duration::zero() || left > LONGEST_SLIP {
        return None;
    }
    let has = |clocked: Clocked, mark: &str| season.words(clocked.span).to_ascii_lowercase().contains(mark);
    let later = (start.local.hour() < 12).then(|| {
        let meant = clock(start.local + HALF_DAY);
        match has(start, "am") {
            true => format!("`am` where `pm` was meant at the start: {meant}"),
            false => format!("an afternoon hour written without `pm` at the start: {meant}"),
        }
    });
    let sooner = (end.local.hour() >= 12 && has(end, "pm"))
        .then(|| format!("`pm` where `am` was meant at the end: {}", clock(end.local - HALF_DAY)));
    match (later, sooner) {
        (Some(later), Some(sooner)) => Some(format!("{later}; or {sooner}")),
        (one, other) => one.or(other),
    }
}

fn clock(local: NaiveDateTime) -> String {
    local.format("%H:%M").to_string()
}
