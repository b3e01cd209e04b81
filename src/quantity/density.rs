//! The bridge between weight and volume.

use std::fmt;

use super::{Amount, Dimension, Exact, QuantityTrouble, System, Unit};

/// What a material weighs for its volume.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Density(Exact);

impl Density {
    /// So much weight in so much volume, as on a label (`10.59 lb` per `1 gal`) or weighed (`14 g` per `1 tbsp`).
    /// `None` unless both are above zero; plain ounces are neither.
    pub fn new(mass: Amount, per: Amount) -> Option<Density> {
        if mass.dimension() != Dimension::Mass || per.dimension() != Dimension::Volume {
            return None;
        }
        if !mass.value.is_positive() || !per.value.is_positive() {
            return None;
        }
        Some(Density(mass.base()?.div(per.base()?)?))
    }

    /// Reads `10.59 lb/gal`, `1.27 kg per L` or, as measured, `1 tbsp = 14 g`.
    ///
    /// # Errors
    /// [`QuantityTrouble`] when a part cannot be read, or they are not a weight and a volume above zero.
    pub fn parse(words: &str) -> Result<Density, QuantityTrouble> {
        let (mass, volume) = match words.split_once('=') {
            Some((left, right)) => {
                let (left, right) = (Amount::parse(left)?, Amount::parse(right)?);
                if left.dimension() == Dimension::Mass { (left, right) } else { (right, left) }
            }
            None => super::words::amount_per(words)?,
        };
        for (part, expected) in [(mass, Dimension::Mass), (volume, Dimension::Volume)] {
            if part.dimension() != expected {
                return Err(QuantityTrouble::WrongDimension { found: part.dimension(), expected });
            }
            if !part.value.is_positive() {
                return Err(QuantityTrouble::NotPositive);
            }
        }
        Density::new(mass, volume).ok_or(QuantityTrouble::TooLarge)
    }

    /// Grams in a millilitre, exactly.
    pub fn grams_per_ml(self) -> Exact {
        self.0
    }

    /// What the volume weighs, in pounds for a US or imperial volume and in kilograms otherwise.
    pub fn mass_of(self, volume: Amount) -> Option<Amount> {
        if volume.dimension() != Dimension::Volume {
            return None;
        }
        let unit = if volume.unit.belongs_to(System::Metric) { Unit::KILOGRAM } else { Unit::POUND };
        Amount::from_base(volume.base()?.mul(self.0)?, unit)
    }

    /// The room the weight takes, in fluid ounces for ounces and pounds and in millilitres otherwise.
    pub fn volume_of(self, mass: Amount) -> Option<Amount> {
        if mass.dimension() != Dimension::Mass {
            return None;
        }
        let unit = if mass.unit.belongs_to(System::Metric) { Unit::MILLILITRE } else { Unit::FL_OZ };
        Amount::from_base(mass.base()?.div(self.0)?, unit)
    }

    /// Rounded to about four figures: `1.269 g/mL`.
    pub fn show(self) -> String {
        format!("{} g/mL", self.0.figures(4))
    }
}

/// Exactly, so that it reads back: `1.25 g/mL`.
impl fmt::Display for Density {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} g/mL", self.0)
    }
}
