//! See the Markdown beside this file.

use super::holds::{Closed, walk};
use super::{Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::BlockId;
use crate::season::{BlockEntry, EntryKind, Season};

pub(super) const CHECK: Check = Check {
    code: "entry-before-reentry",
    level: Level::Error,
    summary: "People in a block before its re-entry interval was over",
    explain: include_str!("entry_before_reentry.md"),
    run,
};

/// People in a closed block.
struct Hit {
    entry: BlockEntry,
    closed: Closed,
    ran_into: bool,
}

impl Hit {
    /// The record and the spray, for putting the blocks of one record together.
    fn key(&self) -> (bool, usize, usize, bool) {
        let (pick, record) = match self.entry.what {
            EntryKind::Work(at) => (false, at),
            EntryKind::Harvest(at) => (true, at),
        };
        (pick, record, self.closed.at, self.ran_into)
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let mut hits: Vec<Hit> = Vec::new();
    walk(
        season,
        |_| true,
        |_, _, _| None,
        |meeting| {
            if let Some(closed) = meeting.reentry.filter(|closed| meeting.too_soon(closed)) {
                hits.push(Hit { entry: *meeting.entry, closed, ran_into: meeting.ran_into });
            }
        },
    );
    hits.sort_by_key(|hit| (hit.key(), hit.entry.block));
    for hits in hits.chunk_by(|one, other| one.key() == other.key()) {
        report(season, found, &hits[0], hits.iter().map(|hit| hit.entry.block));
    }
}

fn report(season: &Season<'_>, found: &mut Findings, hit: &Hit, blocks: impl Iterator<Item = BlockId>) {
    let Hit { entry, closed, ran_into } = hit;
    let facts = &season.sprays[closed.at];
    let spray = facts.spray(season.journal);
    let elapsed = closed.until.seconds - facts.end.seconds;
    // Had the spray ended as soon as it began, the interval might have been over.
    let certain = !facts.end_assumed || *ran_into || entry.start.seconds < facts.start.seconds.saturating_add(elapsed);
    // An end that was written and could not be believed is another finding's matter.
    let unreadable = spray.time_lost
        || spray.sessions.iter().any(|session| session.end.is_some_and(|end| end.local <= session.start.local));
    if !certain && unreadable {
        return;
    }
    let visit = scene::visit(season, entry.what);
    let place = scene::named(season, blocks);
    let material = say::material(season, closed.material);
    let until = say::moment(closed.until);
    // As the grower wrote it: hours stay hours.
    let interval = season.words(closed.span);
    let when = if entry.start_written {
        format!("at {} on {}", entry.start.local.format("%H:%M"), say::day(entry.start.local.date()))
    } else {
        format!("on {}", say::day(visit.day))
    };
    let headline = if *ran_into {
        let began = facts.start.local.format("%H:%M on %-d %B %Y");
        format!("{} in {place} was still going on when {material} was sprayed there at {began}", visit.what)
    } else {
        format!("{} in {place} began {when}, while it was closed until {until} after {material}", visit.what)
    };
    let at = visit.sessions.first().map_or(visit.line, |session| session.span);
    let sprayed = spray.sessions.last().map_or(spray.at.line, |session| session.span);
    let mut finding = found
        .finding(at, headline)
        .here("people were here")
        .label(sprayed, "sprayed here")
        .label(closed.span, "re-entry interval set here")
        .working(format!("the spray ended {}; {interval} later is {until}", say::moment(facts.end)));
    if !ran_into && entry.start_written {
        let early = closed.until.seconds - entry.start.seconds;
        finding = finding.working(format!("{} began {} before that", visit.what, say::time(early)));
    }
    let shown = closed.until.local.signed_duration_since(facts.end.local).num_seconds();
    if elapsed != shown {
        finding = finding.working("the clocks changed in between; the hours that really passed are counted");
    }
    if facts.end_assumed {
        finding = finding.working("when it ended is not on record, so the end of that day is taken");
    }
    if !certain {
        finding.level = Level::Warning;
    }
    if facts.doses.len() > 1 {
        finding = finding.working(format!("{material} has the longest re-entry interval in that tank"));
    }
    found.add(
        finding
            .help("if the times are right, keep people out, see to anyone who was exposed, and follow the product label and the worker-protection rules of your place; if not, put the times right")
            .source("the interval is the one in your material entry; it runs from the end of the application, and the longest of the tank counts (40 CFR 170.407, as carried in WAC 16-233-116)"),
    );
}
