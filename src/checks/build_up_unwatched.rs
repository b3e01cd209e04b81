//! See the Markdown beside this file.

use std::collections::BTreeMap;

use chrono::Datelike;

use super::asked::USES;
use super::season_cap::grams_of;
use super::{Ahead, Check, Findings, When, ruled, say, scene, written};
use crate::duty::{Asked, Duties, about_block, concerned};
use crate::finding::Level;
use crate::journal::{BlockId, Cap, MaterialId, SampleKind};
use crate::quantity::{Amount, Exact, Unit, show};
use crate::rulebook::Demand;
use crate::season::{Season, block_area, holds_for, share_on};
use crate::syntax::EntryWord;
use crate::trade::{element_name, element_named, element_of};

pub(super) const CHECK: Check = Check {
    code: "build-up-unwatched",
    level: Level::Warning,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "What builds up in the soil put on blocks, with neither a limit nor a soil sample",
    explain: include_str!("build_up_unwatched.md"),
    run,
};

/// How many blocks a finding lists.
const SHOWN: usize = 8;

/// What went on the blocks of a year that nothing watches.
#[derive(Default)]
struct Year {
    /// The first such spray, and its dose.
    first: Option<(usize, usize)>,
    /// For each block, grams of the element on each square metre; `None` where some of it is not known.
    blocks: BTreeMap<BlockId, Option<Exact>>,
}

fn element(demand: &Demand) -> Option<&str> {
    match demand {
        Demand::BuildUp { element } => Some(element),
        _ => None,
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, USES, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    // A sample or a limit that could not be read may be the one that is missing here.
    if [EntryWord::Sample, EntryWord::Limits, EntryWord::Material].into_iter().any(|kind| season.lost(kind)) {
        return;
    }
    for (asked, element) in Duties::new(season).of_kind(element) {
        look(season, found, &asked, element);
    }
}

fn look(season: &Season<'_>, found: &mut Findings, asked: &Asked<'_>, element: &str) {
    let journal = season.journal;
    let meant: Vec<bool> =
        (0..journal.materials.len()).map(|at| concerned(season, MaterialId::at(at), &asked.rule.when)).collect();
    let caps = caps(season, element, &meant);
    let sampled = sampled(season);
    let mut years: BTreeMap<i32, Year> = BTreeMap::new();
    for (index, sprays) in season.by_block.iter().enumerate() {
        let block = BlockId::at(index);
        if !about_block(season, journal.block(block), &asked.rule.when) {
            continue;
        }
        if caps.iter().any(|cap| holds_for(&cap.crops, season.crop(block))) {
            continue;
        }
        for &at in sprays {
            let facts = &season.sprays[at];
            if !facts.doses.iter().any(|dose| meant[dose.material.index()]) {
                continue;
            }
            let spray = facts.spray(journal);
            let year = spray.at.day.year();
            if watched(&sampled[index], year) || !asked.holds_for(season, facts) {
                continue;
            }
            let area = block_area(journal.block(block), spray.at.day).and_then(Amount::base);
            let known = years.entry(year).or_default();
            for (place, _) in facts.doses.iter().enumerate().filter(|(_, dose)| meant[dose.material.index()]) {
                if known.first.is_none_or(|first| (at, place) < first) {
                    known.first = Some((at, place));
                }
                let part = || grams_of(season, facts, place, element)?.mul(share_on(facts, spray, block)?)?.div(area?);
                let sum = known.blocks.entry(block).or_insert(Some(Exact::ZERO));
                *sum = sum.and_then(|sum| sum.add(part()?));
            }
        }
    }
    for (year, known) in &years {
        report(season, found, asked, element, *year, known);
    }
}

/// The season limits that watch an element: on it by symbol or name, on a class of its materials, or a material's own.
fn caps<'j>(season: &Season<'j>, element: &str, meant: &[bool]) -> Vec<&'j Cap> {
    let symbol = element_of(element).map(|(symbol, _)| symbol);
    let materials = || season.journal.materials.iter().zip(meant).filter(|(_, meant)| **meant);
    let watches = |cap: &Cap| {
        cap.of.as_ref().is_some_and(|of| {
            let named = element_of(&of.value).map(|(symbol, _)| symbol).or_else(|| element_named(&of.value));
            named.is_some() && named == symbol || materials().any(|(material, _)| material.is(&of.value))
        })
    };
    let own = materials().flat_map(|(material, _)| &material.season).filter(|cap| cap.of.is_none() || watches(cap));
    let rules = season.journal.limits.iter().flat_map(|rules| &rules.season).filter(|cap| watches(cap));
    own.chain(rules).collect()
}

/// For each block, the years of its soil samples. A sample of which the kind could not be read counts, and one without
/// blocks counts for all.
fn sampled(season: &Season<'_>) -> Vec<Vec<i32>> {
    let mut years: Vec<Vec<i32>> = vec![Vec::new(); season.journal.blocks.len()];
    let mut of_all: Vec<i32> = Vec::new();
    for sample in &season.journal.samples {
        if sample.kind.is_some_and(|kind| kind.value != SampleKind::Soil) {
            continue;
        }
        let year = sample.at.day.year();
        match sample.ground.blocks.as_slice() {
            [] => of_all.push(year),
            named => scene::ids(named).for_each(|block| years[block.index()].push(year)),
        }
    }
    of_all.sort_unstable();
    of_all.dedup();
    for list in &mut years {
        list.extend(&of_all);
        list.sort_unstable();
        list.dedup();
    }
    years
}

/// Whether a soil sample of a year or the one before it shows what is there.
fn watched(years: &[i32], year: i32) -> bool {
    [year, year - 1].iter().any(|year| years.binary_search(year).is_ok())
}

fn report(season: &Season<'_>, found: &mut Findings, asked: &Asked<'_>, element: &str, year: i32, known: &Year) {
    let Some((at, place)) = known.first else { return };
    let facts = &season.sprays[at];
    let spray = facts.spray(season.journal);
    let name = element_name(element).unwrap_or(element);
    let headline = format!(
        "{name} went on {} in {year}, with neither a `season` limit on it nor a soil sample of {year} or {}",
        say::list(&named(season, known)),
        year - 1
    );
    let mut finding = found
        .finding(written::place(spray, &facts.doses[place]), headline)
        .here(format!("{} is in here", say::material(season, facts.doses[place].material)));
    for (&block, grams) in known.blocks.iter().take(SHOWN) {
        let amount = grams.and_then(per_ground).unwrap_or_else(|| "not known".to_string());
        finding = finding.working(format!("{name} on {} in {year}: {amount}", scene::block(season, block)));
    }
    finding = finding.working("added up by block and calendar year; each amount is spread over the whole block");
    found.add(ruled::by(
        finding.help(format!(
            "set a limit of your own or of your certifier (`limits`, with `season at most` so much `of {element} per acre` or `per ha`), or have the soil tested and write down the `sample`"
        )),
        asked,
    ));
}

fn named(season: &Season<'_>, known: &Year) -> Vec<String> {
    let mut names: Vec<String> =
        known.blocks.keys().take(SHOWN).map(|&block| scene::block(season, block).to_string()).collect();
    if known.blocks.len() > SHOWN {
        names.push(scene::count(known.blocks.len() - SHOWN, "other block"));
    }
    names
}

/// Grams on a square metre, in kilograms per hectare and pounds per acre.
fn per_ground(grams: Exact) -> Option<String> {
    let on = |ground: Unit, unit: Unit| Amount::from_base(grams.mul(ground.to_base())?, unit).map(show);
    Some(format!("{} per ha ({} per acre)", on(Unit::HECTARE, Unit::KILOGRAM)?, on(Unit::ACRE, Unit::POUND)?))
}
