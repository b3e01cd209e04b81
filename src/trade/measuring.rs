//! An exact amount in the measuring tools at hand: so many cups, so many spoons, so many steps of a scale.

use crate::quantity::{Amount, Density, Dimension, Exact, Unit};

/// From this share on, what is lost by rounding is worth a finer tool: one twentieth, the tolerance that sprayer
/// calibration is held to, too (Ohio State University Extension, FABE-537).
const WORTH_SAYING: (i128, i128) = (5, 100);

/// Steps of tools that can be had, coarsest first: what a finer one is looked for among.
const SPOONS: &[(i128, i128, Unit)] = &[
    (1, 1, Unit::FL_OZ),
    (1, 1, Unit::TBSP),
    (1, 1, Unit::TSP),
    (1, 2, Unit::TSP),
    (1, 4, Unit::TSP),
    (1, 1, Unit::MILLILITRE),
    (1, 10, Unit::MILLILITRE),
];
const SCALES: &[(i128, i128, Unit)] = &[
    (1, 1, Unit::OZ_WT),
    (5, 1, Unit::GRAM),
    (1, 1, Unit::GRAM),
    (1, 10, Unit::GRAM),
    (1, 100, Unit::GRAM),
    (1, 1, Unit::MILLIGRAM),
];

/// An amount as it is measured out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measured {
    /// How often each tool, the largest first; tools that are not needed are left out. Empty where the amount is less
    /// than the finest step.
    pub scoops: Vec<Scoop>,
    /// What that comes to, in the unit of the finest tool used for the amount.
    pub amount: Amount,
    /// What was wanted, in the same unit.
    pub wanted: Amount,
    /// The finest step at hand for it.
    pub step: Amount,
}

/// So many times a tool.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scoop {
    /// How often.
    pub count: u64,
    /// What the tool holds, or the step of its marks.
    pub tool: Amount,
}

impl Measured {
    /// How much more than was wanted it is, as a share of what was wanted; below zero where it is less.
    pub fn off(&self) -> Option<Exact> {
        self.amount.value.sub(self.wanted.value)?.div(self.wanted.value)
    }

    /// Whether rounding takes away or adds over 5 %.
    pub fn is_coarse(&self) -> bool {
        let (top, bottom) = WORTH_SAYING;
        self.off().zip(Exact::new(top, bottom)).is_none_or(|(off, most)| off.abs() > most)
    }

    /// A tool with which rounding cannot take away or add over 5 %: the coarsest usual one whose step is a twentieth of the
    /// amount or less.
    pub fn finer(&self) -> Option<Amount> {
        let steps = if self.step.dimension() == Dimension::Mass { SCALES } else { SPOONS };
        let most = self.wanted.times(Exact::new(1, 20)?)?;
        let step = |&(top, bottom, unit): &(i128, i128, Unit)| Some(Amount::new(Exact::new(top, bottom)?, unit));
        steps.iter().filter_map(step).find(|step| step.compare(most).is_some_and(|order| order.is_le()))
    }
}

/// An amount in the tools at hand; `None` where none of them can measure it.
///
/// A weight is weighed and a volume measured by volume, where there is a tool for it; over the bridge (the density of a
/// liquid, what a spoon of the dry material weighs) the other way where there is none, or where that alone comes within
/// 5 %. What is left after the largest tools is rounded to the nearest whole step of the finest, but up only where that adds
/// 1 % at most: the amount may be the most that a label allows. A weight is weighed on one scale: the coarsest with which
/// rounding takes 1 % at most, or else the finest. Plain ounces must be settled first.
///
/// Source: common practice, no source.
pub fn measure(amount: Amount, tools: &[Amount], bridge: Option<Density>) -> Option<Measured> {
    let own = in_tools(amount, tools);
    if own.as_ref().is_some_and(|own| !own.is_coarse()) {
        return own;
    }
    let crossed = bridge.and_then(|bridge| match amount.dimension() {
        Dimension::Mass => bridge.volume_of(amount),
        Dimension::Volume => bridge.mass_of(amount),
        _ => None,
    });
    let other = crossed.and_then(|crossed| in_tools(crossed, tools));
    match (own, other) {
        (Some(own), Some(other)) => Some(if other.is_coarse() { own } else { other }),
        (own, other) => own.or(other),
    }
}

/// An amount in those of the tools that measure its own kind of thing.
fn in_tools(amount: Amount, tools: &[Amount]) -> Option<Measured> {
    let wanted = amount.base()?;
    if wanted.is_negative() {
        return None;
    }
    let of_kind = tools.iter().filter(|tool| tool.dimension() == amount.dimension() && tool.value.is_positive());
    let mut sizes: Vec<(Exact, Amount)> = of_kind.map(|tool| Some((tool.base()?, *tool))).collect::<Option<_>>()?;
    sizes.sort_by_key(|(size, _)| std::cmp::Reverse(*size));
    sizes.dedup_by(|one, other| one.0 == other.0);
    if amount.dimension() == Dimension::Mass {
        let fiftieth = wanted.div(Exact::int(50))?;
        let scale = sizes.iter().find(|(size, _)| *size <= fiftieth).or(sizes.last())?;
        sizes = vec![*scale];
    }
    let (_, step) = *sizes.last()?;
    let first = greedy(wanted, &sizes)?;
    // Rounding up may have filled a larger tool: the same amount is then said with that one.
    let mut best = first;
    if let Some(again) = greedy(sum(&best)?, &sizes)
        && distance(wanted, &again)? <= distance(wanted, &best)?
    {
        best = again;
    }
    let scoops: Vec<Scoop> = best.iter().map(|&(count, _, tool)| Scoop { count, tool }).collect();
    Some(Measured {
        amount: Amount::from_base(sum(&best)?, step.unit)?,
        wanted: Amount::from_base(wanted, step.unit)?,
        scoops,
        step,
    })
}

/// As many of the largest as fit, and so on; of the finest one more where that is nearer and adds 1 % at most.
fn greedy(wanted: Exact, sizes: &[(Exact, Amount)]) -> Option<Vec<(u64, Exact, Amount)>> {
    let mut left = wanted;
    let mut scoops = Vec::new();
    for (at, &(size, tool)) in sizes.iter().enumerate() {
        let times = left.div(size)?;
        let last = at + 1 == sizes.len();
        let count = u64::try_from(times.floor()).ok()?;
        let next = count.checked_add(1)?;
        let over = size.mul(Exact::new(i128::from(next), 1)?)?.sub(left)?;
        let most = wanted.div(Exact::int(100))?.min(size.div(Exact::int(2))?);
        let count = if last && over <= most { next } else { count };
        if count > 0 {
            left = left.sub(size.mul(Exact::new(i128::from(count), 1)?)?)?;
            scoops.push((count, size, tool));
        }
    }
    Some(scoops)
}

fn sum(scoops: &[(u64, Exact, Amount)]) -> Option<Exact> {
    let each = |&(count, size, _): &(u64, Exact, Amount)| size.mul(Exact::new(i128::from(count), 1)?);
    scoops.iter().map(each).try_fold(Exact::ZERO, |sum, one| sum.add(one?))
}

fn distance(wanted: Exact, scoops: &[(u64, Exact, Amount)]) -> Option<Exact> {
    Some(sum(scoops)?.sub(wanted)?.abs())
}
