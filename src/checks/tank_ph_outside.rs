//! See the Markdown beside this file.

use super::asked::RECORD;
use super::tanks::{Ingredient, Tank, each};
use super::{Ahead, Check, Findings, When, say, scene, written};
use crate::finding::{Finding, Level};
use crate::journal::{Material, MaterialId, PhRange, Written};
use crate::quantity::Exact;
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "tank-ph-outside",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "A tank whose pH is not what one of its ingredients asks for",
    explain: include_str!("tank_ph_outside.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    if season.journal.materials.iter().all(|material| material.tank_ph.is_none()) {
        return;
    }
    each(season, found, RECORD, |found, tank, ingredients| {
        if let Some((least, most)) = exclusive(season, ingredients) {
            found.add(no_ph_for_both(season, found, tank, least, most));
        }
    });
    found.each_spray(season, RECORD, |found, _, facts| {
        if let Some(finding) = measured(season, facts, found) {
            found.add(finding);
        }
    });
}

fn range(season: &Season<'_>, id: MaterialId) -> Option<Written<PhRange>> {
    season.journal.material(id).tank_ph
}

/// An ingredient that asks for more than another allows, where one of the two is what makes this tank its own.
fn exclusive<'i>(season: &Season<'_>, ingredients: &'i [Ingredient]) -> Option<(&'i Ingredient, &'i Ingredient)> {
    let least = |one: &Ingredient| range(season, one.material)?.value.least;
    let most = |one: &Ingredient| range(season, one.material)?.value.most;
    // Of equals the first, so that the recipe's own order is kept.
    let highest = |own: bool| {
        let asked = ingredients.iter().filter(|one| (one.own || !own) && least(one).is_some());
        asked.rev().max_by_key(|one| least(one))
    };
    let lowest = |own: bool| {
        ingredients.iter().filter(|one| (one.own || !own) && most(one).is_some()).min_by_key(|one| most(one))
    };
    [(highest(true), lowest(false)), (highest(false), lowest(true))].into_iter().find_map(|(high, low)| {
        let (high, low) = (high?, low?);
        (least(high)? > most(low)?).then_some((high, low))
    })
}

fn no_ph_for_both(season: &Season<'_>, found: &Findings, tank: Tank, least: &Ingredient, most: &Ingredient) -> Finding {
    let said = |one: &Ingredient| asked(season, one.material);
    let (name, other) = (say::material(season, least.material), say::material(season, most.material));
    let headline =
        format!("no pH suits {}: {name} asks for {}, {other} for {}", tank.words(season), said(least), said(most));
    let (here, there) = if least.own { (least, most) } else { (most, least) };
    let mut finding = found.finding(here.span, headline).here("in this tank").label(there.span, "with this");
    for one in [least, most] {
        if let Some(range) = range(season, one.material) {
            finding = finding.label(range.span, format!("{} asked for here", said(one)));
        }
    }
    finding
        .help("spray them one after the other, or read both labels again")
        .source(source(season, &[least.material, most.material]))
}

/// A pH that was measured, outside what an ingredient asks for whatever it was rounded from.
fn measured(season: &Season<'_>, facts: &SprayFacts, found: &Findings) -> Option<Finding> {
    let spray = facts.spray(season.journal);
    let ph = spray.ph?;
    let half = written::half_digit(season.words(ph.span));
    let (lowest, highest) = (ph.value.sub(half)?, ph.value.add(half)?);
    let asks = facts.doses.iter().filter_map(|dose| Some((dose.material, range(season, dose.material)?)));
    let asks: Vec<(MaterialId, Written<PhRange>)> = asks.collect();
    // Where no pH suits them all, that has been said.
    let all_least = asks.iter().filter_map(|(_, range)| range.value.least).max();
    let all_most = asks.iter().filter_map(|(_, range)| range.value.most).min();
    if all_least.zip(all_most).is_some_and(|(least, most)| least > most) {
        return None;
    }
    let outside = |range: &PhRange| {
        let below = range.least.is_some_and(|least| highest < least);
        let above = range.most.is_some_and(|most| lowest > most);
        below.then_some("below").or(above.then_some("above"))
    };
    let (id, range, side) = asks.iter().find_map(|(id, range)| Some((*id, range, outside(&range.value)?)))?;
    let (name, asked) = (say::material(season, id), asked(season, id));
    let blocks = scene::blocks(season, &spray.ground);
    let shown = plain(ph.value);
    Some(
        found
            .finding(
                ph.span,
                format!("the tank for {blocks} had a pH of {shown}, {side} what {name} asks for, {asked}"),
            )
            .here("measured")
            .label(range.span, "asked for here")
            .help("put the number right if it is wrong; if it is not, ask the supplier before this tank is used")
            .source(source(season, &[id])),
    )
}

/// `at least 6.5`, `at most 6`, `5.5 to 6.5`.
fn asked(season: &Season<'_>, id: MaterialId) -> String {
    match range(season, id).map(|range| range.value) {
        Some(PhRange { least: Some(least), most: Some(most) }) => format!("{} to {}", plain(least), plain(most)),
        Some(PhRange { least: Some(least), most: None }) => format!("at least {}", plain(least)),
        Some(PhRange { least: None, most: Some(most) }) => format!("at most {}", plain(most)),
        _ => String::new(),
    }
}

fn plain(ph: Exact) -> String {
    ph.figures(4)
}

fn source(season: &Season<'_>, materials: &[MaterialId]) -> String {
    let names: Vec<&str> = materials.iter().map(|&id| say::material(season, id)).collect();
    let sources = materials.iter().filter_map(|&id| {
        let material: &Material = season.journal.material(id);
        material.source.map(|source| season.words(source))
    });
    let sources: Vec<&str> = sources.collect();
    let own = format!("the `tank-ph` that you entered for {}", say::list(&names));
    if sources.is_empty() { own } else { format!("{own}; its source: {}", say::list(&sources)) }
}
