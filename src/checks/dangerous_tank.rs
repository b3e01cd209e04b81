//! See the Markdown beside this file.

use super::tanks::{Pairing, Sides, each};
use super::{Check, Findings, say};
use crate::finding::Level;
use crate::journal::MaterialId;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "dangerous-tank",
    level: Level::Error,
    summary: "Materials that give off poison gas together",
    explain: include_str!("dangerous_tank.md"),
    run,
};

/// Two classes that give off a gas together.
struct Danger {
    what: &'static str,
    with: &'static [&'static str],
    gas: &'static str,
    source: &'static str,
}

const DANGERS: &[Danger] = &[
    Danger {
        what: "lime-sulfur",
        with: &["acid"],
        gas: "hydrogen sulfide, a poisonous and flammable gas",
        source: "lime-sulfur labels and safety data sheets: contact with acid gives off hydrogen sulfide",
    },
    Danger {
        what: "bleach",
        with: &["acid"],
        gas: "chlorine, a poisonous gas",
        source: "bleach labels and safety data sheets: contact with acid gives off chlorine",
    },
    Danger {
        what: "bleach",
        with: &["ammonia", "urea"],
        gas: "chloramines, which are poisonous gases",
        source: "from memory: bleach with ammonia, urine or urea gives off chloramines; see the bleach label",
    },
];

fn pairings() -> Vec<Pairing<'static, &'static Danger>> {
    DANGERS.iter().map(|danger| Pairing { what: danger.what, with: danger.with.to_vec(), rule: danger }).collect()
}

/// Whether two materials are dangerous together.
pub(super) fn together(season: &Season<'_>, one: MaterialId, other: MaterialId) -> bool {
    let (one, other) = (season.journal.material(one), season.journal.material(other));
    DANGERS.iter().any(|danger| {
        let meet = |a: &crate::journal::Material, b: &crate::journal::Material| {
            a.is(danger.what) && danger.with.iter().any(|with| b.is(with))
        };
        meet(one, other) || meet(other, one)
    })
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let rules = pairings();
    let sides = Sides::new(&season.journal.materials, &rules);
    let mut finder = sides.finder();
    each(season, |tank, ingredients| {
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
    });
}
