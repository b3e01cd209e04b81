//! See the Markdown beside this file.

use super::wording::{hides, quote, same_material};
use super::{Check, Findings};
use crate::finding::{Finding, Level};
use crate::journal::{MaterialId, Trouble};
use crate::season::Season;
use crate::text::Span;

/// How far powders differ.
const SPREAD: &str = "New England Vegetable Management Guide (nevegetable.org): 2 to 6 level tablespoons make an ounce";

pub(super) const CHECK: Check = Check {
    code: "wrong-form",
    level: Level::Error,
    summary: "A spoon of powder that nobody weighed, or a weight of a liquid of unknown density",
    explain: include_str!("wrong_form.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let amounts = |dry: bool| {
        season.journal.troubles.iter().filter_map(move |trouble| match *trouble {
            Trouble::WrongForm { at, material, dry_by_volume } if dry_by_volume == dry && !hides(season, at) => {
                Some((material, at))
            }
            _ => None,
        })
    };
    for (id, uses) in same_material(season, amounts(true)) {
        let finding = powder_by_volume(season, id, &uses, found);
        found.add(finding);
    }
    for (id, uses) in same_material(season, amounts(false)) {
        let finding = liquid_by_weight(season, id, &uses, found);
        found.add(finding);
    }
}

fn powder_by_volume(season: &Season<'_>, id: MaterialId, uses: &[Span], found: &Findings) -> Finding {
    let named = &season.journal.material(id).named;
    let (amount, name) = (quote(season, uses[0]), &named.name);
    let headline = format!("{amount} of {name} is an unknown weight: it is dry, and nobody has weighed a spoon of it");
    let finding = found
        .finding(uses[0], headline)
        .here("measured by volume")
        .label(named.span, "dry, without a measured weight")
        .working("powders run 2 to 6 level tablespoons to the ounce, so the dose is unknown within a factor of 3");
    others(finding, uses)
        .help("weigh one level tablespoon of this lot and write `weighs _ g per tbsp` in its entry; or weigh the dose")
        .source(SPREAD)
}

fn liquid_by_weight(season: &Season<'_>, id: MaterialId, uses: &[Span], found: &Findings) -> Finding {
    let named = &season.journal.material(id).named;
    let (amount, name) = (quote(season, uses[0]), &named.name);
    let headline = format!("{amount} of {name} is an unknown volume: it is liquid, and its density is not written");
    let finding =
        found.finding(uses[0], headline).here("measured by weight").label(named.span, "liquid, without a density");
    others(finding, uses).help(
        "copy its weight per gallon or litre from the label or safety data sheet to `density` in its entry; \
         or write the volume",
    )
}

/// The other amounts of the same material: one line in its entry settles them all.
fn others(mut finding: Finding, uses: &[Span]) -> Finding {
    for &other in uses[1..].iter().take(4) {
        finding = finding.label(other, "here too");
    }
    if uses.len() > 5 { finding.working(format!("{} amounts of it are written so", uses.len())) } else { finding }
}
