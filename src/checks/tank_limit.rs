//! A tank against the most that may be in it: of everything, or of one class.

use super::asked::TANK_AND_LIMITS;
use super::crops::first_bound;
use super::{Findings, rates, say, written};
use crate::finding::Finding;
use crate::journal::{MaterialId, MixId, RateRange, Spray, Written};
use crate::quantity::{Amount, Exact, Rate, Unit};
use crate::season::{
    Contribution, Dose, Season, SprayFacts, TotalKind, counts_for, limit_for, may_count, recipe_contributions,
    total_kind,
};
use crate::text::Span;

/// A limit that can be reckoned with.
struct Limit<'j> {
    range: &'j RateRange,
    most: Rate,
    kind: TotalKind,
    /// The most, in the measure of its kind.
    value: Exact,
    /// The class or material that it is for; everything where absent.
    class: Option<&'j str>,
    /// The mix that set it, or else the name of the rules.
    mix: Option<MixId>,
    whose: &'j str,
    source: Option<Span>,
}

/// One ingredient: what it is, and its strength where that is known.
type Part = Option<Contribution>;

/// A limit that is broken, and the crop for which it holds.
struct Broken<'a, 'j> {
    limit: &'a Limit<'j>,
    crop: Option<&'j str>,
    total: Exact,
}

/// What a tank is, for words.
struct Tank<'a> {
    at: &'a dyn Fn(&Contribution) -> Span,
    /// What its ingredients are, known strength or not.
    materials: Vec<Option<MaterialId>>,
    name: String,
    finished: Option<Amount>,
    made: Option<Span>,
    concentrate: Option<Written<Exact>>,
}

/// The ingredients of every recipe.
fn recipes(season: &Season<'_>) -> Vec<Vec<Part>> {
    season.recipes.iter().map(|recipe| recipe_contributions(season.journal, recipe)).collect()
}

/// Looks over every recipe once, and over the sprays that put in something of their own.
pub(super) fn look(season: &Season<'_>, found: &mut Findings, of_classes: bool) {
    let limits = limits(season, of_classes);
    if limits.is_empty() {
        return;
    }
    let recipes = recipes(season);
    look_at_recipes(season, found, &limits, &recipes);
    look_at_sprays(season, found, &limits, &recipes);
}

fn look_at_recipes<'j>(season: &Season<'j>, found: &mut Findings, limits: &[Limit<'j>], recipes: &[Vec<Part>]) {
    let mut broken = Vec::new();
    let crops = season.crops_of_mixes();
    for (index, parts) in recipes.iter().enumerate() {
        let id = MixId(index as u32);
        over(season, limits, parts, Some(id), &crops[index], &mut broken);
        if broken.is_empty() {
            continue;
        }
        let tank = Tank {
            at: &|part| part.span,
            materials: season.recipes[index].parts.iter().map(|part| part.material.id).collect(),
            name: season.journal.mix(id).named.name.to_string(),
            finished: season.recipes[index].finished_base,
            made: None,
            concentrate: None,
        };
        for broken in broken.drain(..) {
            if let Some(finding) = finding(season, found, parts, &tank, &broken) {
                found.add(finding);
            }
        }
    }
}

fn look_at_sprays<'j>(season: &Season<'j>, found: &mut Findings, limits: &[Limit<'j>], recipes: &[Vec<Part>]) {
    let materials = &season.journal.materials;
    let counts = |at: usize| limits.iter().any(|limit| limit.class.is_none_or(|class| materials[at].is(class)));
    let counts: Vec<bool> = (0..materials.len()).map(counts).collect();
    let hits = found.in_sprays(season, TANK_AND_LIMITS, |_, facts| {
        let spray = facts.spray(season.journal);
        let Some(finished) = facts.finished else { return Vec::new() };
        if !facts.doses.iter().any(|dose| counts[dose.material.index()]) {
            return Vec::new();
        }
        let mix = spray.mix.and_then(|used| used.mix.id);
        // An ingredient dosed by ground is known only in the spray.
        let known = mix.is_some_and(|mix| recipes[mix.index()].iter().all(Option::is_some));
        let own = |dose: &Dose| dose.times != Exact::ONE || written::is_own(season, spray, dose);
        if known && !facts.doses.iter().any(own) {
            return Vec::new();
        }
        let parts = contributions(season, facts, finished);
        let (mut here, mut broken) = (Vec::new(), Vec::new());
        season.crops_of(facts, &mut here);
        over(season, limits, &parts, mix, &here, &mut broken);
        // What the recipe itself puts over the limit has been said there.
        broken.retain(|broken| mix.is_none_or(|mix| adds_to(season, broken, &recipes[mix.index()])));
        broken.into_iter().map(|broken| (facts, broken)).collect()
    });
    let hits: Vec<(&SprayFacts, Broken<'_, 'j>)> = hits;
    let place = |(facts, _): &(&SprayFacts, Broken<'_, 'j>)| (written::volume_place(facts.spray(season.journal)), None);
    found.tell(season, &hits, place, |found, (facts, broken)| {
        let (spray, finished) = (facts.spray(season.journal), facts.finished?);
        let tank = Tank {
            at: &|part| place_of(spray, facts, part),
            materials: facts.doses.iter().map(|dose| Some(dose.material)).collect(),
            name: format!("the tank for {}", blocks(season, spray)),
            finished: Some(finished),
            made: Some(written::volume_place(spray)),
            concentrate: spray.concentrate,
        };
        finding(season, found, &contributions(season, facts, finished), &tank, broken)
    });
}

/// The strength of every ingredient in a spray, from what really went in.
fn contributions(season: &Season<'_>, facts: &SprayFacts, finished: Amount) -> Vec<Part> {
    let spray = facts.spray(season.journal);
    facts.doses.iter().map(|dose| contribution(season, spray, dose, finished)).collect()
}

fn limits<'j>(season: &Season<'j>, of_classes: bool) -> Vec<Limit<'j>> {
    let journal = season.journal;
    let limit = |range: &'j RateRange, class, mix, whose, source| {
        let most = range.most?;
        let kind = total_kind(most);
        let value = limit_for(kind, most).filter(|value| value.is_positive())?;
        Some(Limit { range, most, kind, value, class, mix, whose, source })
    };
    let mut limits = Vec::new();
    if !of_classes {
        limits.extend(journal.mixes.iter().enumerate().filter_map(|(index, mix)| {
            limit(mix.total.as_ref()?, None, Some(MixId(index as u32)), &*mix.named.name, mix.source)
        }));
    }
    for rules in &journal.limits {
        limits.extend(
            rules.totals.iter().filter(|total| total.class.is_some() == of_classes).filter_map(|total| {
                limit(&total.range, total.class.as_deref(), None, &*rules.named.name, rules.source)
            }),
        );
    }
    limits
}

/// The strength of an ingredient in a spray, from what really went in.
fn contribution(season: &Season<'_>, spray: &Spray, dose: &Dose, finished: Amount) -> Option<Contribution> {
    let rate = rates::over(written::went_in(season, spray, dose)?, finished)?;
    let material = season.journal.material(dose.material);
    let strength = rate.per_ml(material.form(), material.bridge(), None)?;
    Some(Contribution { material: dose.material, strength, span: dose.span })
}

/// Adds the limits that a tank breaks, the one broken worst of each class.
fn over<'a, 'j>(
    season: &Season<'j>,
    limits: &'a [Limit<'j>],
    parts: &[Part],
    mix: Option<MixId>,
    crops: &[Option<&'j str>],
    broken: &mut Vec<Broken<'a, 'j>>,
) {
    for limit in limits.iter().filter(|limit| limit.mix.is_none() || limit.mix == mix) {
        let Some(total) = total(season, limit, parts).filter(|total| *total > limit.value) else { continue };
        let others = limits
            .iter()
            .filter(|other| other.class == limit.class && other.whose == limit.whose && other.mix == limit.mix)
            .map(|other| other.range.crops.as_slice());
        let Some(crop) = first_bound(&limit.range.crops, others, crops) else { continue };
        let worse = |known: &Broken<'_, '_>| {
            let known = known.total.div(known.limit.value);
            total.div(limit.value).zip(known).is_some_and(|(own, known)| own > known)
        };
        let new = Broken { limit, crop, total };
        match broken.iter_mut().find(|known| known.limit.class == limit.class) {
            Some(known) if worse(known) => *known = new,
            Some(_) => {}
            None => broken.push(new),
        }
    }
}

/// What counts towards a limit together. Ingredients of unknown strength are left out: the tank holds at least this much.
fn total(season: &Season<'_>, limit: &Limit<'_>, parts: &[Part]) -> Option<Exact> {
    parts.iter().flatten().filter_map(|part| counts(season, limit, part)).try_fold(Exact::ZERO, Exact::add)
}

fn counts(season: &Season<'_>, limit: &Limit<'_>, part: &Contribution) -> Option<Exact> {
    let counted = limit.class.is_none_or(|class| season.journal.material(part.material).is(class));
    if counted { counts_for(season.journal, limit.kind, part) } else { Some(Exact::ZERO) }
}

/// Whether a spray breaks a limit that its recipe keeps, or breaks it by over 5 % more than its recipe does.
fn adds_to(season: &Season<'_>, broken: &Broken<'_, '_>, recipe: &[Part]) -> bool {
    let Some(own) = total(season, broken.limit, recipe) else { return true };
    own <= broken.limit.value || broken.total.div(own).zip(Exact::new(105, 100)).is_some_and(|(more, most)| more > most)
}

fn place_of(spray: &Spray, facts: &SprayFacts, part: &Contribution) -> Span {
    let dose = facts.doses.iter().find(|dose| dose.span == part.span && dose.material == part.material);
    dose.map_or(spray.at.line, |dose| written::place(spray, dose))
}

fn blocks<'j>(season: &Season<'j>, spray: &Spray) -> String {
    let names: Vec<&str> = spray.ground.blocks.iter().map(|block| season.words(block.span)).collect();
    say::list(&names)
}

fn finding(
    season: &Season<'_>,
    found: &Findings,
    parts: &[Part],
    tank: &Tank<'_>,
    broken: &Broken<'_, '_>,
) -> Option<Finding> {
    let limit = broken.limit;
    // Everything is said in the limit's own words: 0.6 of the limit is 0.6 times its number.
    let said = |value: Exact| limit.most.times(value.div(limit.value)?);
    let (total, most) = rates::beside(said(broken.total)?, limit.most, None);
    let excess = said(broken.total.sub(limit.value)?)?.show();
    let on =
        broken.crop.filter(|_| !limit.range.crops.is_empty()).map(|crop| format!(" on {crop}")).unwrap_or_default();
    let whose = if limit.mix.is_some() { "its limit".to_string() } else { format!("the limit of {}", limit.whose) };
    let what = limit.class.map(|class| format!("{class} ")).unwrap_or_default();
    let headline = match limit.class {
        None => format!("{} adds up to {total}, {excess} more than {whose}{on}, {most}", tank.name),
        Some(class) => format!("{} holds {total} of {class}, {excess} more than {whose}{on}, {most}", tank.name),
    };
    let crossing = crossing(season, limit, parts)?;
    let name = say::material(season, crossing.material);
    let at = (tank.at)(crossing);
    let mut finding = found.finding(at, headline).here(format!("{name} takes the {what}total over the limit"));
    if let Some(made) = tank.made.filter(|made| *made != at) {
        finding = finding.label(made, "in this tank");
    }
    finding = finding.label(limit.range.span, "limit set here").working(how(limit.kind));
    if let Some(times) = tank.concentrate {
        finding = finding.label(times.span, "and so many times as strong").working(format!(
            "what the mix takes per volume went in {} times, since this is a concentrate",
            say::times(times.value)
        ));
    }
    for part in parts.iter().flatten() {
        finding = match counts(season, limit, part) {
            Some(value) if value.is_zero() => finding,
            Some(value) => {
                finding.working(format!("{}: {}", say::material(season, part.material), said(value)?.show()))
            }
            None => finding.working(format!(
                "{}: not counted, since what it weighs for its volume is not known",
                say::material(season, part.material)
            )),
        };
    }
    if let Some(left_out) = left_out(season, limit, parts, &tank.materials) {
        finding = finding.working(left_out);
    }
    finding = finding.working(format!("{what}together {total}; {total} - {most} = {excess} too much"));
    let base = tank.finished.unwrap_or(Amount::of(1, Unit::GALLON));
    let needed = rates::rounded_up(base.times(broken.total.div(limit.value)?)?)?;
    Some(
        finding
            .help(format!(
                "put in less, or put the amounts for {base} into at least {needed} of finished spray, if label and plan \
                 allow that",
            ))
            .source(match limit.source {
                Some(source) => format!("your own entry; its source: {}", season.words(source)),
                None => "your own entry".to_string(),
            }),
    )
}

/// The ingredients that would count, and how much of them there is is not known.
fn left_out(
    season: &Season<'_>,
    limit: &Limit<'_>,
    parts: &[Part],
    materials: &[Option<MaterialId>],
) -> Option<String> {
    let mut names: Vec<&str> = Vec::new();
    for (_, material) in parts.iter().zip(materials).filter(|(part, _)| part.is_none()) {
        let Some(material) = *material else { continue };
        let of_class = limit.class.is_none_or(|class| season.journal.material(material).is(class));
        let name = say::material(season, material);
        if of_class && may_count(season.journal, limit.kind, material) && !names.contains(&name) {
            names.push(name);
        }
    }
    let them = if names.len() == 1 { "it" } else { "them" };
    (!names.is_empty())
        .then(|| format!("{}: not counted, since how much of {them} there is is not known", say::list(&names)))
}

/// The ingredient with which the total goes over the limit.
fn crossing<'p>(season: &Season<'_>, limit: &Limit<'_>, parts: &'p [Part]) -> Option<&'p Contribution> {
    let mut sum = Exact::ZERO;
    parts.iter().flatten().find(|part| {
        let with = counts(season, limit, part).and_then(|value| sum.add(value));
        sum = with.unwrap_or(sum);
        sum > limit.value
    })
}

fn how(kind: TotalKind) -> &'static str {
    match kind {
        TotalKind::Ounces => "counted: liquids by volume (fl oz), dry materials by weight (oz wt)",
        TotalKind::Volume => "counted: liquids by volume; dry materials do not count",
        TotalKind::Weight => "counted: everything by weight, liquids by their density",
    }
}
