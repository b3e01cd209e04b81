//! A number and the unit it was written in.

use std::cmp::Ordering;

use super::{Dimension, Exact, Form, FormTrouble, QuantityTrouble, System, Unit};

/// A number and the unit it was written in. Never converted until asked.
///
/// Equality is of the writing: `1 gal` and `4 qt` are not `==`; use [`Amount::compare`].
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Amount {
    /// How many.
    pub value: Exact,
    /// Of what.
    pub unit: Unit,
}

impl Amount {
    /// A number of units.
    pub const fn new(value: Exact, unit: Unit) -> Amount {
        Amount { value, unit }
    }

    /// A whole number of units.
    pub const fn of(value: i64, unit: Unit) -> Amount {
        Amount { value: Exact::int(value), unit }
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        self.unit.dimension()
    }

    /// In base units: mL, g, m², m, s, K above absolute zero, kPa, m/s, fraction of one (weight in volume: g per mL),
    /// or the count. `None` for plain ounces, and when the exact result does not fit.
    pub fn base(self) -> Option<Exact> {
        match self.dimension() {
            Dimension::Ounce => None,
            Dimension::Temperature => self.value.add(degrees_below_zero(self.unit)?)?.mul(self.unit.to_base()),
            _ => self.value.mul(self.unit.to_base()),
        }
    }

    /// That many base units of the unit's dimension, in the unit. `None` for plain ounces.
    pub fn from_base(base: Exact, unit: Unit) -> Option<Amount> {
        let value = match unit.dimension() {
            Dimension::Ounce => return None,
            Dimension::Temperature => base.div(unit.to_base())?.sub(degrees_below_zero(unit)?)?,
            _ => base.div(unit.to_base())?,
        };
        Some(Amount { value, unit })
    }

    /// Plain ounces as what the form says they are (avoirdupois or US fluid ounces); any other unit stays.
    ///
    /// # Errors
    /// [`FormTrouble`] for plain ounces of unknown form.
    pub fn settle(self, form: Option<Form>) -> Result<Amount, FormTrouble> {
        if !self.unit.is_plain_ounce() {
            return Ok(self);
        }
        let unit = match form.ok_or(FormTrouble)? {
            Form::Dry => Unit::OZ_WT,
            Form::Liquid => Unit::FL_OZ,
        };
        Ok(Amount { unit, ..self })
    }

    /// The same amount in another unit; `None` when the units do not convert or the exact result does not fit.
    pub fn in_unit(self, unit: Unit) -> Option<Amount> {
        if self.unit == unit {
            return Some(self);
        }
        if !self.unit.converts_to(unit) {
            return None;
        }
        if self.dimension() == Dimension::Temperature {
            return Amount::from_base(self.base()?, unit);
        }
        // The ratio of the sizes first: it stays smaller than the amount in base units.
        let value = self.value.mul(self.unit.to_base().div(unit.to_base())?)?;
        Some(Amount { value, unit })
    }

    /// So many times the amount; `None` for temperatures and pH, which do not multiply.
    pub fn times(self, factor: Exact) -> Option<Amount> {
        if !self.adds_up() {
            return None;
        }
        Some(Amount { value: self.value.mul(factor)?, ..self })
    }

    /// The sum, in this amount's unit; `None` when the units do not convert, and for temperatures and pH.
    pub fn plus(self, other: Amount) -> Option<Amount> {
        if !self.adds_up() {
            return None;
        }
        Some(Amount { value: self.value.add(other.in_unit(self.unit)?.value)?, ..self })
    }

    /// The difference, in this amount's unit; `None` as for [`Amount::plus`].
    pub fn minus(self, other: Amount) -> Option<Amount> {
        if !self.adds_up() {
            return None;
        }
        Some(Amount { value: self.value.sub(other.in_unit(self.unit)?.value)?, ..self })
    }

    /// How many of the other amount are in it; `None` when the units do not convert or the other is zero.
    pub fn ratio(self, other: Amount) -> Option<Exact> {
        if !self.adds_up() {
            return None;
        }
        self.value.div(other.in_unit(self.unit)?.value)
    }

    /// Which is more; `None` when the units do not convert.
    pub fn compare(self, other: Amount) -> Option<Ordering> {
        Some(self.value.cmp(&other.in_unit(self.unit)?.value))
    }

    /// The area of a strip so long and so wide, in square feet, or in square metres when this length is metric. `None`
    /// unless both are lengths.
    pub fn by(self, width: Amount) -> Option<Amount> {
        if self.dimension() != Dimension::Length || width.dimension() != Dimension::Length {
            return None;
        }
        let unit = if self.unit.belongs_to(System::Metric) { Unit::SQ_METRE } else { Unit::SQ_FT };
        Amount::from_base(self.base()?.mul(width.base()?)?, unit)
    }

    /// The amount, if it is of that dimension. Plain ounces count as a weight and as a volume.
    ///
    /// # Errors
    /// [`QuantityTrouble::WrongDimension`].
    pub fn expect(self, dimension: Dimension) -> Result<Amount, QuantityTrouble> {
        let weight_or_volume = |dimension| matches!(dimension, Dimension::Mass | Dimension::Volume | Dimension::Ounce);
        let found = self.dimension();
        let fits = found == dimension
            || found == Dimension::Ounce && weight_or_volume(dimension)
            || dimension == Dimension::Ounce && weight_or_volume(found);
        if fits { Ok(self) } else { Err(QuantityTrouble::WrongDimension { found, expected: dimension }) }
    }

    fn adds_up(self) -> bool {
        !matches!(self.dimension(), Dimension::Temperature | Dimension::Acidity)
    }
}

/// Degrees from absolute zero to the unit's own zero: 459.67 F, 273.15 C. Exact by definition of both scales.
fn degrees_below_zero(unit: Unit) -> Option<Exact> {
    match unit {
        Unit::FAHRENHEIT => Exact::new(45_967, 100),
        Unit::CELSIUS => Exact::new(27_315, 100),
        _ => None,
    }
}

/// The finished volume of so much water with these liquids in it, in the water's unit. `None` when a liquid is not a
/// volume.
///
/// Assumes that volumes add up and that dry materials take no room (common practice, no source).
pub fn finished_from_water(water: Amount, liquids: &[Amount]) -> Option<Amount> {
    if water.dimension() != Dimension::Volume {
        return None;
    }
    liquids.iter().try_fold(water, |finished, liquid| finished.plus(*liquid))
}
