//! See the Markdown beside this file.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::posted::{self, SheetRule, SheetUp, sheet_by, sheet_rule, sheet_up};
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::{Asked, Duties};
use crate::finding::Level;
use crate::journal::BlockId;
use crate::quantity::Exact;
use crate::season::{BlockEntry, Change, Season, SprayFacts, disjoint, rows_of, rows_treated};

pub(super) const CHECK: Check = Check {
    code: "posting-late",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A sheet that went up after its time, or after people came in",
    explain: include_str!("posting_late.md"),
    run,
};

/// A sheet that went up too late.
struct Hit<'s> {
    asked: Asked<'s>,
    rule: SheetRule,
    change: &'s Change<'s>,
    /// The spray, as a place in the season's list.
    at: usize,
    /// Whether it went up after its time.
    late: bool,
    /// The first people who came in before it.
    entry: Option<&'s BlockEntry>,
    blocks: Vec<BlockId>,
    /// Other sprays that it is of.
    more: Vec<usize>,
}

impl Hit<'_> {
    /// Takes in that the sheet was too late at one more block, or for one more spray.
    fn take(&mut self, other: Self) {
        if self.at == other.at {
            self.entry = self.entry.or(other.entry);
            self.blocks.extend(other.blocks);
        } else if self.more.last() != Some(&other.at) {
            self.more.push(other.at);
        }
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    if duties.is_empty() {
        return;
    }
    let mut entries: Vec<Vec<&BlockEntry>> = vec![Vec::new(); season.by_block.len()];
    for entry in season.entries.iter().filter(|entry| !scene::only_family(season, entry)) {
        entries[entry.block.index()].push(entry);
    }
    // One finding a record of a posting, however many blocks and sprays it is of.
    let mut hits: BTreeMap<u32, Hit<'_>> = BTreeMap::new();
    let mut sheets = found.on_blocks(season, posted::by(season), |_, block, sprays| {
        let late = sprays.iter().filter_map(|&at| {
            let facts = &season.sprays[at];
            let (asked, rule) = sheet_rule(&duties, facts)?;
            let place = facts.touched.iter().position(|touched| touched.block == block)?;
            duties.blocks(facts, asked.rule).find(|about| *about == block)?;
            let (change, late) = match sheet_up(season, facts, block, sheet_by(season, facts, &rule).seconds) {
                SheetUp::InTime(change) => (change, false),
                SheetUp::Late(change) => (change, true),
                SheetUp::Unknown | SheetUp::None => return None,
            };
            let before = || first_before(season, &entries[block.index()], facts, block, change);
            let entry = if rule.before_entry { before() } else { None };
            let blocks = vec![block];
            let hit = Hit { asked, rule, change, at, late, entry, blocks, more: Vec::new() };
            (late || entry.is_some()).then_some((place, hit))
        });
        late.collect::<Vec<_>>()
    });
    sheets.sort_by_key(|(place, hit)| (hit.at, *place));
    for (_, sheet) in sheets {
        match hits.entry(sheet.change.posted.span.start) {
            Entry::Vacant(new) => {
                new.insert(sheet);
            }
            Entry::Occupied(known) => known.into_mut().take(sheet),
        }
    }
    for hit in hits.values() {
        report(season, found, hit);
    }
}

/// How many records of people are looked through before a sheet at most. More is no way of working; time stays in
/// proportion to the journal.
const MOST: usize = 64;

/// The first people who surely came into what was treated between the end of a spray and its sheet. Who sprayed knows.
fn first_before<'s>(
    season: &Season<'_>,
    entries: &[&'s BlockEntry],
    facts: &SprayFacts,
    block: BlockId,
    change: &Change<'_>,
) -> Option<&'s BlockEntry> {
    let spray = facts.spray(season.journal);
    let from = entries.partition_point(|entry| entry.start.seconds < facts.end.seconds);
    let before = entries[from..].iter().take(MOST).take_while(|entry| entry.start.seconds < change.earliest);
    let came = |entry: &&&BlockEntry| {
        let latest = if entry.start_written { entry.start } else { entry.end };
        let rows = rows_of(scene::visit(season, entry.what).ground);
        latest.seconds < change.earliest
            && !scene::only_sprayers(season, entry, facts)
            && rows_treated(spray, block).any(|treated| !disjoint(treated, rows))
    };
    before.copied().find(|entry| came(&entry))
}

/// When a sheet went up, in words.
fn when(season: &Season<'_>, change: &Change<'_>) -> String {
    match change.posted.clock {
        Some(clock) => format!("on {}", say::moment(season.zone.written(clock, false).0)),
        None => format!("on {}", say::day(change.on)),
    }
}

fn report(season: &Season<'_>, found: &mut Findings, hit: &Hit<'_>) {
    let facts = &season.sprays[hit.at];
    let spray = facts.spray(season.journal);
    let place = scene::named(season, hit.blocks.iter().copied());
    let by = sheet_by(season, facts, &hit.rule);
    let visit = hit.entry.map(|entry| (entry, scene::visit(season, entry.what)));
    let began = |entry: &BlockEntry| {
        if entry.start_written { say::moment(entry.start) } else { say::day(entry.start.local.date()) }
    };
    let mut late = Vec::new();
    if hit.late {
        late.push(format!("it was due by {}", say::moment(by)));
    }
    if let Some((entry, visit)) = &visit {
        let there = scene::block(season, entry.block);
        late.push(format!("{} in {there} had begun on {}", visit.what, began(entry)));
    }
    let headline = format!(
        "the sheet for the spray of {place} on {} went up {}, and {}",
        say::day(facts.start.local.date()),
        when(season, hit.change),
        say::list(&late)
    );
    let mut finding = found
        .finding(hit.change.posted.span, headline)
        .here("went up here")
        .label(spray.sessions.last().map_or(spray.at.line, |session| session.span), "sprayed here");
    if let Some((_, visit)) = &visit {
        let at = visit.sessions.first().map_or(visit.line, |session| session.span);
        finding = finding.label(at, "people were here before the sheet");
    }
    finding = finding.label(hit.asked.adoption.adopted.name.span, "rulebook taken on here");
    let within = scene::hours(Exact::int(hit.rule.up_within));
    finding = finding.working(format!(
        "the spray ended {}; a sheet goes up within {within}: by {}",
        say::moment(facts.end),
        say::moment(by)
    ));
    if facts.end_assumed {
        finding = finding.working("when it ended is not on record, so the end of that day is taken");
    }
    if hit.late && hit.change.posted.clock.is_some() {
        let passed = hit.change.earliest - facts.end.seconds;
        finding = finding.working(format!("it went up {} after the end", say::time(passed)));
        let shown = season.zone.later(facts.end, passed).local.signed_duration_since(facts.end.local).num_seconds();
        if shown != passed {
            finding = finding.working("the clocks changed in between; the hours that really passed are counted");
        }
    }
    if let Some((entry, _)) = &visit {
        finding = finding.working("and before people come into what was treated, however soon that is");
        let (by, crew) = scene::people(season, entry.what);
        if by.is_empty() && crew.is_none() {
            finding = finding.working("who they were is not written; they are taken for people who work here");
        }
    }
    if !hit.more.is_empty() {
        finding = finding.working(format!("it is the sheet of {}, too", scene::count(hit.more.len(), "other spray")));
    }
    if hit.asked.from_memory() {
        finding.level = Level::Note;
    }
    found.add(
        finding
            .help("a sheet that hung before then is written as `up sheet` with its own time; if it did go up late, leave the record as it is and say why with `accept posting-late`")
            .source(hit.asked.cited()),
    );
}
