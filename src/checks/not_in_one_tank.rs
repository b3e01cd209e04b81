//! See the Markdown beside this file.

use super::asked::MATERIALS_AND_RULES;
use super::tanks::{Ingredient, Pairing, Sides, Tank, each};
use super::{Ahead, Check, Findings, When, dangerous_tank, say, scene, whose};
use crate::finding::{Finding, Level};
use crate::journal::{ContentShare, Material, MaterialId, in_force};
use crate::quantity::{Amount, Exact, Form, Unit};
use crate::season::{By, Season};
use crate::syntax::{EntryWord, FieldWord};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "not-in-one-tank",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "Materials that must not share a tank",
    explain: include_str!("not_in_one_tank.md"),
    run,
};

/// Why two things are kept out of one tank.
#[derive(Clone, Copy, Debug)]
enum Rule<'j> {
    /// The journal or the pantry says so: where, in which material's entry if in one, and the source of limits.
    Own(Span, Option<&'j Material>, Option<Span>),
    /// It is published, or known in the trade.
    Known(&'static Known),
}

/// A rule that holds wherever the journal says nothing else. Warnings but where people may be hurt, since products differ
/// and labels decide.
#[derive(Debug)]
struct Known {
    what: &'static str,
    with: &'static [&'static str],
    why: &'static str,
    level: Level,
    source: &'static str,
}

/// One row a rule: the classes, the reason, and how it is known.
const KNOWN: &[Known] = &[
    Known {
        what: "copper",
        with: &["acid"],
        why: "acid sets copper free, which burns leaves; a copper tank is kept at pH 6.5 or above",
        level: Level::Warning,
        source: "New England Apple Pest Management Guide 1996-97, fruit finish and phytotoxicity",
    },
    Known {
        what: "live-culture",
        with: &["copper"],
        why: "copper kills bacteria; the two are sprayed in turn, not together",
        level: Level::Warning,
        source: "UC IPM, apple and pear fungicide efficacy, biocontrols",
    },
    Known {
        what: "live-culture",
        with: &["bleach", "lime-sulfur"],
        why: "many cultures are sour, and acid gives off poison gas with either; both kill the culture besides",
        level: Level::Error,
        source: "from memory: labels of bleach and lime-sulfur warn of acids; those of live products ask to be kept from disinfectants",
    },
    Known {
        what: "live-culture",
        with: &["oxidiser"],
        why: "what kills microbes kills a culture as well",
        level: Level::Warning,
        source: "from memory: labels of live products ask to be kept from disinfectants",
    },
    SOAP_AND_SALTS,
];

/// Soap beside what is marked as a salt of magnesium or calcium, or contains enough of either.
const SOAP_AND_SALTS: Known = Known {
    what: "soap",
    with: &["magnesium", "calcium"],
    why: "soap and salts of magnesium or calcium make scum, which sprays badly and injures leaves",
    level: Level::Warning,
    source: "public garden extension advice on insecticidal soap in hard water, carried over to these salts",
};

/// A dry material with at least this share of magnesium or calcium, in percent, is taken for a salt of it: magnesium
/// sulfate has 9.9, calcium chloride 27 and more; whey powder and kelp have about 1. Common practice, no source.
const SALT_FROM: i64 = 5;

/// The hardness from which water is called hard here, in mg of calcium carbonate per litre. Publishers differ: Purdue
/// (Whitford) 200, Rutgers 250, Montana State (MontGuide) 342; the lowest is taken.
const HARD: i64 = 200;

/// With the water, which may be hard: a check says at its first look what all of them judge by.
const BY: By = By { named: &[EntryWord::Block, EntryWord::Material, EntryWord::Water], ..MATERIALS_AND_RULES };

fn run(season: &Season<'_>, found: &mut Findings) {
    let rules = rules(season);
    let sides = Sides::new(&season.journal.materials, &rules);
    let mut finder = sides.finder();
    each(season, found, BY, |found, tank, ingredients| {
        finder.find(ingredients, |rule, one, other| {
            if !dangerous_tank::together(season, one.material, other.material) {
                found.add(worded(season, found, tank, rules[rule].rule, one, other));
            }
        });
        salts(season, found, &rules, tank, ingredients);
    });
    hard_water(season, found);
}

/// The journal's own rules first: they are nearer to the product than what is known in general.
fn rules<'j>(season: &Season<'j>) -> Vec<Pairing<'j, Rule<'j>>> {
    let journal = season.journal;
    let mut rules = Vec::new();
    let strs = |words: &'j [Box<str>]| words.iter().map(|word| &**word).collect::<Vec<_>>();
    for material in &journal.materials {
        for never in &material.never {
            let what = never.what.as_deref().unwrap_or(&material.named.name);
            rules.push(Pairing {
                what,
                with: strs(&never.with),
                rule: Rule::Own(never.span, Some(material), material.source),
            });
        }
    }
    for limits in &journal.limits {
        for never in &limits.never {
            let Some(what) = never.what.as_deref() else { continue };
            rules.push(Pairing { what, with: strs(&never.with), rule: Rule::Own(never.span, None, limits.source) });
        }
    }
    rules.extend(KNOWN.iter().map(|known| Pairing {
        what: known.what,
        with: known.with.to_vec(),
        rule: Rule::Known(known),
    }));
    rules
}

/// The journal's own rules and the known ones, to ask about pairs.
pub(super) struct KeptOut<'j>(Vec<Pairing<'j, Rule<'j>>>);

impl<'j> KeptOut<'j> {
    /// Gathers the rules.
    pub(super) fn new(season: &Season<'j>) -> Self {
        Self(rules(season))
    }

    /// Whether a rule keeps two materials out of one tank, so that nothing else need say so.
    pub(super) fn names(&self, season: &Season<'_>, one: MaterialId, other: MaterialId) -> bool {
        self.0.iter().any(|rule| names_both(season, rule, one, other))
    }
}

fn worded(
    season: &Season<'_>,
    found: &Findings,
    tank: Tank,
    rule: Rule<'_>,
    one: Ingredient,
    other: Ingredient,
) -> Finding {
    let (first, second) = if one.own { (one, other) } else { (other, one) };
    let names = (say::material(season, one.material), say::material(season, other.material));
    match rule {
        Rule::Own(span, material, source) => {
            let pantrys = whose::is_pantrys(season, material);
            let (keeper, tank) = (whose::keeper(pantrys), tank.words(season));
            let headline = format!("{} and {} are both in {tank}; {keeper} keeps them apart", names.0, names.1);
            let finding = found
                .finding(first.span, headline)
                .here("in this tank")
                .label(second.span, "with this")
                .label(span, "kept apart here")
                .help("spray them one after the other, as far apart as their labels ask")
                .source(whose::source(season, "the rule", material, FieldWord::Never, source));
            if pantrys { whose::by_pantry(finding) } else { finding }
        }
        Rule::Known(known) => {
            let headline = format!("{} and {} are both in {}: {}", names.0, names.1, tank.words(season), known.why);
            let finding = found.finding(first.span, headline).here("in this tank").label(second.span, "with this");
            Finding { level: known.level, ..cautious(finding, known.source) }
        }
    }
}

/// A rule of the trade rather than the journal's: a warning that gives way to the label.
fn cautious(mut finding: Finding, source: &str) -> Finding {
    finding.level = Level::Warning;
    finding.help("the product labels decide; where they allow it, accept this with the reason").source(source)
}

/// Soap beside a dry material that contains magnesium or calcium and is not marked with their class.
fn salts(
    season: &Season<'_>,
    found: &mut Findings,
    rules: &[Pairing<'_, Rule<'_>>],
    tank: Tank,
    ingredients: &[Ingredient],
) {
    let is = |ingredient: &Ingredient, class: &str| season.journal.material(ingredient.material).is(class);
    let Some(soap) = first(ingredients, |ingredient| is(ingredient, "soap")) else { return };
    let salt = first(ingredients, |ingredient| {
        let material = season.journal.material(ingredient.material);
        salt_of(material).is_some()
            && !is(ingredient, "magnesium")
            && !is(ingredient, "calcium")
            && !is(ingredient, "soap")
    });
    let Some(salt) = salt.filter(|salt| soap.own || salt.own) else { return };
    let material = season.journal.material(salt.material);
    let Some((element, span)) = salt_of(material) else { return };
    let own = |rule: &&Pairing<'_, Rule<'_>>| matches!(rule.rule, Rule::Own(..));
    if rules.iter().filter(own).any(|rule| names_both(season, rule, soap.material, salt.material)) {
        return;
    }
    let known = &SOAP_AND_SALTS;
    let headline = format!(
        "{} and {} are both in {}, and {} contains {element}: {}",
        say::material(season, soap.material),
        material.named.name,
        tank.words(season),
        material.named.name,
        known.why
    );
    let (here, there) = if soap.own { (soap, salt) } else { (salt, soap) };
    let finding = found
        .finding(here.span, headline)
        .here("in this tank")
        .label(there.span, "with this")
        .label(span, format!("contains {element}"));
    found.add(cautious(finding, known.source));
}

fn names_both(season: &Season<'_>, rule: &Pairing<'_, Rule<'_>>, one: MaterialId, other: MaterialId) -> bool {
    let (one, other) = (season.journal.material(one), season.journal.material(other));
    let is_any = |material: &Material| rule.with.iter().any(|with| material.is(with));
    one.is(rule.what) && is_any(other) || other.is(rule.what) && is_any(one)
}

/// The first ingredient that fits; one of the spray's own before one of the recipe's.
fn first(ingredients: &[Ingredient], fits: impl Fn(&Ingredient) -> bool) -> Option<Ingredient> {
    let own = ingredients.iter().find(|ingredient| ingredient.own && fits(ingredient));
    own.or_else(|| ingredients.iter().find(|ingredient| fits(ingredient))).copied()
}

/// Magnesium or calcium in a dry material.
fn salt_of(material: &Material) -> Option<(&'static str, Span)> {
    if material.form() != Some(Form::Dry) {
        return None;
    }
    material.contents.iter().find_map(|content| {
        let element = match &*content.substance {
            "Mg" | "MgO" => "magnesium",
            "Ca" | "CaO" => "calcium",
            _ => return None,
        };
        let least = Exact::new(i128::from(SALT_FROM), 100)?;
        matches!(content.share, ContentShare::ByWeight(share) if share >= least).then_some((element, content.span))
    })
}

/// Soap in hard water, where the spray names a water whose hardness is known.
fn hard_water(season: &Season<'_>, found: &mut Findings) {
    let hard =
        season.journal.waters.iter().any(|water| water.hardness.iter().any(|known| known.value >= Exact::int(HARD)));
    if !hard {
        return;
    }
    found.each_spray(season, BY, |found, _, facts| {
        let spray = facts.spray(season.journal);
        let Some(used) = spray.water else { return };
        let Some(id) = used.id else { return };
        let soap = facts.doses.iter().find(|dose| season.journal.material(dose.material).is("soap"));
        let Some(soap) = soap else { return };
        let water = season.journal.water(id);
        let Some(hardness) = in_force(&water.hardness, spray.at.day).filter(|known| known.value >= Exact::int(HARD))
        else {
            return;
        };
        let shown = say::amount(season, Amount::new(hardness.value, Unit::PPM));
        let name = say::material(season, soap.material);
        let headline = format!(
            "{name} on {} was put into {}, whose hardness is {shown}: hard water makes scum of soap",
            scene::blocks(season, &spray.ground),
            water.named.name
        );
        let finding = found
            .finding(used.span, headline)
            .here("this water")
            .label(soap.span, "soap")
            .label(hardness.span, "hardness written here")
            .working(format!("water is called hard from {HARD} ppm here: publishers say 200 (Purdue), 250 (Rutgers) and 342 (Montana State); the lowest is taken"));
        found.add(cautious(finding, "public garden extension advice on insecticidal soap; hardness: Purdue Extension (Whitford), Rutgers Cooperative Extension, Montana State University MontGuide"));
    });
}
