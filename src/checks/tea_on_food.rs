//! See the Markdown beside this file.

use super::{Check, Findings, ruled, say, scene, written};
use crate::duty::{Asked, Duties, concerned};
use crate::finding::Level;
use crate::journal::{BrewId, Material, MaterialId, WaterKind};
use crate::rulebook::Demand;
use crate::season::{Dose, Season, SprayFacts};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "tea-on-food",
    level: Level::Warning,
    summary: "An extract of animal matter that counts as untreated, on a crop",
    explain: include_str!("tea_on_food.md"),
    run,
};

/// What a rulebook says of teas: classes of teas, of what comes from animals, and of what makes a tea untreated.
#[derive(Clone, Copy)]
struct Tea<'s> {
    teas: &'s [String],
    animal: &'s [String],
    untreated: &'s [String],
    additives: &'s [String],
    waters: &'s [WaterKind],
}

/// What makes a batch count as untreated, in words and where it stands.
struct Why<'j> {
    /// What comes from animals.
    animal: (&'j str, Span),
    /// What makes that untreated: the same, an additive, or the water.
    by: (String, Span),
}

fn tea(demand: &Demand) -> Option<Tea<'_>> {
    match demand {
        Demand::Tea { teas, animal, untreated, additives, waters } => {
            Some(Tea { teas, animal, untreated, additives, waters })
        }
        _ => None,
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    for (asked, tea) in Duties::new(season).of_kind(tea) {
        look(season, found, &asked, tea);
    }
}

fn look(season: &Season<'_>, found: &mut Findings, asked: &Asked<'_>, tea: Tea<'_>) {
    let journal = season.journal;
    let is_tea =
        |at: usize| is_of(&journal.materials[at], tea.teas) && concerned(season, MaterialId::at(at), &asked.rule.when);
    let teas: Vec<bool> = (0..journal.materials.len()).map(is_tea).collect();
    if !teas.contains(&true) {
        return;
    }
    let untreated: Vec<bool> =
        (0..journal.brews.len()).map(|at| of_batch(season, tea, BrewId::at(at)).is_some()).collect();
    let mut hits: Vec<((MaterialId, Option<BrewId>), usize, (usize, usize, Option<BrewId>))> = Vec::new();
    for (at, facts) in season.sprays.iter().enumerate() {
        for (place, dose) in facts.doses.iter().enumerate().filter(|(_, dose)| teas[dose.material.index()]) {
            let batches = batches(season, facts, dose);
            let bad = batches.iter().flatten().copied().find(|batch| untreated[batch.index()]);
            // A batch that is not known may be a harmless one, and so may the material by itself.
            let alone = batches.is_empty() && by_classes(journal.material(dose.material), tea).is_some();
            if (bad.is_some() || alone) && asked.holds_for(season, facts) {
                hits.push(((dose.material, bad), at, (at, place, bad)));
            }
        }
    }
    for ((at, place, batch), more) in ruled::firsts(hits) {
        report(season, found, asked, tea, (&season.sprays[at], place, batch), more);
    }
}

fn is_of(material: &Material, classes: &[String]) -> bool {
    classes.iter().any(|class| material.is(class))
}

/// The batches of a material that a spray names; nothing in place of one that may be of it and is not known.
fn batches(season: &Season<'_>, facts: &SprayFacts, dose: &Dose) -> Vec<Option<BrewId>> {
    let batches = facts.spray(season.journal).batches.iter().filter_map(|batch| match batch.id {
        Some(id) => match season.journal.brew(id).material.and_then(|of| of.id) {
            Some(of) => (of == dose.material).then_some(Some(id)),
            None => Some(None),
        },
        None => Some(None),
    });
    batches.collect()
}

/// Why a batch counts as untreated, by what was put in and its water, and by the classes of its material.
fn of_batch<'j>(season: &Season<'j>, tea: Tea<'_>, batch: BrewId) -> Option<Why<'j>> {
    let journal = season.journal;
    let brew = journal.brew(batch);
    let own = brew.material.and_then(|of| Some((journal.material(of.id?), of.span)));
    let puts = brew.puts.iter().filter_map(|put| Some((journal.material(put.material.id?), put.material.span)));
    let find = |classes: &[String]| puts.clone().chain(own).find(|(material, _)| is_of(material, classes));
    let named = |(material, span): (&'j Material, Span)| (&*material.named.name, span);
    if let Some(raw) = find(tea.untreated).map(named) {
        return Some(Why { animal: raw, by: (format!("{} is untreated", raw.0), raw.1) });
    }
    let animal = find(tea.animal).map(named)?;
    if let Some((additive, span)) = find(tea.additives).map(named) {
        return Some(Why { animal, by: (format!("{additive} feeds its microbes"), span) });
    }
    let water = brew.water?;
    let kind = journal.water(water.id?).kind.filter(|kind| tea.waters.contains(&kind.value))?;
    let by = format!("its water {} is {} water", journal.water(water.id?).named.name, kind.value.word());
    Some(Why { animal, by: (by, water.span) })
}

/// The same of a material of which no batch is named, by its own classes.
fn by_classes<'j>(material: &'j Material, tea: Tea<'_>) -> Option<Why<'j>> {
    let of =
        |classes: &[String]| material.classes.iter().find(|class| classes.iter().any(|known| **known == *class.value));
    if let Some(raw) = of(tea.untreated) {
        return Some(Why { animal: (&raw.value, raw.span), by: (format!("{} is untreated", raw.value), raw.span) });
    }
    let (animal, additive) = (of(tea.animal)?, of(tea.additives)?);
    let by = (format!("its class {} says that something feeds its microbes", additive.value), additive.span);
    Some(Why { animal: (&animal.value, animal.span), by })
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    asked: &Asked<'_>,
    tea: Tea<'_>,
    (facts, place, batch): (&SprayFacts, usize, Option<BrewId>),
    more: usize,
) {
    let journal = season.journal;
    let spray = facts.spray(journal);
    let dose = &facts.doses[place];
    let why = match batch {
        Some(batch) => of_batch(season, tea, batch),
        None => by_classes(journal.material(dose.material), tea),
    };
    let Some(Why { animal, by }) = why else { return };
    let name = say::material(season, dose.material);
    let what = batch.map_or(name.to_string(), |batch| format!("{} of {name}", journal.brew(batch).named.name));
    let headline = format!(
        "{what} went on {} on {}, and counts as an untreated tea: {} is in it, and {}",
        scene::blocks(season, &spray.ground),
        say::day(spray.at.day),
        animal.0,
        by.0
    );
    let named = spray.batches.iter().find(|named| batch.is_some() && named.id == batch);
    let at = named.map_or_else(|| written::place(spray, dose), |named| named.span);
    let mut finding = found.finding(at, headline).label(animal.1, "comes from animals");
    if by.1 != animal.1 {
        finding = finding.label(by.1, "this makes it untreated");
    }
    finding = finding.help(
        "such a tea must not touch what is eaten while it is put on; ask a food-safety adviser before the next use, and accept this with the reason where nothing that is eaten was touched",
    );
    found.add(ruled::more(ruled::by(finding, asked), more, "spray"));
}
