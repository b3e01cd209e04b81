//! Rates for people.

use std::fmt;

use super::{Amount, Basis, Exact, Per, Rate, WrittenShare};

impl Rate {
    /// Rounded to about four figures: `0.3333 oz wt per gal`.
    pub fn show(self) -> String {
        match self {
            Rate::Of { amount, per } => format!("{} {per}", super::show(amount)),
            Rate::ByVolume(share, WrittenShare::OneIn) => match share.recip() {
                Some(parts) => format!("1:{}", parts.figures(4)),
                None => self.to_string(),
            },
            Rate::ByVolume(share, WrittenShare::In(unit)) | Rate::ByWeight(share, unit) => {
                Amount::from_base(share, unit).map_or_else(|| self.to_string(), super::show)
            }
        }
    }
}

/// `per gal`, `per 100 gal`, `per 100 ft row`, `per tree`.
impl fmt::Display for Per {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let amount = self.amount();
        out.write_str("per ")?;
        if amount.value == Exact::ONE {
            write!(out, "{}", amount.unit)?;
        } else {
            write!(out, "{amount}")?;
        }
        if self.basis() == Basis::RowLength { out.write_str(" row") } else { Ok(()) }
    }
}

/// As written and exactly, so that it reads back: `2 lb per 100 gal`, `0.5 % v/v`, `1:500`.
impl fmt::Display for Rate {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Rate::Of { amount, per } => write!(out, "{amount} {per}"),
            Rate::ByVolume(share, WrittenShare::OneIn) => match share.recip() {
                Some(parts) => write!(out, "1:{parts}"),
                None => out.write_str("0 % v/v"),
            },
            Rate::ByVolume(share, WrittenShare::In(unit)) | Rate::ByWeight(share, unit) => {
                match Amount::from_base(*share, *unit) {
                    Some(amount) => write!(out, "{amount}"),
                    // Only a share of some thirty digits; said as a fraction of one.
                    None => write!(out, "{share} of one"),
                }
            }
        }
    }
}
