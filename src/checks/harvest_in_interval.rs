//! See the Markdown beside this file.

use super::holds::{Closed, walk};
use super::{Ahead, Check, Findings, When, say, scene};
use crate::finding::Level;
use crate::journal::BlockId;
use crate::season::{BlockEntry, EntryKind, Hold, Moment, Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "harvest-in-interval",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::OnTheDay),
    summary: "A pick before its harvest interval was over",
    explain: include_str!("harvest_in_interval.md"),
    run,
};

/// A pick from a block that was not clear yet.
struct Hit {
    entry: BlockEntry,
    closed: Closed,
    /// A re-entry interval that runs longer than the harvest interval.
    longer: Option<Closed>,
}

impl Hit {
    fn pick(&self) -> usize {
        match self.entry.what {
            EntryKind::Harvest(at) | EntryKind::Work(at) => at,
        }
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    if season.journal.harvests.is_empty() {
        return;
    }
    let mut hits = walk(
        season,
        found,
        |kind| matches!(kind, EntryKind::Harvest(_)),
        |facts, end, block| latest_interval(season, facts, end, block),
        |meeting| {
            let closed = meeting.interval.filter(|closed| meeting.too_soon(closed))?;
            let longer = meeting.reentry.filter(|reentry| reentry.until > closed.until);
            Some(Hit { entry: *meeting.entry, closed, longer })
        },
    );
    hits.sort_by_key(|hit| (hit.pick(), hit.closed.at, hit.closed.material, hit.entry.block));
    let same = |one: &Hit, other: &Hit| {
        (one.pick(), one.closed.at, one.closed.material) == (other.pick(), other.closed.at, other.closed.material)
            && one.closed.rinse == other.closed.rinse
            && one.closed.until == other.closed.until
            && one.longer.map(|longer| longer.until) == other.longer.map(|longer| longer.until)
    };
    for hits in hits.chunk_by(same) {
        report(season, found, &hits[0], hits.iter().map(|hit| hit.entry.block));
    }
}

/// The latest harvest interval of a spray's tank for a block's crop, from an end.
fn latest_interval(season: &Season<'_>, facts: &SprayFacts, end: Moment, block: BlockId) -> Option<Hold> {
    let crop = season.crop(block);
    let intervals = facts.doses.iter().filter_map(|dose| {
        let (interval, until) = season.harvest_wait(dose.material, crop, end)?;
        Some(Hold { until: until?, material: dose.material, span: interval.span })
    });
    intervals.max_by_key(|closed| closed.until)
}

fn report(season: &Season<'_>, found: &mut Findings, hit: &Hit, blocks: impl Iterator<Item = BlockId>) {
    let Hit { entry, closed, longer } = hit;
    let journal = season.journal;
    let facts = &season.sprays[closed.at];
    let spray = facts.spray(journal);
    let visit = scene::visit(season, entry.what);
    let place = scene::named(season, blocks);
    let material = say::material(season, closed.material);
    let intervals = &journal.material(closed.material).preharvest;
    let interval = intervals.iter().find(|interval| interval.span == closed.span).map(|interval| interval.time);
    let Some(interval) = interval else { return };
    let Some(seconds) = interval.seconds() else { return };
    let whole_days = interval.calendar_days().and_then(|days| i64::try_from(days).ok());
    let clear = longer.unwrap_or(*closed);
    let clear = scene::day_or_moment(clear.until);
    let (sprayed, picked) = (closed.end.local.date(), entry.start.local.date());
    let length = whole_days.map_or_else(|| scene::interval(seconds), scene::days);
    let headline = format!(
        "{place} was picked on {}, inside the {length} that {material} asks for; the first {} that is clear is {clear}",
        say::day(picked),
        if clear.contains(':') { "moment" } else { "date" },
    );
    let rinse = closed.rinse.map(|at| season.rinses[at].cleaning(journal));
    let sprayed_at = match rinse {
        Some(cleaning) => cleaning.rinse.as_ref().map_or(cleaning.at.line, |rinse| rinse.span),
        None => spray.sessions.last().map_or(spray.at.line, |session| session.span),
    };
    let came = if rinse.is_some() { "in the rinse water put here" } else { "sprayed here" };
    let mut finding = found
        .finding(visit.line, headline)
        .here(match whole_days {
            Some(days) => format!("picked here, day {} of {days}", scene::between(sprayed, picked)),
            None => "picked here".to_string(),
        })
        .label(
            sprayed_at,
            if whole_days.is_some() { format!("{material} {came}, day 0") } else { format!("{material} {came}") },
        )
        .label(closed.span, "harvest interval set here");
    finding = match whole_days {
        Some(days) => finding.working(format!(
            "{} is day 0; {} later is {}",
            say::day(sprayed),
            scene::days(days),
            scene::day_or_moment(closed.until),
        )),
        None => finding.working(format!(
            "{} ended {}; {length} later is {}",
            if rinse.is_some() { "the cleaning" } else { "the spray" },
            say::moment(closed.end),
            say::moment(closed.until)
        )),
    };
    let timeless = rinse.map_or(spray.sessions.is_empty(), |cleaning| cleaning.sessions.is_empty());
    if closed.end_assumed && (whole_days.is_none() || timeless) {
        finding = finding.working("when it ended is not on record, so the end of that day is taken");
    }
    if let Some(longer) = longer {
        finding = finding.label(longer.span, "this re-entry interval runs longer").working(format!(
            "the re-entry interval of {} runs longer, until {}, and comes before a shorter harvest interval",
            say::material(season, longer.material),
            say::moment(longer.until)
        ));
    }
    if rinse.is_some() {
        finding = finding.working(scene::rinsed(season, closed.at));
    } else if spray.leftover.as_ref().is_some_and(|left| scene::ids(&left.ground.blocks).any(|id| id == entry.block)) {
        finding = finding.working("what was left in the tank was put on this block, and counts as a spray of it");
    }
    found.add(
        finding
            .help("if the dates are right, keep the fruit of this pick apart, and ask your adviser or inspector before it is sold or eaten; the product label comes first")
            .source(match longer {
                None => "the interval is the one in your material entry",
                Some(_) => "the intervals are those in your material entries; re-entry overrides a shorter harvest interval (WSU Tree Fruit, entry and pre-harvest intervals)",
            }),
    );
}
