//! Names the slip that a ratio points to: where two numbers should agree and one is 16 times the other, somebody took
//! pounds for ounces.

use crate::quantity::{Amount, Basis, Dimension, Exact, Rate, Unit};

/// What is known beside the ratio. The more is known, the fewer slips come into question.
#[derive(Clone, Copy, Debug, Default)]
pub struct Clues {
    /// What the two numbers measure; no pair of units is named without it.
    pub of: Option<Dimension>,
    /// The unit that the doubtful number was written in: only pairs in which it is the wrong one are named.
    pub written: Option<Unit>,
    /// What the two numbers are counted by, if they are rates: the basis may be the slip, too.
    pub basis: Option<Basis>,
    /// The finished spray per ground (`300 gal per acre`), where an amount counted by ground may have been taken for
    /// one counted by 100 gal (or 100 L), or the other way round.
    pub spray_per_ground: Option<Rate>,
    /// Which share of a full tank a partial load is.
    pub part_of_tank: Option<Exact>,
}

/// Larger unit and smaller unit: taking one for the other is a known slip. Of pairs with the same ratio the first is
/// named. A pair whose sizes are within 5 % of one another (the two fluid ounces) is none: see [`likely_slip`].
const PAIRS: &[(Unit, Unit)] = &[
    (Unit::POUND, Unit::OZ_WT),
    (Unit::OZ_WT, Unit::GRAM),
    (Unit::POUND, Unit::GRAM),
    (Unit::KILOGRAM, Unit::POUND),
    (Unit::KILOGRAM, Unit::GRAM),
    (Unit::GALLON, Unit::QUART),
    (Unit::CUP, Unit::FL_OZ),
    (Unit::TBSP, Unit::TSP),
    (Unit::QUART, Unit::PINT),
    (Unit::FL_OZ, Unit::TBSP),
    (Unit::PINT, Unit::CUP),
    (Unit::PINT, Unit::FL_OZ),
    (Unit::QUART, Unit::FL_OZ),
    (Unit::GALLON, Unit::FL_OZ),
    (Unit::GALLON, Unit::CUP),
    (Unit::GALLON, Unit::PINT),
    (Unit::CUP, Unit::TBSP),
    (Unit::QUART, Unit::CUP),
    (Unit::FL_OZ, Unit::TSP),
    (Unit::IMP_GALLON, Unit::GALLON),
    (Unit::IMP_PINT, Unit::PINT),
    (Unit::GALLON, Unit::LITRE),
    (Unit::IMP_GALLON, Unit::LITRE),
    (Unit::FL_OZ, Unit::MILLILITRE),
    (Unit::TBSP, Unit::MILLILITRE),
    (Unit::CUP, Unit::MILLILITRE),
    (Unit::LITRE, Unit::MILLILITRE),
    (Unit::HECTARE, Unit::ACRE),
    (Unit::ACRE, Unit::SQ_FT),
    (Unit::SQ_METRE, Unit::SQ_FT),
    (Unit::ACRE, Unit::SQ_METRE),
];

/// The slip that probably made one number `ratio` times what it should be; `None` where no slip fits. The words are a
/// noun phrase: `pounds where ounces were meant`.
///
/// A slip fits within 1.5 % of its ratio, either way round: enough for numbers rounded to two or three figures, too
/// little for two slips to be confused. Within 5 % of one there is nothing to explain. Never more than one is named; the
/// first that fits of: the full tank's amount in a partial load; a decimal point; a rate per ground taken for one per 100
/// gal (or L); two units; two units of the basis; gal per acre against L per ha.
pub fn likely_slip(ratio: Exact, clues: &Clues) -> Option<String> {
    let over = ratio.sub(Exact::ONE)?.abs();
    if !ratio.is_positive() || over <= Exact::new(5, 100)? {
        return None;
    }
    partial_load(ratio, clues)
        .or_else(|| decimal_point(ratio))
        .or_else(|| per_hundred(ratio, clues))
        .or_else(|| units(ratio, clues))
        .or_else(|| basis(ratio, clues))
        .or_else(|| metric_volume(ratio, clues))
        .map(|slip| format!("{slip} ({})", times(ratio)))
}

/// Whether a ratio is within 1.5 % of a constant.
fn near(ratio: Exact, constant: Exact) -> bool {
    let off = || ratio.div(constant)?.sub(Exact::ONE);
    off().zip(Exact::new(15, 1000)).is_some_and(|(off, most)| off.abs() <= most)
}

/// Which way round a ratio fits a constant: the number too large by it, or too small.
fn fits(ratio: Exact, constant: Exact) -> Option<Way> {
    if near(ratio, constant) {
        Some(Way::Large)
    } else if near(ratio, constant.recip()?) {
        Some(Way::Small)
    } else {
        None
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Way {
    Large,
    Small,
}

/// `10 times`, `1/16 of it`, `about 2.47 times`.
fn times(ratio: Exact) -> String {
    let exact = |number: Exact| number.is_integer() || number.denominator() <= 10;
    match ratio.recip().filter(|_| ratio < Exact::ONE) {
        Some(inverse) if inverse.is_integer() => format!("1/{inverse} of it"),
        Some(_) if exact(ratio) => format!("{}/{} of it", ratio.numerator(), ratio.denominator()),
        Some(inverse) => format!("about 1/{} of it", inverse.figures(3)),
        None if exact(ratio) => format!("{} times", ratio.decimal(2)),
        None => format!("about {} times", ratio.figures(3)),
    }
}

fn partial_load(ratio: Exact, clues: &Clues) -> Option<String> {
    let part = clues.part_of_tank.filter(|part| part.is_positive() && *part < Exact::ONE)?;
    Some(match fits(ratio, part.recip()?)? {
        Way::Large => format!("a full tank's amount in a tank filled to {}", share(part)),
        Way::Small => format!("the amount for a tank filled to {} in a full one", share(part)),
    })
}

/// `1/2`, `0.37`.
fn share(part: Exact) -> String {
    if part.denominator() <= 10 { format!("{}/{}", part.numerator(), part.denominator()) } else { part.figures(2) }
}

fn decimal_point(ratio: Exact) -> Option<String> {
    [(10, "one place"), (100, "two places")].into_iter().find_map(|(constant, places)| {
        let way = match fits(ratio, Exact::int(constant))? {
            Way::Large => "right",
            Way::Small => "left",
        };
        Some(format!("a decimal point {places} too far to the {way}"))
    })
}

fn per_hundred(ratio: Exact, clues: &Clues) -> Option<String> {
    let spray = clues.spray_per_ground?;
    let Rate::Of { amount, per } = spray else { return None };
    let Amount { value: ground, unit } = per.amount();
    let constant = amount.value.div(ground)?.div(Exact::int(100))?;
    if near(constant, Exact::ONE) {
        return None;
    }
    let (hundred, spray) = (Amount::of(100, amount.unit), spray.show());
    // The amount per ground put into each hundred gives volume / 100 times as much ground's worth; so round.
    Some(match fits(ratio, constant)? {
        Way::Large => format!("a rate per {unit} taken as one per {hundred}, at {spray}"),
        Way::Small => format!("a rate per {hundred} taken as one per {unit}, at {spray}"),
    })
}

fn units(ratio: Exact, clues: &Clues) -> Option<String> {
    if clues.of == Some(Dimension::Area)
        && let Some(way) = fits(ratio, thousands_in_acre()?)
        && clues.written.is_none_or(|unit| unit == Unit::ACRE && way == Way::Large)
    {
        return Some(match way {
            Way::Large => "acres where units of 1,000 sq ft were meant".to_string(),
            Way::Small => "units of 1,000 sq ft where acres were meant".to_string(),
        });
    }
    pair(ratio, clues.of?, clues.written).map(|(big, small, way)| match way {
        Way::Large => format!("{} where {} was meant", big.word(), small.word()),
        Way::Small => format!("{} where {} was meant", small.word(), big.word()),
    })
}

/// The units that a rate is counted by: written per small where per large was meant, it is too large.
fn basis(ratio: Exact, clues: &Clues) -> Option<String> {
    let dimension = match clues.basis? {
        Basis::Area => Dimension::Area,
        Basis::FinishedVolume => Dimension::Volume,
        Basis::RowLength | Basis::Tree => return None,
    };
    if dimension == Dimension::Area
        && let Some(way) = fits(ratio, thousands_in_acre()?)
    {
        return Some(per_words("1,000 sq ft", "acre", way));
    }
    // Of the many units of volume, a basis is a gallon or a litre.
    let usual =
        |unit: Unit| dimension == Dimension::Area || [Unit::GALLON, Unit::LITRE, Unit::IMP_GALLON].contains(&unit);
    PAIRS
        .iter()
        .filter(|(big, small)| big.dimension() == dimension && usual(*big) && usual(*small))
        .find_map(|(big, small)| Some(per_words(small.word(), big.word(), fits(ratio, size(*big, *small)?)?)))
}

fn per_words(small: &str, big: &str, way: Way) -> String {
    match way {
        Way::Large => format!("per {small} where per {big} was meant"),
        Way::Small => format!("per {big} where per {small} was meant"),
    }
}

/// A gallon in an acre is 9.354 L in a hectare.
fn metric_volume(ratio: Exact, clues: &Clues) -> Option<String> {
    if clues.of != Some(Dimension::Volume) || clues.basis != Some(Basis::Area) {
        return None;
    }
    let constant = size(Unit::GALLON, Unit::LITRE)?.mul(size(Unit::HECTARE, Unit::ACRE)?)?;
    Some(match fits(ratio, constant)? {
        Way::Large => "L per ha taken as gal per acre".to_string(),
        Way::Small => "gal per acre taken as L per ha".to_string(),
    })
}

/// The pair of units of a dimension that a ratio fits: one in which the written unit is itself the wrong one, since no
/// unit that nobody wrote can be the slip; any where the unit is not known.
fn pair(ratio: Exact, of: Dimension, written: Option<Unit>) -> Option<(Unit, Unit, Way)> {
    let fitting = || {
        PAIRS.iter().filter(move |(big, _)| big.dimension() == of).filter_map(move |&(big, small)| {
            let way = fits(ratio, size(big, small)?)?;
            Some((big, small, way))
        })
    };
    let Some(written) = written else { return fitting().next() };
    let itself = |&(big, small, way): &(Unit, Unit, Way)| written == if way == Way::Large { big } else { small };
    fitting().find(itself)
}

/// An acre is 43.56 times the 1,000 sq ft that garden rates are counted by.
fn thousands_in_acre() -> Option<Exact> {
    size(Unit::ACRE, Unit::SQ_FT)?.div(Exact::int(1000))
}

/// How many of the smaller unit are in the larger.
fn size(big: Unit, small: Unit) -> Option<Exact> {
    big.to_base().div(small.to_base())
}
