//! What of each ingredient goes into a load, in the tools at hand.

use serde::Serialize;

use super::book::Book;
use super::phrases::Both;
use super::phrases_mix::MIX;
use super::quantities::Quantity;
use crate::journal::MaterialId;
use crate::quantity::{Amount, Dimension, Exact, System, Unit, largest_units, show, tidy};
use crate::season::{SprayFacts, add, weighed};
use crate::trade::{Loads, Measured, Scoop, measure};

/// More of one spoon than that are miscounted: common practice, no source.
const MOST_SPOONS: u64 = 8;

/// An ingredient.
#[derive(Clone, Debug, Serialize)]
pub struct Ingredient {
    /// Its title.
    pub name: String,
    /// For a full load; absent where there is none.
    pub full: Option<Portion>,
    /// For the last load.
    pub last: Option<Portion>,
    /// For the whole job, exactly.
    pub whole: String,
    /// Its name in the journal.
    #[serde(skip)]
    pub word: String,
    /// Which material it is.
    #[serde(skip)]
    pub id: MaterialId,
    /// The unit of the recipe.
    #[serde(skip)]
    pub unit: Unit,
}

/// What goes into a load.
#[derive(Clone, Debug, Serialize)]
pub struct Portion {
    /// In the tools at hand, or else in the largest units: `2 cup + 3 tbsp`.
    pub measured: String,
    /// What the recipe asks for, in both systems of units, or only in the other where what is measured says it already;
    /// what is measured may be that rounded to the tools.
    pub exactly: String,
    /// Where rounding to the tools would take or add over 5 %: that, and which tool would do. What is measured is the
    /// exact amount then.
    pub coarse: Vec<Both>,
    /// As it is measured, or as it is asked for where no tool is fine enough.
    pub quantity: Quantity,
    /// As it is measured.
    #[serde(skip)]
    pub amount: Amount,
}

/// The ingredients of a job, each material once. `Err` with the title of one of which it is not known how much goes in.
pub(super) fn ingredients(
    book: &Book<'_>,
    facts: &SprayFacts,
    loads: &Loads,
) -> Result<Vec<(MaterialId, Ingredient)>, String> {
    let journal = book.journal();
    let mut totals: Vec<(MaterialId, Amount)> = Vec::new();
    for dose in &facts.doses {
        let unknown = || book.material(dose.material).to_string();
        let form = journal.material(dose.material).form();
        let amount = dose.expected.or(dose.amount()).ok_or_else(unknown)?.settle(form).map_err(|_| unknown())?;
        match totals.iter_mut().find(|(known, _)| *known == dose.material) {
            Some((_, sum)) => *sum = add(journal, dose.material, *sum, amount).ok_or_else(unknown)?,
            None => totals.push((dose.material, amount)),
        }
    }
    let one = |(id, total): (MaterialId, Amount)| {
        let unknown = || book.material(id).to_string();
        let material = journal.material(id);
        let full = (loads.full > 0).then(|| loads.in_full(total).ok_or_else(unknown)).transpose()?;
        let last = loads.last.map(|_| loads.in_last(total).ok_or_else(unknown)).transpose()?;
        let ingredient = Ingredient {
            name: material.named.shown().to_string(),
            word: material.named.name.to_string(),
            id,
            unit: total.unit,
            full: full.map(|amount| portion(book, id, amount)),
            last: last.map(|amount| portion(book, id, amount)),
            whole: book.amount(tidy(weighed(journal, id, total), book.home(), material.form())),
        };
        Ok((id, ingredient))
    };
    totals.into_iter().map(one).collect()
}

fn portion(book: &Book<'_>, id: MaterialId, amount: Amount) -> Portion {
    let material = book.journal().material(id);
    let own = if material.measures.is_empty() { None } else { Some(&material.measures) };
    let of_farm = book.journal().farm.as_ref().map(|farm| &farm.measures);
    let tools: Vec<Amount> = own.or(of_farm).into_iter().flatten().map(|tool| tool.value).collect();
    let plain = tidy(weighed(book.journal(), id, amount), book.home(), material.form());
    let exactly = book.amount(plain);
    let largest = if book.home() == System::Metric { None } else { largest_units(plain) };
    let exact = largest.unwrap_or_else(|| show(plain));
    // `10 oz wt (283 g)` behind `10 oz wt` says but `283 g`.
    let exact_besides = |measured: &str| {
        let rest = exactly.strip_prefix(measured).and_then(|rest| rest.strip_prefix(" (")?.strip_suffix(')'));
        rest.unwrap_or(&exactly).to_string()
    };
    match measure(amount, &tools, material.bridge()) {
        Some(measured) if measured.is_coarse() => Portion {
            exactly: exact_besides(&exact),
            measured: exact,
            coarse: coarse(&measured),
            quantity: Quantity::new(book, amount),
            amount,
        },
        Some(measured) => {
            let amount = in_plain_unit(measured.amount, amount.unit, Some(measured.step));
            // Nobody counts eleven spoons well: the amount stands out, and the tools under it.
            let many =
                measured.scoops.iter().any(|one| one.count > MOST_SPOONS && one.tool.dimension() != Dimension::Mass);
            let tools = scoops(&measured);
            let (measured, exactly) = if many {
                let shown = weighed(book.journal(), id, amount);
                let said = show(shown.in_unit(plain.unit).unwrap_or(shown));
                let rest = exact_besides(&said);
                let exactly = format!("{tools}; {rest}");
                (said, exactly)
            } else {
                let exactly = exact_besides(&tools);
                (tools, exactly)
            };
            Portion { measured, exactly, coarse: Vec::new(), quantity: Quantity::new(book, amount), amount }
        }
        None => {
            let exactly = exact_besides(&exact);
            Portion { measured: exact, exactly, coarse: Vec::new(), quantity: Quantity::new(book, amount), amount }
        }
    }
}

/// What rounding would do, and which tool would be fine enough. The exact amount is what is asked for then: a rounded one
/// so far off must not be what stands out.
fn coarse(measured: &Measured) -> Vec<Both> {
    let finer = measured.finer().map(|tool| MIX.finer.with(&[("tool", &Both::same(said_tool(tool)))]));
    let said = match measured.off().filter(|_| !measured.scoops.is_empty()) {
        Some(off) => {
            let share = off.abs().mul(Exact::int(100)).map_or_else(String::new, |share| share.figures(2));
            let phrase = if off.is_negative() { MIX.coarse_less } else { MIX.coarse_more };
            phrase.with(&[("tools", &Both::same(scoops(measured))), ("share", &Both::same(share))])
        }
        None => MIX.too_little.said(),
    };
    std::iter::once(said).chain(finer).collect()
}

/// Units that an amount can be said in, the largest first.
const UNITS: &[Unit] = &[
    Unit::GALLON,
    Unit::LITRE,
    Unit::CUP,
    Unit::FL_OZ,
    Unit::TBSP,
    Unit::TSP,
    Unit::MILLILITRE,
    Unit::KILOGRAM,
    Unit::POUND,
    Unit::OZ_WT,
    Unit::GRAM,
];

/// The same amount in the unit of the recipe where three decimals say it in full, or else in the largest unit of the same
/// system in which they do and it is one or more; as it is where there is none. What was measured in steps is said no
/// finer than these: the digits written are how exactly it is known.
pub(super) fn in_plain_unit(amount: Amount, recipe: Unit, step: Option<Amount>) -> Amount {
    let short = |unit: Unit| {
        let said = amount.in_unit(unit)?;
        let places = [1, 10, 100, 1000]
            .into_iter()
            .find(|&ten| said.value.mul(Exact::int(ten)).is_some_and(Exact::is_integer))?;
        let digit = Amount::new(Exact::new(1, i128::from(places))?, unit);
        let fine = step.and_then(|step| digit.compare(step)).is_some_and(|order| order.is_lt());
        (!fine).then_some(said)
    };
    if let Some(said) = short(recipe) {
        return said;
    }
    let system = [System::Us, System::Metric].into_iter().find(|&one| amount.unit.belongs_to(one));
    let mut larger = UNITS.iter().filter(|unit| system.is_some_and(|one| unit.belongs_to(one)));
    let found = larger.find_map(|&unit| short(unit).filter(|said| said.value >= Exact::ONE));
    found.unwrap_or(amount)
}

fn scoops(measured: &Measured) -> String {
    measured.scoops.iter().map(said).collect::<Vec<_>>().join(" + ")
}

/// `145 g` on a scale; `2 cup`, `3 x 1/4 tsp` in spoons.
fn said(scoop: &Scoop) -> String {
    let count = Exact::new(i128::from(scoop.count), 1).unwrap_or(Exact::ONE);
    if scoop.tool.dimension() == Dimension::Mass || scoop.tool.value == Exact::ONE {
        let whole = scoop.tool.times(count).unwrap_or(scoop.tool);
        return format!("{} {}", whole.value.figures(6), whole.unit.word_after(whole.value));
    }
    format!("{} x {}", scoop.count, said_tool(scoop.tool))
}

/// `1/4 tsp`, as it stands on the spoon.
fn said_tool(tool: Amount) -> String {
    let (top, bottom) = (tool.value.numerator(), tool.value.denominator());
    if matches!(bottom, 2 | 3 | 4 | 8) && top < bottom {
        return format!("{top}/{bottom} {}", tool.unit.word());
    }
    tool.to_string()
}
