//! See the Markdown beside this file.

use rustc_hash::FxHashMap;

use super::wording::{hides, quote, same_material};
use super::{Ahead, Check, Findings};
use crate::finding::{Finding, Level};
use crate::journal::{MaterialId, Trouble};
use crate::quantity::{Exact, Unit, show};
use crate::season::{Season, SprayFacts};
use crate::text::Span;

/// How far powders differ.
const SPREAD: &str = "New England Vegetable Management Guide (nevegetable.org): 2 to 6 level tablespoons make an ounce";

pub(super) const CHECK: Check = Check {
    code: "wrong-form",
    level: Level::Error,
    ahead: Ahead::Job,
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
    let mut measured: Option<FxHashMap<Span, usize>> = None;
    for dry in [true, false] {
        for (id, uses) in same_material(season, amounts(dry)) {
            let finding = match dry {
                true => powder_by_volume(season, id, &uses, found),
                false => liquid_by_weight(season, id, &uses, found),
            };
            let measured = measured.get_or_insert_with(|| measured_in(season));
            let spray = measured.get(&uses[0]);
            let slip = spray.and_then(|&at| other_ounce(season, &season.sprays[at], id, uses[0], dry));
            found.add(finding.slip(slip));
        }
    }
}

/// In which spray each amount was measured out whose weight or volume is not known.
fn measured_in(season: &Season<'_>) -> FxHashMap<Span, usize> {
    let sprays = season.sprays.iter().enumerate();
    let all = sprays.flat_map(|(at, facts)| facts.spray(season.journal).measured.iter().map(move |one| (one, at)));
    all.filter(|(one, _)| one.amount.is_none()).map(|(one, at)| (one.span, at)).collect()
}

/// The very number that the recipe takes, in the other ounce.
fn other_ounce(season: &Season<'_>, facts: &SprayFacts, id: MaterialId, at: Span, dry: bool) -> Option<String> {
    let (number, unit) = season.words(at).split_once(char::is_whitespace)?;
    let (wrong, right) = if dry { (Unit::FL_OZ, Unit::OZ_WT) } else { (Unit::OZ_WT, Unit::FL_OZ) };
    if Unit::named(unit.trim())? != wrong {
        return None;
    }
    let dose = facts.doses.iter().find(|dose| dose.material == id && dose.expected.is_some())?;
    let expected = dose.expected?.in_unit(right)?;
    let off = Exact::parse(number).ok()?.div(expected.value)?.sub(Exact::ONE)?.abs();
    (off <= Exact::new(15, 1000)?)
        .then(|| format!("{} where {} was meant: the recipe takes {}", wrong.word(), right.word(), show(expected)))
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
