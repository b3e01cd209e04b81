//! See the Markdown beside this file.

use super::{Ahead, Check, Findings, Run, When, say, scene};
use crate::finding::Level;
use crate::journal::{BlockId, MaterialId};
use crate::season::{BloomRecord, BloomSeen, Season, SprayFacts, stage_is_bloom};

pub(super) const CHECK: Check = Check {
    code: "sprayed-in-bloom",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::OnTheDay),
    summary: "A material marked not-in-bloom sprayed in bloom",
    explain: include_str!("sprayed_in_bloom.md"),
    run: Run::Whole(run),
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
    let record = BloomRecord::new(season);
    for facts in &season.sprays {
        let Some(dose) = facts.doses.iter().find(|dose| kept_out[dose.material.index()]) else { continue };
        let mut open: Vec<(BlockId, BloomSeen)> = Vec::new();
        for touched in &facts.touched {
            let seen = own_stage(season, facts, touched.leftover)
                .or_else(|| record.at(touched.block, facts.start.local.date()))
                .filter(|seen| seen.open);
            if let Some(seen) = seen
                && !open.iter().any(|(block, _)| *block == touched.block)
            {
                open.push((touched.block, seen));
            }
        }
        if !open.is_empty() {
            report(season, found, facts, dose.material, &open, &kept_out);
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
