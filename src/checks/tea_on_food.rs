//! See the Markdown beside this file.

use super::asked::USES;
use super::{Ahead, Check, Findings, When, ruled, say, written};
use crate::duty::{Asked, Duties, concerned};
use crate::finding::Level;
use crate::journal::{BrewId, Material, MaterialId, WaterKind};
use crate::rulebook::Demand;
use crate::season::{Dose, Season, SprayFacts};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "tea-on-food",
    level: Level::Warning,
    ahead: Ahead::RoundAndJob(When::OnTheDay),
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

/// What makes a tea count as untreated.
struct Why {
    /// In words, behind `an untreated tea:`.
    words: String,
    /// What comes from animals.
    animal: Span,
    /// What makes that untreated: the same, an additive, or the water.
    by: Span,
}

/// A tea in a spray: which spray, which of its doses, and which batch; none where the spray names none.
#[derive(Clone, Copy)]
struct Hit {
    at: usize,
    place: usize,
    batch: Option<BrewId>,
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
    found.among(season, USES, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
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
    let mut hits: Vec<((MaterialId, Option<BrewId>), usize, Hit)> = Vec::new();
    for (at, facts) in season.sprays.iter().enumerate() {
        for (place, dose) in facts.doses.iter().enumerate().filter(|(_, dose)| teas[dose.material.index()]) {
            let batches = batches(season, facts, dose);
            let bad = batches.iter().flatten().copied().find(|batch| untreated[batch.index()]);
            // A batch that is not known may be a harmless one, and so may the material by itself.
            let alone = batches.is_empty() && by_classes(journal.material(dose.material), tea).is_some();
            if (bad.is_some() || alone) && asked.holds_for(season, facts) {
                hits.push(((dose.material, bad), at, Hit { at, place, batch: bad }));
            }
        }
    }
    for (hit, more) in ruled::firsts(hits) {
        report(season, found, asked, tea, hit, more);
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
fn of_batch(season: &Season<'_>, tea: Tea<'_>, batch: BrewId) -> Option<Why> {
    let journal = season.journal;
    let brew = journal.brew(batch);
    let own = brew.material.and_then(|of| Some((journal.material(of.id?), of.span)));
    let puts = brew.puts.iter().filter_map(|put| Some((journal.material(put.material.id?), put.material.span)));
    let find = |classes: &[String]| puts.clone().chain(own).find(|(material, _)| is_of(material, classes));
    if let Some((raw, at)) = find(tea.untreated) {
        return Some(Why { words: format!("{} is in it, which is untreated", raw.named.name), animal: at, by: at });
    }
    let (from_animals, animal) = find(tea.animal)?;
    let from_animals = &from_animals.named.name;
    if let Some((additive, by)) = find(tea.additives) {
        let words = format!("{from_animals} is in it, and {} feeds its microbes", additive.named.name);
        return Some(Why { words, animal, by });
    }
    let used = brew.water?;
    let water = journal.water(used.id?);
    let kind = water.kind.filter(|kind| tea.waters.contains(&kind.value))?.value.word();
    let words = format!("{from_animals} is in it, and its water, {}, is {kind} water", water.named.name);
    Some(Why { words, animal, by: used.span })
}

/// The same of a material of which no batch is named, by its own classes.
fn by_classes(material: &Material, tea: Tea<'_>) -> Option<Why> {
    let of =
        |classes: &[String]| material.classes.iter().find(|class| classes.iter().any(|known| **known == *class.value));
    if let Some(raw) = of(tea.untreated) {
        let words = format!("it is of the class {}", raw.value);
        return Some(Why { words, animal: raw.span, by: raw.span });
    }
    let (animal, additive) = (of(tea.animal)?, of(tea.additives)?);
    let words = format!("it is of the classes {} and {}", animal.value, additive.value);
    Some(Why { words, animal: animal.span, by: additive.span })
}

fn report(season: &Season<'_>, found: &mut Findings, asked: &Asked<'_>, tea: Tea<'_>, hit: Hit, more: usize) {
    let journal = season.journal;
    let facts = &season.sprays[hit.at];
    let (spray, batch) = (facts.spray(journal), hit.batch);
    let dose = &facts.doses[hit.place];
    let why = match batch {
        Some(batch) => of_batch(season, tea, batch),
        None => by_classes(journal.material(dose.material), tea),
    };
    let Some(why) = why else { return };
    let name = say::material(season, dose.material);
    let what = batch.map_or(name.to_string(), |batch| format!("{} of {name}", journal.brew(batch).named.name));
    let headline = format!(
        "{what} went on {} on {}, and counts as an untreated tea: {}",
        ruled::place(season, facts, asked),
        say::day(spray.at.day),
        why.words
    );
    let named = spray.batches.iter().find(|named| batch.is_some() && named.id == batch);
    let at = named.map_or_else(|| written::place(spray, dose), |named| named.span);
    let mut finding = found.finding(at, headline).label(why.animal, "comes from animals");
    if why.by != why.animal {
        finding = finding.label(why.by, "this makes it untreated");
    }
    finding = finding.help(
        "such a tea must not touch what is eaten while it is put on; ask a food-safety adviser before the next use, and accept this with the reason where nothing that is eaten was touched",
    );
    found.add(ruled::more(ruled::by(finding, asked), more, "spray"));
}
