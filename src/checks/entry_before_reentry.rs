//! See the Markdown beside this file.

use rustc_hash::FxHashSet;

use super::holds::{Closed, Meeting, walk};
use super::{Ahead, Check, Findings, When, say, scene};
use crate::finding::Level;
use crate::journal::{BlockId, Session, Spray};
use crate::season::{BlockEntry, EntryKind, Season};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "entry-before-reentry",
    level: Level::Error,
    ahead: Ahead::Round(When::OnTheDay),
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
    fn key(&self) -> (bool, usize, usize, Option<usize>, bool) {
        let (pick, record) = record(&self.entry);
        (pick, record, self.closed.at, self.closed.rinse, self.ran_into)
    }
}

/// People in a block on the day of a spray or under its interval.
struct Beside {
    entry: BlockEntry,
    /// The spray, as a place in the season's list.
    at: usize,
    /// The interval that was running, for people who came later.
    closed: Option<Closed>,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let met = walk(season, found, |_| true, |_, _, _| None, |meeting| judge(season, &meeting));
    let mut hits: Vec<Hit> = Vec::new();
    let (mut during, mut untimed): (Vec<Beside>, Vec<Beside>) = Default::default();
    for met in met {
        match met {
            Met::Closed(hit) => hits.push(hit),
            Met::During(one) => during.push(one),
            Met::Untimed(one) => untimed.push(one),
        }
    }
    let sprayed: FxHashSet<(bool, usize, usize)> =
        during.iter().map(|one| (record(&one.entry), one.at)).map(flat).collect();
    hits.retain(|hit| !sprayed.contains(&flat((record(&hit.entry), hit.closed.at))));
    hits.sort_by_key(|hit| (hit.key(), hit.entry.block));
    for hits in hits.chunk_by(|one, other| one.key() == other.key()) {
        report(season, found, &hits[0], hits.iter().map(|hit| hit.entry.block));
    }
    during.sort_by_key(|one| (record(&one.entry), one.at, one.entry.block));
    for hits in during.chunk_by(|one, other| (record(&one.entry), one.at) == (record(&other.entry), other.at)) {
        tell_during(season, found, &hits[0], hits.iter().map(|hit| hit.entry.block));
    }
    // Of one record without a time, one thing is asked: the time.
    let told: FxHashSet<(bool, usize)> = hits.iter().map(|hit| record(&hit.entry)).collect();
    untimed.retain(|one| !told.contains(&record(&one.entry)));
    untimed.sort_by_key(|one| (record(&one.entry), one.at, one.entry.block));
    for hits in untimed.chunk_by(|one, other| record(&one.entry) == record(&other.entry)) {
        let of_first = hits.iter().filter(|hit| hit.at == hits[0].at);
        ask_for_time(season, found, &hits[0], of_first.map(|hit| hit.entry.block));
    }
}

/// What people in a block met.
enum Met {
    Closed(Hit),
    During(Beside),
    Untimed(Beside),
}

fn judge(season: &Season<'_>, meeting: &Meeting<'_>) -> Option<Met> {
    let (entry, closed) = (*meeting.entry, meeting.reentry);
    match (meeting.spray, closed) {
        // Who sprays may be there; who was exposed later may not.
        (Some(at), _) if !scene::only_sprayers(season, &entry, &season.sprays[at]) => {
            let one = Beside { entry, at, closed: None };
            Some(if entry.start_written { Met::During(one) } else { Met::Untimed(one) })
        }
        (Some(_), closed) => {
            closed.filter(|_| entry.start_written).map(|closed| Met::Closed(Hit { entry, closed, ran_into: true }))
        }
        (None, Some(closed)) if meeting.too_soon(&closed) => {
            Some(Met::Closed(Hit { entry, closed, ran_into: meeting.ran_into }))
        }
        (None, Some(closed)) if !entry.start_written && closed.until > entry.start && !closed.end_assumed => {
            Some(Met::Untimed(Beside { entry, at: closed.at, closed: Some(closed) }))
        }
        (None, _) => None,
    }
}

/// The record of people in a block: whether it is a pick, and its place in the list.
fn record(entry: &BlockEntry) -> (bool, usize) {
    match entry.what {
        EntryKind::Work(at) => (false, at),
        EntryKind::Harvest(at) => (true, at),
    }
}

fn flat(((pick, record), at): ((bool, usize), usize)) -> (bool, usize, usize) {
    (pick, record, at)
}

const DURING: &str =
    "nobody but those who spray may be in the treated ground until it is done (40 CFR 170.405(a), from memory)";

fn tell_during(season: &Season<'_>, found: &mut Findings, one: &Beside, blocks: impl Iterator<Item = BlockId>) {
    let facts = &season.sprays[one.at];
    let (visit, spray) = (scene::visit(season, one.entry.what), facts.spray(season.journal));
    let place = scene::named(season, blocks);
    let headline = format!(
        "{} in {place} on {} went on while it was being sprayed there",
        visit.what,
        say::day(facts.start.local.date())
    );
    let mut finding = found
        .finding(visit.sessions.first().map_or(visit.line, |session| session.span), headline)
        .here("people were here")
        .label(spray.sessions.first().map_or(spray.at.line, |session| session.span), "sprayed here");
    if let Some(hold) = facts.reentry {
        finding = finding
            .label(hold.span, "re-entry interval set here")
            .working(format!("the re-entry interval then runs until {}", say::moment(hold.until)));
    }
    found.add(
        finding
            .help("if the times are right, see to anyone who was exposed, and follow the product label and the worker-protection rules of your place; if not, put the times right")
            .source(DURING),
    );
}

/// Asks when people were in a block that was closed for a part of that day.
fn ask_for_time(season: &Season<'_>, found: &mut Findings, one: &Beside, blocks: impl Iterator<Item = BlockId>) {
    let facts = &season.sprays[one.at];
    let (visit, spray) = (scene::visit(season, one.entry.what), facts.spray(season.journal));
    let place = scene::named(season, blocks);
    let day = say::day(visit.day);
    let headline = match one.closed {
        Some(closed) => {
            let (until, material) = (closed.until.local.format("%H:%M"), say::material(season, closed.material));
            format!("{} in {place} on {day} has no time, and until {until} it was closed after {material}", visit.what)
        }
        None => format!(
            "{} in {place} on {day} has no time, and it was sprayed that day from {}",
            visit.what,
            facts.start.local.format("%H:%M")
        ),
    };
    let rinse = one.closed.and_then(|closed| closed.rinse);
    let (sprayed, came) = treated(season, spray, rinse);
    let mut finding = found.finding(visit.line, headline).here("when were they here?").label(sprayed, came);
    finding.level = Level::Warning;
    if let Some(span) = one.closed.map(|closed| closed.span).or(facts.reentry.map(|hold| hold.span)) {
        finding = finding.label(span, "re-entry interval set here");
    }
    if rinse.is_some() {
        finding = finding.working(scene::rinsed(season, one.at));
    }
    found.add(
        finding
            .help("write when people were there: `time`, from when to when")
            .source("without a time nobody can show that they were kept out; common practice, no source"),
    );
}

/// Where a spray was done, or its rest put down as rinse water, and what is said of that place.
fn treated(season: &Season<'_>, spray: &Spray, rinse: Option<usize>) -> (Span, &'static str) {
    match rinse.map(|at| season.rinses[at].cleaning(season.journal)) {
        Some(cleaning) => {
            (cleaning.rinse.as_ref().map_or(cleaning.at.line, |rinse| rinse.span), "rinse water put here")
        }
        None => (spray.sessions.last().map_or(spray.at.line, |session| session.span), "sprayed here"),
    }
}

fn report(season: &Season<'_>, found: &mut Findings, hit: &Hit, blocks: impl Iterator<Item = BlockId>) {
    let Hit { entry, closed, ran_into } = hit;
    let facts = &season.sprays[closed.at];
    let spray = facts.spray(season.journal);
    let elapsed = closed.until.seconds - closed.end.seconds;
    // Had the spray ended as soon as it began, the interval might have been over.
    let certain =
        !closed.end_assumed || *ran_into || entry.start.seconds < closed.start.seconds.saturating_add(elapsed);
    // An end that was written and could not be believed is another finding's matter.
    let backwards = |session: &Session| session.end.is_some_and(|end| end.local <= session.start.local);
    let unreadable = closed.rinse.is_none() && (spray.time_lost || spray.sessions.iter().any(backwards));
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
    let (sprayed, came) = treated(season, spray, closed.rinse);
    let mut finding = found
        .finding(at, headline)
        .here("people were here")
        .label(sprayed, came)
        .label(closed.span, "re-entry interval set here")
        .working(format!(
            "{} ended {}; {interval} later is {until}",
            if closed.rinse.is_some() { "the cleaning" } else { "the spray" },
            say::moment(closed.end)
        ));
    if !ran_into && entry.start_written {
        let early = closed.until.seconds - entry.start.seconds;
        finding = finding.working(format!("{} began {} before that", visit.what, say::time(early)));
    }
    let shown = closed.until.local.signed_duration_since(closed.end.local).num_seconds();
    if elapsed != shown {
        finding = finding.working("the clocks changed in between; the hours that really passed are counted");
    }
    if closed.end_assumed {
        finding = finding.working("when it ended is not on record, so the end of that day is taken");
    }
    if !certain {
        finding.level = Level::Warning;
    }
    if closed.rinse.is_some() {
        finding = finding.working(scene::rinsed(season, closed.at));
    } else if facts.doses.len() > 1 {
        finding = finding.working(format!("{material} has the longest re-entry interval in that tank"));
    }
    found.add(
        finding
            .help("if the times are right, keep people out, see to anyone who was exposed, and follow the product label and the worker-protection rules of your place; if not, put the times right")
            .source("the interval is the one in your material entry; it runs from the end of the application, and the longest of the tank counts (40 CFR 170.407, as carried in WAC 16-233-116)"),
    );
}
