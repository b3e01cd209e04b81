//! See the Markdown beside this file.

use super::asked::MATERIALS;
use super::tanks::{Ingredient, Pairing, Sides, Tank, each, each_brew};
use super::{Ahead, Check, Findings, When, dangers, say};
use crate::finding::Level;
use crate::journal::{Material, MaterialId};
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "dangerous-tank",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "Materials that react dangerously together, most with poison gas",
    explain: include_str!("dangerous_tank.md"),
    run,
};

/// Two kinds that give off a gas together, by class, by name or by active ingredient.
struct Danger {
    what: &'static str,
    with: &'static [&'static str],
    gas: &'static str,
    source: &'static str,
}

const DANGERS: &[Danger] = &[
    Danger {
        what: "lime-sulfur",
        with: &["acid", "weak-acid"],
        gas: "hydrogen sulfide, a poisonous and flammable gas",
        source: "lime-sulfur labels and safety data sheets: contact with acid gives off hydrogen sulfide",
    },
    Danger {
        what: "bleach",
        with: &["acid", "weak-acid"],
        gas: "chlorine, a poisonous gas",
        source: "bleach labels and safety data sheets: contact with acid gives off chlorine",
    },
    Danger {
        what: "bleach",
        with: &["ammonia", "urea"],
        gas: "chloramines, which are poisonous gases",
        source: "from memory: bleach with ammonia, urine or urea gives off chloramines; see the bleach label",
    },
    Danger {
        what: "bleach",
        with: &["lime-sulfur"],
        gas: "heat and poisonous gases",
        source: "from memory: safety data sheets of calcium polysulfide keep it from oxidisers, those of bleach from other chemicals",
    },
    Danger {
        what: "bleach",
        with: &["peroxide"],
        gas: "heat and oxygen all at once, which can burst a closed tank",
        source: "from memory: safety data sheets of sodium hypochlorite keep it from hydrogen peroxide",
    },
];

fn pairings() -> Vec<Pairing<'static, &'static Danger>> {
    DANGERS.iter().map(|danger| Pairing { what: danger.what, with: danger.with.to_vec(), rule: danger }).collect()
}

/// Whether two materials are dangerous together.
pub(super) fn together(season: &Season<'_>, one: MaterialId, other: MaterialId) -> bool {
    let (one, other) = (season.journal.material(one), season.journal.material(other));
    let kinds = (dangers::kinds(one), dangers::kinds(other));
    let is = |material: &Material, kinds: &[&str], word: &str| material.is(word) || kinds.contains(&word);
    DANGERS.iter().any(|danger| {
        let with = |material, kinds: &[&str]| danger.with.iter().any(|with| is(material, kinds, with));
        is(one, &kinds.0, danger.what) && with(other, &kinds.1)
            || is(other, &kinds.1, danger.what) && with(one, &kinds.0)
    })
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let rules = pairings();
    let sides = Sides::known_as(&season.journal.materials, &rules, dangers::kinds);
    let mut finder = sides.finder();
    let mut look = |found: &mut Findings, tank: Tank, ingredients: &[Ingredient]| {
        finder.find(ingredients, |rule, one, other| {
            let danger = rules[rule].rule;
            let (first, second) = if one.own { (one, other) } else { (other, one) };
            let headline = format!(
                "{} and {} in {} give off {}",
                say::material(season, one.material),
                say::material(season, other.material),
                tank.words(season),
                danger.gas
            );
            found.add(
                found
                    .finding(first.span, headline)
                    .here("do not mix")
                    .label(second.span, "with this")
                    .help("do not mix these two, nor one after the other in a sprayer that was not cleaned; if it has happened, leave at once for fresh air, keep everyone away and call the emergency services or your poison centre; the product labels and safety data sheets come first")
                    .source(danger.source),
            );
        });
    };
    each(season, found, MATERIALS, &mut look);
    each_brew(season, |tank, ingredients| look(found, tank, ingredients));
}
