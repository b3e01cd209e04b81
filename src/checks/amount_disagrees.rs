//! See the Markdown beside this file.

use super::asked::TANK;
use super::{Ahead, Check, Findings, amount_of_recipe, loads_disagree, rates, say, written};
use crate::finding::{Finding, Level};
use crate::journal::{MaterialId, Spray, Written};
use crate::quantity::{Amount, Exact, Per, Rate, System, Unit, show, show_apart};
use crate::season::{By, Dose, Season, SprayFacts, add, like, load_totals};
use crate::syntax::EntryWord as E;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "amount-disagrees",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "An amount that disagrees with mix and volume",
    explain: include_str!("amount_disagrees.md"),
    run,
};

/// What stands at the recipe's amount.
pub(super) const SET_HERE: &str = "set here";
/// What the labels of further amounts end in.
pub(super) const EXPECTED: &str = " expected";

/// An ingredient of which more or less was measured than the recipe asks for.
pub(super) struct Disagreement<'f> {
    pub(super) dose: &'f Dose,
    pub(super) measured: Written<Amount>,
    /// In the unit of the measured amount.
    pub(super) expected: Amount,
    pub(super) ratio: Exact,
    from_loads: bool,
}

/// A spray, as a place in the season's list, with what disagrees in it.
pub(super) struct Job<'f> {
    pub(super) at: usize,
    pub(super) off: Vec<Disagreement<'f>>,
}

impl Disagreement<'_> {
    /// Whether it is the recipe that the amount disagrees with, and not what was measured by hand.
    pub(super) fn with_recipe(&self, spray: &Spray) -> bool {
        !(self.from_loads && measured_by_hand(spray, self.dose.material))
    }
}

const BY: By = By { named: &[E::Block, E::Material, E::Mix, E::Rig], ..TANK };

fn run(season: &Season<'_>, found: &mut Findings) {
    found.each_spray(season, BY, |found, _, facts| strangers(season, facts, facts.spray(season.journal), found));
    let mut jobs = found.in_sprays(season, BY, |at, facts| {
        let spray = facts.spray(season.journal);
        if spray.measured.is_empty() && spray.loads.is_empty() {
            return None;
        }
        let off = disagreements(season, facts, spray);
        (!off.is_empty()).then_some(Job { at, off })
    });
    amount_of_recipe::report(season, &mut jobs, found);
    for Job { at, off } in &jobs {
        let facts = &season.sprays[*at];
        report(season, facts, facts.spray(season.journal), off, found);
    }
}

fn disagreements<'s>(season: &'s Season<'_>, facts: &'s SprayFacts, spray: &Spray) -> Vec<Disagreement<'s>> {
    let mut off = Vec::new();
    let firsts = facts.doses.iter().enumerate();
    let firsts = firsts.filter(|(at, dose)| !facts.doses[..*at].iter().any(|one| one.material == dose.material));
    for (_, dose) in firsts {
        let Some(measured) = measured(season, spray, dose.material) else { continue };
        let expected = expected(season, facts, dose.material);
        off.extend(expected.and_then(|expected| disagree(season, spray, dose, measured, expected, false)));
    }
    if !spray.loads.is_empty() && !loads_disagree::is_wrong(season, facts) {
        for (material, total, span) in load_totals(season.journal, spray) {
            let Some(dose) = facts.doses.iter().find(|dose| dose.material == material) else { continue };
            let by_hand = measured(season, spray, material).map(|measured| measured.value);
            let Some(wanted) = by_hand.or_else(|| expected(season, facts, material)) else { continue };
            off.extend(disagree(season, spray, dose, Written::new(total, span), wanted, true));
        }
    }
    off
}

/// Says what was measured out and is no part of the tank. A spray without a mix or a `put` says what was in it by what was
/// measured.
fn strangers(season: &Season<'_>, facts: &SprayFacts, spray: &Spray, found: &mut Findings) {
    let recipe = match spray.mix {
        Some(used) => used.mix.id.map(|mix| season.journal.mix(mix)),
        None => None,
    };
    let puts = || recipe.iter().flat_map(|mix| &mix.puts).chain(&spray.puts);
    let unknown = spray.mix.is_some() && recipe.is_none();
    if spray.measured.is_empty() || unknown || puts().next().is_none() || puts().any(|put| put.material.id.is_none()) {
        return;
    }
    let mut told: Vec<MaterialId> = Vec::new();
    for measured in &spray.measured {
        let Some(id) = measured.material.id else { continue };
        if puts().any(|put| put.material.id == Some(id)) || told.contains(&id) {
            continue;
        }
        told.push(id);
        let (name, tank) = (say::material(season, id), job(season, spray));
        let tank = recipe.map_or(tank, |mix| mix.named.name.to_string());
        let mut finding = found
            .finding(measured.material.span, format!("{name} was measured out but is not in {tank}"))
            .here("in no part of this tank");
        finding.level = Level::Warning;
        if let Some(mix) = recipe {
            finding = finding.label(mix.named.span, "the mix");
        }
        let missed = facts.doses.iter().find(|dose| dose.measured.is_none() && fits(measured.amount, dose.expected));
        let slip = missed.and_then(|dose| {
            let (meant, takes) = (say::material(season, dose.material), show(dose.expected?));
            Some(format!("{name} where {meant} was meant: {takes} of it is expected, and none was measured out"))
        });
        found.add(
            finding
                .slip(slip)
                .help("if it went in besides the mix, write `put` and its amount; if not, put the name right")
                .source("arithmetic of your own entries"),
        );
    }
}

/// Whether a measured amount is another ingredient's, within 5 %.
fn fits(measured: Option<Amount>, expected: Option<Amount>) -> bool {
    let ratio = || measured?.ratio(expected?);
    ratio().is_some_and(|ratio| alike(ratio, Exact::ONE, Exact::new(5, 100)))
}

/// What recipe and extra ingredients ask for of a material, all together.
fn expected(season: &Season<'_>, facts: &SprayFacts, material: MaterialId) -> Option<Amount> {
    let mut asked = facts.doses.iter().filter(|dose| dose.material == material && dose.rate.is_some());
    let first = asked.next()?.expected?;
    asked.try_fold(first, |sum, dose| add(season.journal, material, sum, dose.expected?))
}

/// What was measured of a material for the whole job, all together; it stands where the first amount stands.
fn measured(season: &Season<'_>, spray: &Spray, material: MaterialId) -> Option<Written<Amount>> {
    let mut amounts = spray.measured.iter().filter(|measured| measured.material.id == Some(material));
    let first = amounts.next()?;
    let sum = amounts.try_fold(first.amount?, |sum, one| add(season.journal, material, sum, one.amount?))?;
    Some(Written::new(sum, first.span))
}

/// Whether two ratios are the same but for so much.
pub(super) fn alike(one: Exact, other: Exact, but_for: Option<Exact>) -> bool {
    let off = one.div(other).and_then(|ratio| ratio.sub(Exact::ONE));
    off.zip(but_for).is_some_and(|(off, most)| off.abs() <= most)
}

fn disagree<'f>(
    season: &Season<'_>,
    spray: &Spray,
    dose: &'f Dose,
    measured: Written<Amount>,
    expected: Amount,
    from_loads: bool,
) -> Option<Disagreement<'f>> {
    let expected = like(season.journal, dose.material, expected, measured.value.unit)?;
    let off = measured.value.value.sub(expected.value)?.abs();
    let five_percent = expected.value.mul(Exact::new(5, 100)?)?;
    let agrees =
        off <= five_percent || off <= written::measured_rounding(season, spray, dose.material, measured)?.value;
    let ratio = measured.value.value.div(expected.value)?;
    (!agrees).then_some(Disagreement { dose, measured, expected, ratio, from_loads })
}

/// Amounts that are all off by the same ratio are one slip, most likely of the volume; others are told one by one.
fn report(
    season: &Season<'_>,
    facts: &SprayFacts,
    spray: &Spray,
    disagreements: &[Disagreement<'_>],
    found: &mut Findings,
) {
    let [first, rest @ ..] = disagreements else { return };
    let same = |other: &Disagreement<'_>| alike(other.ratio, first.ratio, Exact::new(15, 1000));
    if rest.is_empty() || !rest.iter().all(same) {
        for one in disagreements {
            let finding = finding(season, facts, spray, one, found);
            found.add(finding);
        }
        return;
    }
    let mut finding = finding(season, facts, spray, first, found);
    let names: Vec<&str> = disagreements.iter().map(|one| say::material(season, one.dose.material)).collect();
    let job = job(season, spray);
    finding.headline =
        format!("{} were measured out at {} times what {job} takes", say::list(&names), say::times(first.ratio));
    for one in rest {
        let (measured, expected) = show_apart(one.measured.value, one.expected);
        finding = finding.label(one.measured.span, format!("{expected}{EXPECTED}"));
        finding = finding.working(format!(
            "{}: {measured} / {expected} = {}",
            say::material(season, one.dose.material),
            say::times(one.ratio)
        ));
    }
    finding.slip = counted_slip(facts, spray, first);
    found.add(finding.help("all are off alike, so look at the volume, at the area and at the mix first"));
}

/// The job in words: `60 gal of leaf-tonic`.
fn job(season: &Season<'_>, spray: &Spray) -> String {
    let volume = spray.mix.and_then(|used| used.volume).or(spray.volume);
    match (volume, spray.mix) {
        (Some(volume), Some(used)) => format!("{} of {}", season.words(volume.span), season.words(used.mix.span)),
        (Some(volume), None) => season.words(volume.span).to_string(),
        (None, Some(used)) => season.words(used.mix.span).to_string(),
        (None, None) => "the job".to_string(),
    }
}

fn finding(
    season: &Season<'_>,
    facts: &SprayFacts,
    spray: &Spray,
    one: &Disagreement<'_>,
    found: &Findings,
) -> Finding {
    let (dose, name, job) = (one.dose, say::material(season, one.dose.material), job(season, spray));
    let (measured, expected) = rates::amounts(season, one.measured.value, one.expected);
    let took = if one.from_loads || spray.measured.is_empty() {
        format!("the loads hold {measured} of {name} together")
    } else {
        format!("{measured} of {name} was measured out")
    };
    let by_hand = one.from_loads && measured_by_hand(spray, dose.material);
    let takes =
        if by_hand { format!("{expected} was measured for the whole job") } else { format!("{job} takes {expected}") };
    let mut finding = found
        .finding(one.measured.span, format!("{took}, but {takes}"))
        .here(format!("{} times what is expected", say::times(one.ratio)));
    if dose.rate.is_some() && dose.span != one.measured.span {
        finding = finding.label(dose.span, SET_HERE);
    }
    let volume_at = written::volume_place(spray);
    if volume_at != one.measured.span {
        finding = finding.label(volume_at, "for this job");
    }
    let (measured, expected) = show_apart(one.measured.value, one.expected);
    let counted = match dose.rate {
        Some(Rate::Of { per: Per::Area(_), .. }) => facts.area,
        _ => facts.finished,
    };
    if let (Some(rate), Some(counted), Some(expected)) = (dose.rate, counted, dose.expected) {
        let strong = match spray.concentrate.filter(|_| dose.times != Exact::ONE) {
            Some(times) => {
                finding = finding.label(times.span, "so many times as strong");
                format!(" x {}", say::times(times.value))
            }
            None => String::new(),
        };
        finding = finding.working(format!("{} x {}{strong} = {}", rate.show(), show(counted), show(expected)));
    }
    let clues = Clues {
        of: Some(one.measured.value.dimension()),
        written: Some(one.measured.value.unit),
        spray_per_ground: dose.rate.and_then(|rate| per_ground(facts, rate)),
        part_of_tank: part_of_tank(season, facts, spray),
        ..Clues::default()
    };
    finding
        .working(format!("{measured} / {expected} = {}", say::times(one.ratio)))
        .slip(
            as_dilute(one)
                .or_else(|| other_ounce(one))
                .or_else(|| likely_slip(one.ratio, &clues))
                .or_else(|| counted_slip(facts, spray, one)),
        )
        .help("see which of the numbers was written wrong, and put it right with an `amend`")
        .source("arithmetic of your own entries; within 5 % or half of the last digit nothing is said")
}

/// The amount that dilute spray would take, in a concentrate.
fn as_dilute(one: &Disagreement<'_>) -> Option<String> {
    let times = one.dose.times;
    let fits = times != Exact::ONE && alike(one.ratio.mul(times)?, Exact::ONE, Exact::new(15, 1000));
    fits.then(|| format!("measured out for dilute spray: this tank is {} times as strong", say::times(times)))
}

/// The very number that the recipe takes, in the other ounce.
fn other_ounce(one: &Disagreement<'_>) -> Option<String> {
    let other = match one.measured.value.unit {
        Unit::OZ_WT => Unit::FL_OZ,
        Unit::FL_OZ => Unit::OZ_WT,
        _ => return None,
    };
    let expected = one.dose.expected?.in_unit(other)?;
    let off = one.measured.value.value.div(expected.value)?.sub(Exact::ONE)?.abs();
    (off <= Exact::new(15, 1000)?).then(|| {
        format!(
            "{} where {} was meant: the recipe takes {}",
            one.measured.value.unit.word(),
            other.word(),
            show(expected)
        )
    })
}

/// The slip in the volume or the area, which then should have been as much more as was measured.
fn counted_slip(facts: &SprayFacts, spray: &Spray, one: &Disagreement<'_>) -> Option<String> {
    let (counted, place) = match one.dose.rate? {
        Rate::Of { per: Per::Area(_), .. } => (facts.area?, "area"),
        _ => (spray.mix.and_then(|used| used.volume).or(spray.volume)?.value, "volume"),
    };
    let clues = Clues { of: Some(counted.dimension()), written: Some(counted.unit), ..Clues::default() };
    Some(format!("in the {place}, {}", likely_slip(one.ratio.recip()?, &clues)?))
}

fn measured_by_hand(spray: &Spray, material: MaterialId) -> bool {
    spray.measured.iter().any(|measured| measured.material.id == Some(material))
}

/// The finished spray per acre (or ha), where the recipe is counted by 100 gal (or L) or by ground.
fn per_ground(facts: &SprayFacts, rate: Rate) -> Option<Rate> {
    let metric = |unit: Unit| unit.belongs_to(System::Metric);
    let finished = facts.finished?;
    let (volume, ground) = match rate {
        Rate::Of { per: Per::Volume(volume), .. } if volume.value == Exact::int(100) => {
            (volume.unit, if metric(volume.unit) { Unit::HECTARE } else { Unit::ACRE })
        }
        Rate::Of { per: Per::Area(area), .. } => {
            (if metric(area.unit) { Unit::LITRE } else { Unit::GALLON }, area.unit)
        }
        _ => return None,
    };
    let per = Per::counted(Amount::of(1, ground)).ok()?;
    rates::over(finished, facts.area?)?.said_as(volume, per)
}

/// Which share of the sprayer's tank the job filled, where it was less than one.
fn part_of_tank(season: &Season<'_>, facts: &SprayFacts, spray: &Spray) -> Option<Exact> {
    let tank = season.journal.rig(spray.rig?.id?).tank?;
    facts.finished?.ratio(tank.value).filter(|part| *part < Exact::ONE)
}
