//! Amounts for people: exact, rounded, in both systems, in a sensible unit.

use std::fmt;

use super::{Amount, Dimension, Exact, Form, System, Unit};

/// Figures that count when an amount is shown as written.
const FIGURES: u32 = 4;
/// Figures that count in a conversion.
const CONVERTED: u32 = 3;

/// Exactly, so that it reads back as the same amount: `1 1/3 gal`, `0.4 oz wt`.
impl fmt::Display for Amount {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} {}", self.value, self.unit.word_after(self.value))
    }
}

/// Rounded to about four figures, never in the digits before the decimal point: `0.3333 gal`, `1235 gal`.
pub fn show(amount: Amount) -> String {
    rounded(amount, FIGURES)
}

/// As written, and in brackets what it is in the other system: `60 gal (227 L)`, `1.2 acre (0.486 ha)`.
///
/// An amount of another system than `home` has the home unit in brackets. Units without a counterpart (hours, shares,
/// counts, plain ounces) stand alone.
pub fn show_both(amount: Amount, home: System) -> String {
    let other = match home {
        _ if !amount.unit.belongs_to(home) => home,
        System::Us | System::Imperial => System::Metric,
        System::Metric => System::Us,
    };
    let written = show(amount);
    match counterpart(amount, other) {
        Some(converted) if converted.unit != amount.unit => format!("{written} ({})", rounded(converted, CONVERTED)),
        _ => written,
    }
}

/// Both amounts with as many digits as it takes to tell them apart: two that differ never print equal.
pub fn show_apart(one: Amount, other: Amount) -> (String, String) {
    for figures in FIGURES..=40 {
        let shown = (rounded(one, figures), rounded(other, figures));
        if one == other || shown.0 != shown.1 {
            return shown;
        }
    }
    (one.to_string(), other.to_string())
}

/// The amount in the sensible unit of that system: 384 fl oz is 3 gal, 2000 g is 2 kg.
///
/// Plain ounces become what the form says. An amount that has no sensible unit there stays as it is, and so do the spoons
/// of a dry material: in fluid ounces they would be taken for ounces by weight.
pub fn tidy(amount: Amount, system: System, form: Option<Form>) -> Amount {
    let amount = amount.settle(form).unwrap_or(amount);
    if form == Some(Form::Dry) && amount.dimension() == Dimension::Volume {
        return amount;
    }
    let Some(tidy) = counterpart(amount, system) else { return amount };
    // `3 qt` is no better as `96 fl oz`.
    let own_is_larger = amount.unit.to_base() > tidy.unit.to_base() && amount.value.abs() >= Exact::ONE;
    if amount.unit.belongs_to(system) && own_is_larger { amount } else { tidy }
}

/// Largest units first, as on US pesticide labels (40 CFR 156.10(d)): 19 oz wt is `1 lb 3 oz wt`, 40 fl oz is
/// `1 qt 8 fl oz`. The last unit is rounded to two decimals. `None` for other dimensions and below zero.
pub fn largest_units(amount: Amount) -> Option<String> {
    let ladder: &[Unit] = match amount.dimension() {
        Dimension::Mass => &[Unit::POUND, Unit::OZ_WT],
        Dimension::Volume => &[Unit::GALLON, Unit::QUART, Unit::PINT, Unit::FL_OZ],
        _ => return None,
    };
    let smallest = *ladder.last()?;
    // Rounded before it is split up, so that 15.999 oz wt is a pound and not 16 oz wt.
    let hundredths = amount.in_unit(smallest)?.value.mul(Exact::int(100))?;
    let whole = hundredths.mul(Exact::int(2))?.add(Exact::ONE)?.div(Exact::int(2))?.floor();
    let mut left = Amount { value: Exact::new(whole, 100)?, unit: smallest };
    if left.value.is_negative() {
        return None;
    }
    let mut parts = Vec::new();
    for &unit in &ladder[..ladder.len() - 1] {
        let count = Exact::new(left.in_unit(unit)?.value.floor(), 1)?;
        if !count.is_zero() {
            let part = Amount { value: count, unit };
            left = left.minus(part)?;
            parts.push(part.to_string());
        }
    }
    if !left.value.is_zero() || parts.is_empty() {
        parts.push(left.to_string());
    }
    Some(parts.join(" "))
}

pub(super) fn rounded(amount: Amount, figures: u32) -> String {
    let number = amount.value.figures(figures);
    let unit = if number == "1" { amount.unit.word() } else { amount.unit.word_after(amount.value) };
    format!("{number} {unit}")
}

/// The amount in the largest unit of the system's ladder in which it is at least one.
fn counterpart(amount: Amount, system: System) -> Option<Amount> {
    let ladder = ladder(amount.unit, system);
    let mut best = None;
    for (unit, least) in ladder {
        let converted = amount.in_unit(*unit)?;
        best = Some(converted);
        if converted.value.abs() >= *least {
            break;
        }
    }
    best
}

/// Units that growers use, the largest first, each with the least number of it worth saying; the last takes the rest.
fn ladder(unit: Unit, system: System) -> &'static [(Unit, Exact)] {
    const ONE: Exact = Exact::ONE;
    /// A tenth: small plots are still said in acres and hectares.
    const TENTH: Exact = Exact::constant(1, 10);
    const HALF: Exact = Exact::constant(1, 2);
    match (unit.dimension(), system) {
        (Dimension::Volume, System::Us) => &[(Unit::GALLON, ONE), (Unit::FL_OZ, HALF), (Unit::TSP, ONE)],
        (Dimension::Volume, System::Imperial) => &[(Unit::IMP_GALLON, ONE), (Unit::IMP_FL_OZ, ONE)],
        (Dimension::Volume, System::Metric) => &[(Unit::LITRE, ONE), (Unit::MILLILITRE, ONE)],
        (Dimension::Mass, System::Us) => &[(Unit::TON, ONE), (Unit::POUND, ONE), (Unit::OZ_WT, ONE)],
        (Dimension::Mass, System::Imperial) => &[(Unit::LONG_TON, ONE), (Unit::POUND, ONE), (Unit::OZ_WT, ONE)],
        (Dimension::Mass, System::Metric) => {
            &[(Unit::TONNE, ONE), (Unit::KILOGRAM, ONE), (Unit::GRAM, ONE), (Unit::MILLIGRAM, ONE)]
        }
        (Dimension::Area, System::Us | System::Imperial) => &[(Unit::ACRE, TENTH), (Unit::SQ_FT, ONE)],
        (Dimension::Area, System::Metric) => &[(Unit::HECTARE, TENTH), (Unit::SQ_METRE, ONE)],
        (Dimension::Length, System::Us | System::Imperial) => {
            &[(Unit::MILE, ONE), (Unit::FOOT, ONE), (Unit::INCH, ONE)]
        }
        (Dimension::Length, System::Metric) => {
            &[(Unit::KILOMETRE, ONE), (Unit::METRE, ONE), (Unit::CENTIMETRE, ONE), (Unit::MILLIMETRE, ONE)]
        }
        (Dimension::Temperature, System::Us) => &[(Unit::FAHRENHEIT, ONE)],
        (Dimension::Temperature, _) => &[(Unit::CELSIUS, ONE)],
        (Dimension::Pressure, System::Us | System::Imperial) => &[(Unit::PSI, ONE)],
        (Dimension::Pressure, System::Metric) => &[(Unit::BAR, TENTH), (Unit::KPA, ONE)],
        (Dimension::Speed, System::Us | System::Imperial) => &[(Unit::MPH, ONE)],
        (Dimension::Speed, System::Metric) => &[(Unit::KM_PER_H, ONE)],
        _ => &[],
    }
}
