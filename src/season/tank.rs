//! What went into a tank: the doses of every spray, the finished volume, and how strong it was.

use std::collections::BTreeSet;

use rustc_hash::{FxHashMap, FxHashSet};

use crate::journal::{Journal, MaterialId, Mix, MixUse, Put, PutDose, Ref, Spray, Written};
use crate::quantity::{Amount, Basis, Dimension, Exact, Form, Per, Rate, Strength, Unit};
use crate::text::Span;

use super::ground::Planted;

/// One ingredient of a tank.
#[derive(Clone, Debug)]
pub struct Dose {
    /// What.
    pub material: MaterialId,
    /// What the mix, or the `put` of the spray, says it should be for the whole job.
    pub expected: Option<Amount>,
    /// What was measured out for the whole job, all lines together, and where the first of them is written.
    pub measured: Option<Written<Amount>>,
    /// The rate that the recipe says, however it is written.
    pub rate: Option<Rate>,
    /// How many times as strong the tank is as that rate says: more than once where a mix for dilute spray was put in as
    /// a concentrate, and once for everything else.
    pub times: Exact,
    /// Where the recipe or the measured amount stands.
    pub span: Span,
}

impl Dose {
    /// The rate as records say it: `0.4 oz wt per gal`, and where the tank is a concentrate how many times as strong.
    pub fn shown_rate(&self) -> Option<String> {
        let rate = self.rate?.show();
        Some(if self.times == Exact::ONE {
            rate
        } else {
            format!("{rate} dilute, {} times as strong", self.times.figures(4))
        })
    }

    /// What went in: as measured, or else as the recipe says.
    pub fn amount(&self) -> Option<Amount> {
        self.measured.map(|measured| measured.value).or(self.expected)
    }
}

/// What a recipe says per finished volume, worked out once a mix.
#[derive(Clone, Debug)]
pub struct Recipe {
    /// The finished volume of the mix's own base.
    pub finished_base: Option<Amount>,
    /// Its ingredients.
    pub parts: Vec<RecipePart>,
    /// Which share of the finished volume its liquids are; `None` where not all of them are known.
    pub liquid_share: Option<Exact>,
}

/// An ingredient of a recipe.
#[derive(Clone, Debug)]
pub struct RecipePart {
    /// What.
    pub material: Ref<MaterialId>,
    /// Its rate: per finished volume where the recipe gives an amount for its base.
    pub rate: Option<Rate>,
    /// Where its quantity stands.
    pub span: Span,
}

/// Works out a mix.
pub fn recipe(journal: &Journal, mix: &Mix) -> Recipe {
    let finished_base = mix.base.and_then(|base| {
        if !base.volume.value.is_positive() {
            return None;
        }
        if !base.water {
            return Some(base.volume);
        }
        let liquids: Option<Vec<Amount>> = mix
            .puts
            .iter()
            .filter(|put| is_liquid(journal, put.material))
            .map(|put| match put.dose? {
                PutDose::Amount(amount) => Some(amount),
                // A share of the finished volume, or an amount for so much ground: unknown until the spray.
                PutDose::Rate(_) => None,
            })
            .collect();
        crate::quantity::finished_from_water(base.volume, &liquids?)
    });
    let parts: Vec<RecipePart> = mix.puts.iter().map(|put| part(put, finished_base)).collect();
    let liquid_share = parts
        .iter()
        .filter(|part| is_liquid(journal, part.material))
        .map(|part| strength(journal, part.material, part.rate?, None)?.by_volume)
        .try_fold(Exact::ZERO, |sum, share| sum.add(share?));
    Recipe { finished_base, parts, liquid_share }
}

fn part(put: &Put, finished_base: Option<Amount>) -> RecipePart {
    let rate = put.dose.and_then(|dose| match dose {
        PutDose::Rate(rate) => Some(rate),
        PutDose::Amount(amount) => Some(Rate::Of { amount, per: Per::Volume(finished_base?) }),
    });
    RecipePart { material: put.material, rate, span: put.span }
}

fn is_liquid(journal: &Journal, material: Ref<MaterialId>) -> bool {
    material.id.is_some_and(|id| journal.material(id).form() == Some(Form::Liquid))
}

/// How strong a spray is with a rate of a material in it.
pub fn strength(
    journal: &Journal,
    material: Ref<MaterialId>,
    rate: Rate,
    volume_per_area: Option<Rate>,
) -> Option<Strength> {
    let material = journal.material(material.id?);
    rate.per_ml(material.form(), material.bridge(), volume_per_area)
}

/// The finished volume of a spray: as written, or the water and what went into it.
pub fn finished_volume(spray: &Spray, recipe: Option<&Recipe>) -> Option<Amount> {
    if let Some(MixUse { volume: Some(volume), water, .. }) = spray.mix {
        if !water {
            return Some(volume.value);
        }
        // Water W with a liquid share l: finished F = W + l F, so F = W / (1 - l).
        let rest = Exact::ONE.sub(recipe?.liquid_share?.mul(concentrate(spray))?)?;
        return if rest.is_positive() { volume.value.times(rest.recip()?) } else { None };
    }
    spray.volume.map(|volume| volume.value)
}

/// How many times as strong as dilute a spray is.
fn concentrate(spray: &Spray) -> Exact {
    spray.concentrate.map_or(Exact::ONE, |times| times.value)
}

/// The doses of a spray: recipe, extra ingredients, and what was measured.
///
/// Where a spray is a concentrate, the mix's rates per finished volume are for dilute spray and count so many times; its
/// rates per ground, row and tree stay, and so does what the spray itself puts in besides (Washington State University,
/// tree fruit crop protection guide, on chemical rates; A. Landers, Cornell University, "Tree Row Volume").
pub fn doses(
    journal: &Journal,
    spray: &Spray,
    recipe: Option<&Recipe>,
    finished: Option<Amount>,
    area: Option<Amount>,
    planted: Planted,
) -> Vec<Dose> {
    let mut doses: Vec<Dose> = Vec::with_capacity(recipe.map_or(0, |recipe| recipe.parts.len()) + spray.puts.len());
    let extra: Vec<RecipePart> = spray.puts.iter().map(|put| part(put, finished)).collect();
    let own = recipe.into_iter().flat_map(|recipe| &recipe.parts).map(|part| (part, concentrate(spray)));
    for (part, times) in own.chain(extra.iter().map(|part| (part, Exact::ONE))) {
        let Some(material) = part.material.id else { continue };
        let per_volume = part.rate.is_some_and(|rate| rate.basis() == Basis::FinishedVolume);
        let times = if per_volume { times } else { Exact::ONE };
        let expected = part.rate.and_then(|rate| rate_for(rate, finished, area, planted)?.times(times));
        doses.push(Dose { material, expected, measured: None, rate: part.rate, times, span: part.span });
    }
    let named = doses.len();
    measure(journal, spray, &mut doses);
    // Loads say what was measured where nothing else does.
    if spray.measured.is_empty() {
        for (material, total, span) in load_totals(journal, spray) {
            let measured = Some(Written::new(total, span));
            match doses[..named].iter_mut().find(|dose| dose.material == material && dose.measured.is_none()) {
                Some(dose) => dose.measured = measured,
                None => {
                    doses.push(Dose { material, expected: None, measured, rate: None, times: Exact::ONE, span });
                    continue;
                }
            }
            // What the loads hold of a material is for all of its doses: the mix's own and what was put in besides.
            divide(journal, material, &mut doses[..named]);
        }
    }
    doses
}

/// Where a spray, or its mix, names something for the tank that the journal does not declare: nothing is known of it.
pub fn undeclared(journal: &Journal, spray: &Spray) -> Vec<Span> {
    let mut spans: Vec<Span> = Vec::new();
    let mut ask = |material: &Ref<MaterialId>| spans.extend(material.id.is_none().then_some(material.span));
    if let Some(mix) = spray.mix.and_then(|used| used.mix.id) {
        journal.mix(mix).puts.iter().for_each(|put| ask(&put.material));
    }
    spray.puts.iter().for_each(|put| ask(&put.material));
    spray.measured.iter().for_each(|measured| ask(&measured.material));
    spray.loads.iter().flat_map(|load| &load.portions).for_each(|portion| ask(&portion.material));
    spans.extend(spray.mix.filter(|used| used.mix.id.is_none()).map(|used| used.mix.span));
    spans
}

/// Puts what was measured out beside what was expected. What was measured in several lines, of two lots or by two cups, is
/// one dose; of several doses of a material the first line is the first one's, and whatever comes after the last is the
/// last one's, too.
fn measure(journal: &Journal, spray: &Spray, doses: &mut Vec<Dose>) {
    let named = doses.len();
    // A sum with a line that could not be read is not known.
    let lines = || spray.measured.iter().filter_map(|line| Some((line.material.id?, line)));
    let unread: FxHashSet<MaterialId> =
        lines().filter(|(_, line)| line.amount.is_none()).map(|(material, _)| material).collect();
    // Where the last line of a material went; only what the recipe names is looked for, so that a job of very many lines
    // stays linear.
    let mut last: FxHashMap<MaterialId, usize> = FxHashMap::default();
    for (material, line) in lines() {
        let Some(amount) = line.amount else { continue };
        let written = Written::new(amount, line.span);
        let own = doses[..named].iter().position(|dose| dose.material == material && dose.measured.is_none());
        if let Some(at) = own {
            if !unread.contains(&material) {
                doses[at].measured = Some(written);
                last.insert(material, at);
            }
            continue;
        }
        if let Some(&at) = last.get(&material)
            && let Some(known) = doses[at].measured
            && let Some(sum) = add(journal, material, known.value, amount)
        {
            doses[at].measured = Some(Written::new(sum, known.span));
            continue;
        }
        if !unread.contains(&material) {
            last.insert(material, doses.len());
        }
        doses.push(Dose {
            material,
            expected: None,
            measured: Some(written),
            rate: None,
            times: Exact::ONE,
            span: line.span,
        });
    }
    let without = |dose: &&Dose| dose.measured.is_none() && last.contains_key(&dose.material);
    let undivided: BTreeSet<MaterialId> = doses[..named].iter().filter(without).map(|dose| dose.material).collect();
    for material in undivided {
        divide(journal, material, &mut doses[..named]);
    }
}

/// Where fewer lines were measured than there are doses of a material, they are for all of these: shared out as the recipe
/// has them. What cannot be shared out stays as it is.
fn divide(journal: &Journal, material: MaterialId, doses: &mut [Dose]) {
    let own: Vec<usize> = (0..doses.len()).filter(|&at| doses[at].material == material).collect();
    let sum = |amounts: Vec<Amount>| {
        let (first, rest) = amounts.split_first()?;
        rest.iter().try_fold(*first, |sum, one| add(journal, material, sum, *one))
    };
    let shares = || {
        let first = own.iter().find_map(|&at| doses[at].measured)?;
        let measured = sum(own.iter().filter_map(|&at| doses[at].measured).map(|one| one.value).collect())?;
        let expected: Vec<Amount> = own.iter().map(|&at| doses[at].expected).collect::<Option<_>>()?;
        let whole = sum(expected.clone())?;
        let share = |one: Amount| measured.times(like(journal, material, one, whole.unit)?.ratio(whole)?);
        let shares = expected.into_iter().map(|one| Some(Written::new(share(one)?, first.span)));
        shares.collect::<Option<Vec<Written<Amount>>>>()
    };
    if let Some(shares) = shares() {
        for (at, share) in own.into_iter().zip(shares) {
            doses[at].measured = Some(share);
        }
    }
}

/// What a rate comes to for a spray.
fn rate_for(rate: Rate, finished: Option<Amount>, area: Option<Amount>, planted: Planted) -> Option<Amount> {
    match rate {
        Rate::Of { per: Per::Area(_), .. } => rate.for_area(area?),
        Rate::Of { per: Per::RowLength(_), .. } => rate.for_row(planted.row_length?),
        Rate::Of { per: Per::Tree(_), .. } => rate.for_trees(planted.trees?),
        _ => rate.for_volume(finished?),
    }
}

/// What all loads of a spray hold together, by material.
pub fn load_totals(journal: &Journal, spray: &Spray) -> Vec<(MaterialId, Amount, Span)> {
    let mut totals: Vec<(MaterialId, Amount, Span)> = Vec::new();
    for load in &spray.loads {
        for portion in &load.portions {
            let (Some(material), Some(amount)) = (portion.material.id, portion.amount) else { continue };
            let Some(amount) = amount.times(Exact::int(i64::from(load.count))) else { continue };
            match totals.iter_mut().find(|(known, ..)| *known == material) {
                Some((_, total, span)) => {
                    if let Some(sum) = add(journal, material, *total, amount) {
                        (*total, *span) = (sum, span.to(portion.span));
                    }
                }
                None => totals.push((material, amount, portion.span)),
            }
        }
    }
    totals
}

/// The sum of two amounts of a material, over its density or spoon weight where one is a weight and one a volume.
pub fn add(journal: &Journal, material: MaterialId, one: Amount, other: Amount) -> Option<Amount> {
    if let Some(sum) = one.plus(other) {
        return Some(sum);
    }
    one.plus(like(journal, material, other, one.unit)?)
}

/// An amount of a material in a unit, over its density or spoon weight where needed.
pub fn like(journal: &Journal, material: MaterialId, amount: Amount, unit: Unit) -> Option<Amount> {
    if let Some(same) = amount.in_unit(unit) {
        return Some(same);
    }
    let bridge = journal.material(material).bridge()?;
    let crossed = match unit.dimension() {
        crate::quantity::Dimension::Mass => bridge.mass_of(amount)?,
        crate::quantity::Dimension::Volume => bridge.volume_of(amount)?,
        _ => return None,
    };
    crossed.in_unit(unit)
}

/// Spoons of a dry material as the weight that one was measured to have; anything else as it is.
pub fn weighed(journal: &Journal, material: MaterialId, amount: Amount) -> Amount {
    let dry = journal.material(material).form() == Some(Form::Dry) && amount.dimension() == Dimension::Volume;
    dry.then(|| like(journal, material, amount, Unit::OZ_WT)).flatten().unwrap_or(amount)
}

/// How an amount of a material in a finished volume counts towards the strength of a tank.
#[derive(Clone, Copy, Debug)]
pub struct Contribution {
    /// What.
    pub material: MaterialId,
    /// How strong.
    pub strength: Strength,
    /// Where its quantity stands.
    pub span: Span,
}

/// The contributions of all doses of a spray; `None` in place of one that is not known.
pub fn contributions(journal: &Journal, doses: &[Dose], finished: Amount) -> Vec<Option<Contribution>> {
    doses.iter().map(|dose| contribution(journal, dose, finished)).collect()
}

fn contribution(journal: &Journal, dose: &Dose, finished: Amount) -> Option<Contribution> {
    let rate = Rate::Of { amount: dose.amount()?, per: Per::counted(finished).ok()? };
    let material = journal.material(dose.material);
    let strength = rate.per_ml(material.form(), material.bridge(), None)?;
    Some(Contribution { material: dose.material, strength, span: dose.span })
}

/// The contributions of a recipe, for the ingredients that are dosed by volume.
pub fn recipe_contributions(journal: &Journal, recipe: &Recipe) -> Vec<Option<Contribution>> {
    recipe
        .parts
        .iter()
        .map(|part| {
            let strength = strength(journal, part.material, part.rate?, None)?;
            Some(Contribution { material: part.material.id?, strength, span: part.span })
        })
        .collect()
}

/// How the total of a tank is counted, by the unit of its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TotalKind {
    /// `oz per gal`: liquids by volume and dry materials by weight, one ounce as good as the other, as growers count.
    Ounces,
    /// By volume: liquids only.
    Volume,
    /// By weight: all, liquids over their density.
    Weight,
}

/// How a limit counts.
pub fn total_kind(limit: Rate) -> TotalKind {
    match limit {
        Rate::Of { amount, .. } if amount.unit.is_plain_ounce() => TotalKind::Ounces,
        Rate::Of { amount, .. } if amount.dimension() == crate::quantity::Dimension::Mass => TotalKind::Weight,
        Rate::ByWeight(..) => TotalKind::Weight,
        _ => TotalKind::Volume,
    }
}

/// Whether a material counts at all towards a total: dry ones do not by volume.
pub fn may_count(journal: &Journal, kind: TotalKind, material: MaterialId) -> bool {
    kind != TotalKind::Volume || journal.material(material).form() != Some(Form::Dry)
}

/// What one contribution counts for: fluid or dry ounces in a gallon, mL in a mL, or g in a mL. `None` where it does
/// not count (a dry material in a total by volume) is zero; an unknown density is `None`.
pub fn counts_for(journal: &Journal, kind: TotalKind, contribution: &Contribution) -> Option<Exact> {
    let strength = contribution.strength;
    let dry = journal.material(contribution.material).form() == Some(Form::Dry);
    match kind {
        TotalKind::Ounces if dry => {
            // g per mL as ounces of weight in a gallon.
            let per_gallon = strength.by_weight?.mul(Unit::GALLON.to_base())?;
            per_gallon.div(Unit::OZ_WT.to_base())
        }
        TotalKind::Ounces => strength.by_volume?.mul(Exact::int(128)),
        TotalKind::Volume if dry => Some(Exact::ZERO),
        TotalKind::Volume => strength.by_volume,
        TotalKind::Weight => strength.by_weight,
    }
}

/// The limit in the same measure as [`counts_for`].
pub fn limit_for(kind: TotalKind, limit: Rate) -> Option<Exact> {
    match (kind, limit) {
        (TotalKind::Ounces, Rate::Of { amount, per: Per::Volume(per) }) => {
            amount.value.div(per.in_unit(Unit::GALLON)?.value)
        }
        (TotalKind::Ounces, _) => None,
        (TotalKind::Volume, limit) => limit.per_ml(None, None, None)?.by_volume,
        (TotalKind::Weight, limit) => limit.per_ml(None, None, None)?.by_weight,
    }
}
