//! See the Markdown beside this file.

use std::cell::LazyCell;

use super::asked::MATERIALS;
use super::{Ahead, Check, Findings, When, say, scene};
use crate::finding::Level;
use crate::journal::{BlockId, MaterialId};
use crate::season::{BloomRecord, BloomSeen, Season, SprayFacts, stage_is_bloom};

pub(super) const CHECK: Check = Check {
    code: "sprayed-in-bloom",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::OnTheDay),
    summary: "A material marked not-in-bloom sprayed in bloom",
    explain: include_str!("sprayed_in_bloom.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let kept_out: Vec<bool> = season
        .journal
        .materials
        .iter()
        .map(|material| material.in_bloom.is_some_and(|in_bloom| !in_bloom.value))
        .collect();
    if !kept_out.contains(&true) {
        return;
    }
    let first_of = |facts: &SprayFacts| facts.doses.iter().map(|dose| dose.material).find(|id| kept_out[id.index()]);
    let asked: Vec<bool> = (0..season.by_block.len()).map(|at| found.asks_about(season, BlockId::at(at))).collect();
    let record = LazyCell::new(|| BloomRecord::new(season, |block| asked[block.index()]));
    let mut hits = found.on_blocks(season, MATERIALS, |_, block, sprays| {
        let sprays = sprays.iter().map(|&at| (at, &season.sprays[at])).filter(|(_, facts)| first_of(facts).is_some());
        let hits = sprays.filter_map(|(at, facts)| {
            let mut touched = facts.touched.iter().enumerate().filter(|(_, touched)| touched.block == block);
            touched.find_map(|(place, touched)| {
                let seen = own_stage(season, facts, touched.leftover)
                    .or_else(|| record.at(block, facts.start.local.date()))
                    .filter(|seen| seen.open)?;
                Some((at, place, (block, seen)))
            })
        });
        hits.collect::<Vec<_>>()
    });
    hits.sort_by_key(|&(at, place, _)| (at, place));
    for hits in hits.chunk_by(|one, other| one.0 == other.0) {
        let facts = &season.sprays[hits[0].0];
        let open: Vec<(BlockId, BloomSeen)> = hits.iter().map(|hit| hit.2).collect();
        if let Some(material) = first_of(facts) {
            report(season, found, facts, material, &open, &kept_out);
        }
    }
}

/// What the spray's own entry says of the stage; a leftover put elsewhere says nothing of that block.
fn own_stage(season: &Season<'_>, facts: &SprayFacts, leftover: bool) -> Option<BloomSeen> {
    let spray = facts.spray(season.journal);
    let span = spray.stage.filter(|_| !leftover)?;
    Some(BloomSeen { day: spray.at.day, open: stage_is_bloom(season.words(span)), span })
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    facts: &SprayFacts,
    material: MaterialId,
    open: &[(BlockId, BloomSeen)],
    kept_out: &[bool],
) {
    let spray = facts.spray(season.journal);
    let mut materials: Vec<MaterialId> =
        facts.doses.iter().map(|dose| dose.material).filter(|id| kept_out[id.index()]).collect();
    materials.sort_unstable();
    materials.dedup();
    let names = scene::materials(season, &materials);
    let place = scene::named(season, open.iter().map(|(block, _)| *block));
    let seen = open[0].1;
    let (was, it_is) = if materials.len() == 1 { ("was", "it is") } else { ("were", "they are") };
    let day = facts.start.local.date();
    let when = match scene::between(seen.day, day) {
        0 => "that day".to_string(),
        days => format!("{} before", scene::days(days)),
    };
    let headline = format!(
        "{names} {was} sprayed on {place} on {}, recorded in bloom {when}; {it_is} marked as not for bloom",
        say::day(day)
    );
    let mut finding = found.finding(spray.at.line, headline).label(seen.span, "bloom recorded here");
    if let Some(in_bloom) = season.journal.material(material).in_bloom {
        finding = finding.label(in_bloom.span, "not in bloom, set here");
    }
    if seen.day != day {
        finding = finding.working(format!(
            "the latest record of the block is of {}; a record counts for a week",
            say::day(seen.day)
        ));
    }
    found.add(
        finding
            .help("if the block was past bloom, write that down: `observe` with the stage; if not, see the label about bees, and tell those who keep hives near")
            .source("the mark is in your material entry; the product label decides"),
    );
}
