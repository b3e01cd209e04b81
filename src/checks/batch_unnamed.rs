//! See the Markdown beside this file.

use super::asked::MATERIALS;
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::{Brew, MaterialId};
use crate::season::{Season, SprayFacts};
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "batch-unnamed",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A home-made material without its batch",
    explain: include_str!("batch_unnamed.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Spray) {
        return;
    }
    let home_made: Vec<bool> = season
        .journal
        .materials
        .iter()
        .map(|material| material.home_made.is_some_and(|home_made| home_made.value))
        .collect();
    if !home_made.contains(&true) {
        return;
    }
    found.each_spray(season, MATERIALS, |found, _, facts| {
        let mut told: Option<MaterialId> = None;
        for dose in facts.doses.iter().filter(|dose| home_made[dose.material.index()]) {
            if told != Some(dose.material) && !named(season, facts, dose.material) {
                told = Some(dose.material);
                report(season, found, facts, dose.material);
            }
        }
    });
}

/// Whether a spray names a batch of a material. A batch that is not declared, whose material is not known, or that is of
/// something else in no part of the tank, is another finding's matter: it may be the one meant.
fn named(season: &Season<'_>, facts: &SprayFacts, material: MaterialId) -> bool {
    facts.spray(season.journal).batches.iter().any(|batch| {
        let Some(id) = batch.id else { return true };
        let Some(of) = season.journal.brew(id).material.and_then(|of| of.id) else { return true };
        of == material || !facts.doses.iter().any(|dose| dose.material == of)
    })
}

fn report(season: &Season<'_>, found: &mut Findings, facts: &SprayFacts, material: MaterialId) {
    let spray = facts.spray(season.journal);
    let name = say::material(season, material);
    let place = scene::blocks(season, &spray.ground);
    let day = facts.start.local.date();
    let headline = format!("the spray of {place} on {} does not say which batch of {name} it used", say::day(day));
    let dose = facts.doses.iter().find(|dose| dose.material == material && spray.at.entry.covers(dose.span));
    let at = dose.map(|dose| dose.span).or(spray.mix.map(|used| used.mix.span)).unwrap_or(spray.at.line);
    let mut finding = found.finding(at, headline).here(format!("{name} is in here"));
    if let Some(home_made) = season.journal.material(material).home_made {
        finding = finding.label(home_made.span, "home-made, so each use names its batch");
    }
    let usable = |brew: &&Brew| {
        let of = brew.material.and_then(|of| of.id) == Some(material);
        let ready = brew.ready.map_or(brew.at.day, |ready| ready.value);
        of && ready <= day && brew.use_by.is_none_or(|use_by| day <= use_by.value)
    };
    let mut batches: Vec<&str> = season.journal.brews.iter().filter(usable).map(|brew| &*brew.named.name).collect();
    batches.sort_unstable();
    let help = match batches.as_slice() {
        [] => "write `batch` and the batch's name; each batch has its own `brew` entry".to_string(),
        [one] => format!("write `batch` and its name; by its dates it may have been {one}"),
        several => format!("write `batch` and its name; by their dates it may have been one of {}", say::list(several)),
    };
    found.add(finding.help(help).source("common practice, no source: home-made batches differ in strength and age"));
}
