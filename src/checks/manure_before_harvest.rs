//! See the Markdown beside this file.

use chrono::Days;

use super::holds::{Closed, walk};
use super::{Ahead, Check, Findings, When, ruled, say, scene, written};
use crate::duty::{Asked, DaysToHarvest, Duties, about_block, concerned, days_to_harvest};
use crate::finding::Level;
use crate::journal::{BlockId, MaterialId};
use crate::season::{BlockEntry, EntryKind, Hold, Season};

pub(super) const CHECK: Check = Check {
    code: "manure-before-harvest",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::OnTheDay),
    summary: "A pick too soon after raw manure or the like",
    explain: include_str!("manure_before_harvest.md"),
    run,
};

/// A pick that came too soon, or may have.
struct Hit {
    entry: BlockEntry,
    closed: Closed,
    gap: i64,
    /// Whether it is too soon only if the edible part touches the soil, which the block does not say.
    unsure: bool,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    if season.journal.harvests.is_empty() {
        return;
    }
    for (asked, wait) in Duties::new(season).of_kind(days_to_harvest) {
        look(season, found, &asked, wait);
    }
}

fn look(season: &Season<'_>, found: &mut Findings, asked: &Asked<'_>, wait: DaysToHarvest<'_>) {
    let journal = season.journal;
    let is_meant = |at: usize| {
        let class = wait.classes.iter().any(|class| journal.materials[at].is(class));
        class && concerned(season, MaterialId::at(at), &asked.rule.when)
    };
    let meant: Vec<bool> = (0..journal.materials.len()).map(is_meant).collect();
    if !meant.contains(&true) {
        return;
    }
    let longest = wait.days.max(wait.touching_soil);
    let hits = walk(
        season,
        found,
        |kind| matches!(kind, EntryKind::Harvest(_)),
        |facts, end, block| {
            let dose = facts.doses.iter().find(|dose| meant[dose.material.index()])?;
            let last = end.local.date().checked_add_days(Days::new(u64::from(longest)))?;
            let about = about_block(season, journal.block(block), &asked.rule.when);
            (about && asked.holds_for(season, facts)).then(|| Hold {
                until: season.zone.start_of(last),
                material: dose.material,
                span: written::place(facts.spray(journal), dose),
            })
        },
        |meeting| {
            let closed = meeting.interval.filter(|closed| meeting.too_soon(closed))?;
            let entry = *meeting.entry;
            let gap = scene::between(closed.end.local.date(), entry.start.local.date());
            let contact = journal.block(entry.block).soil_contact.map(|contact| contact.value);
            let within = |days: u32| gap < i64::from(days);
            let surely = within(wait.days) || contact == Some(true) && within(wait.touching_soil);
            let told = surely || contact.is_none() && within(wait.touching_soil);
            told.then(|| ((closed.at, entry.block), pick(&entry), Hit { entry, closed, gap, unsure: !surely }))
        },
    );
    let mut hits = ruled::firsts(hits);
    hits.sort_by_key(|(hit, _)| (hit.closed.at, hit.entry.start, hit.unsure, hit.entry.block));
    let key = |(hit, more): &(Hit, usize)| (hit.closed.at, pick(&hit.entry), hit.unsure, *more);
    for same in hits.chunk_by(|one, other| key(one) == key(other)) {
        let (hit, more) = &same[0];
        let blocks: Vec<BlockId> = same.iter().map(|(hit, _)| hit.entry.block).collect();
        report(season, found, asked, wait, hit, &blocks, *more);
    }
}

/// The place of a pick among the journal's.
fn pick(entry: &BlockEntry) -> usize {
    match entry.what {
        EntryKind::Harvest(at) | EntryKind::Work(at) => at,
    }
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    asked: &Asked<'_>,
    wait: DaysToHarvest<'_>,
    hit: &Hit,
    blocks: &[BlockId],
    more: usize,
) {
    let visit = scene::visit(season, hit.entry.what);
    let name = say::material(season, hit.closed.material);
    let place = scene::named(season, blocks.iter().copied());
    let sprayed = hit.closed.end.local.date();
    let picked = hit.entry.start.local.date();
    let touches = || blocks.iter().filter_map(|&block| season.journal.block(block).soil_contact).find(|one| one.value);
    // What touches the soil waits for the longer time, whichever of the two it broke.
    let days = if hit.unsure || touches().is_some() { wait.touching_soil } else { wait.days };
    let after = scene::days(hit.gap);
    let headline = if hit.unsure {
        format!(
            "{place} was picked on {}, {after} after {name}; if what is eaten can touch the soil, {} are asked for",
            say::day(picked),
            scene::days(i64::from(days))
        )
    } else {
        format!(
            "{place} was picked on {}, {after} after {name}, and {} are asked for",
            say::day(picked),
            scene::days(i64::from(days))
        )
    };
    let mut finding = found
        .finding(visit.line, headline)
        .here(format!("picked here, day {} of {days}", hit.gap))
        .label(hit.closed.span, format!("{name} here, day 0"));
    if let Some(contact) = touches() {
        finding = finding.label(contact.span, "so the longer time counts");
    }
    if hit.unsure {
        finding.level = Level::Warning;
        if let Some(&block) = blocks.first() {
            finding = finding.label(season.journal.block(block).named.span, "does not say `soil-contact`");
        }
    }
    if let Some(clear) = sprayed.checked_add_days(Days::new(u64::from(days))) {
        finding = finding.working(format!(
            "{} is day 0; {} later is {}",
            say::day(sprayed),
            scene::days(i64::from(days)),
            say::day(clear)
        ));
    }
    let help = if hit.unsure {
        "write in the block whether what is eaten can touch the soil or be splashed from it: `soil-contact yes` or `no`"
    } else {
        "if the dates are right, keep this pick apart, and ask the certifier or a food-safety adviser before it is sold or eaten"
    };
    found.add(ruled::more(ruled::by(finding.help(help), asked), more, "pick"));
}
