//! Why words could not be read as a quantity.

use std::fmt;

use super::{Dimension, Unit};

/// Why words are not a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NumberTrouble {
    /// Not of the forms `12`, `0.5`, `1/2`, `1 1/2`.
    NotANumber,
    /// More than eighteen digits.
    TooLarge,
    /// A fraction with nothing below the line.
    ZeroDenominator,
}

impl fmt::Display for NumberTrouble {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            NumberTrouble::NotANumber => "a number is written like 12, 0.5, 1/2 or 1 1/2",
            NumberTrouble::TooLarge => "the number has more than 18 digits",
            NumberTrouble::ZeroDenominator => "the fraction has a 0 below the line",
        })
    }
}

/// Plain ounces of something that is not known to be dry or liquid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct FormTrouble;

impl fmt::Display for FormTrouble {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(
            "oz is a weight (oz wt) for dry materials and a volume (fl oz) for liquids, and the form is not known",
        )
    }
}

/// Why words are not a quantity.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum QuantityTrouble {
    /// The number.
    Number(NumberTrouble),
    /// A number without a unit.
    NoUnit,
    /// A unit nobody knows.
    UnknownUnit {
        /// As written.
        written: String,
        /// The unit it is probably a slip for.
        nearest: Option<Unit>,
    },
    /// A unit of another dimension than the place asks for.
    WrongDimension {
        /// What was written.
        found: Dimension,
        /// What the place asks for.
        expected: Dimension,
    },
    /// A rate per something that no rate is counted by.
    NotABasis {
        /// What the rate was said to be per.
        found: Dimension,
    },
    /// Words that should be a rate and have no `per`.
    NoBasis,
    /// `%` or `% w/w` where the rate must say `% v/v` or `% w/v`.
    ShareOfWhat {
        /// As written.
        written: Unit,
    },
    /// A rate per nothing, or per less than nothing.
    NotPositive,
    /// The exact result does not fit.
    TooLarge,
}

impl From<NumberTrouble> for QuantityTrouble {
    fn from(trouble: NumberTrouble) -> QuantityTrouble {
        QuantityTrouble::Number(trouble)
    }
}

impl fmt::Display for QuantityTrouble {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            QuantityTrouble::Number(trouble) => trouble.fmt(out),
            QuantityTrouble::NoUnit => out.write_str("the number has no unit"),
            QuantityTrouble::UnknownUnit { written, .. } => write!(out, "`{written}` is not a known unit"),
            QuantityTrouble::WrongDimension { found, expected } => {
                write!(
                    out,
                    "this is {}, and {} is needed here, such as {}",
                    found.word(),
                    expected.word(),
                    expected.examples()
                )
            }
            QuantityTrouble::NotABasis { found } => write!(
                out,
                "a rate is per a volume, an area, a length of row or a tree, such as per gal, per acre or per 100 ft row, not per {}",
                found.word().trim_start_matches("a ").trim_start_matches("an ")
            ),
            QuantityTrouble::NoBasis => out.write_str(
                "a rate says what it is per, such as oz wt per gal, lb per 100 gal, qt per acre, % v/v or 1:500",
            ),
            QuantityTrouble::ShareOfWhat { written } => {
                write!(out, "{written} of what is not said: write % v/v (by volume) or % w/v (weight in volume)")
            }
            QuantityTrouble::NotPositive => out.write_str("a rate is per something greater than 0"),
            QuantityTrouble::TooLarge => out.write_str("the numbers are too large to work with exactly"),
        }
    }
}
