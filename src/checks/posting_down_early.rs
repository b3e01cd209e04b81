//! See the Markdown beside this file.

use std::collections::BTreeMap;

use rustc_hash::FxHashMap;

use super::asked::POSTINGS;
use super::posted::{SheetUp, sheet_by, sheet_rule, sheet_up, slack};
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::{Asked, Duties};
use crate::finding::Level;
use crate::journal::{BlockId, Notice};
use crate::quantity::Exact;
use crate::season::{Change, Moment, Season, sheets_in_turn};

pub(super) const CHECK: Check = Check {
    code: "posting-down-early",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A sheet taken down before its time was over",
    explain: include_str!("posting_down_early.md"),
    run,
};

/// A sheet that came down too early.
struct Hit<'s> {
    asked: Asked<'s>,
    stays: i64,
    down: Change<'s>,
    up: Change<'s>,
    /// The spray, as a place in the season's list.
    at: usize,
    /// How long it should have stayed.
    until: Moment,
    blocks: Vec<BlockId>,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, POSTINGS, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    if duties.is_empty() {
        return;
    }
    // Which taking down belongs to which putting up, by the place and by where the putting up is written.
    let mut downs: FxHashMap<(usize, u32), Change<'_>> = FxHashMap::default();
    let logs = season.board.logs(Notice::Sheet);
    for (place, log) in logs.iter().enumerate().filter(|(_, log)| log.iter().any(|change| !change.up)) {
        for stood in sheets_in_turn(log) {
            if let Some(down) = stood.down {
                downs.insert((place, stood.up.posted.span.start), down);
            }
        }
    }
    if downs.is_empty() {
        return;
    }
    // One finding a record of a taking down, however many blocks and sprays it is of.
    let mut hits: BTreeMap<u32, Hit<'_>> = BTreeMap::new();
    for (at, facts) in season.sprays.iter().enumerate() {
        let Some((asked, rule)) = sheet_rule(&duties, facts) else { continue };
        for block in duties.blocks(facts, asked.rule) {
            let up = match sheet_up(season, facts, block, sheet_by(season, facts, &rule).seconds) {
                SheetUp::InTime(up) | SheetUp::Late(up) => up,
                SheetUp::Unknown | SheetUp::None => continue,
            };
            let place = if up.posting.ground.blocks.is_empty() { logs.len() - 1 } else { block.index() };
            let Some(&down) = downs.get(&(place, up.posted.span.start)) else { continue };
            let from = facts.reentry.map_or(facts.end, |hold| hold.until);
            let until = season.zone.later(from, rule.stays);
            if down.latest >= until.seconds - slack(facts) {
                continue;
            }
            let new = || Hit { asked, stays: rule.stays, down, up: *up, at, until, blocks: Vec::new() };
            let hit = hits.entry(down.posted.span.start).or_insert_with(new);
            if hit.at != at && hit.until < until {
                *hit = new();
            }
            if hit.at == at {
                hit.blocks.push(block);
            }
        }
    }
    for hit in hits.values() {
        report(season, found, hit);
    }
}

fn report(season: &Season<'_>, found: &mut Findings, hit: &Hit<'_>) {
    let facts = &season.sprays[hit.at];
    let spray = facts.spray(season.journal);
    let place = scene::named(season, hit.blocks.iter().copied());
    let came_down = match hit.down.posted.clock {
        Some(clock) => format!("on {}", say::moment(season.zone.written(clock, false).0)),
        None => format!("on {}", say::day(hit.down.on)),
    };
    let stays = scene::interval(Exact::int(hit.stays));
    let headline = format!(
        "the sheet for the spray of {place} on {} came down {came_down}, and had to stay until {}",
        say::day(facts.start.local.date()),
        say::moment(hit.until)
    );
    let mut finding = found
        .finding(hit.down.posted.span, headline)
        .here("came down here")
        .label(hit.up.posted.span, "went up here")
        .label(spray.sessions.last().map_or(spray.at.line, |session| session.span), "sprayed here");
    if let Some(hold) = facts.reentry {
        finding = finding.label(hold.span, "re-entry interval set here");
    }
    finding = finding.label(hit.asked.adoption.adopted.name.span, "rulebook taken on here");
    let from = match facts.reentry {
        Some(hold) => format!("re-entry ended {}", say::moment(hold.until)),
        None => format!("the spray ended {}, and no re-entry interval runs after it", say::moment(facts.end)),
    };
    finding = finding
        .working(format!("{from}; {stays} later is {}", say::moment(hit.until)))
        .working(format!("the first day on which it may come down is {}", say::day(hit.until.local.date())));
    if facts.end_assumed {
        finding = finding.working("when the spray ended is not on record, so the end of that day is taken");
    }
    if hit.asked.from_memory() {
        finding.level = Level::Note;
    }
    found.add(
        finding
            .help(format!(
                "if it hangs again, write that down with `up sheet`; if it never came down then, put the `post` of {} right",
                say::day(hit.down.posting.at.day)
            ))
            .source(hit.asked.cited()),
    );
}
