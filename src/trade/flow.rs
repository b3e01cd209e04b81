//! How much a nozzle, a handgun or a whole sprayer puts out in a time.

use crate::quantity::{Amount, Dimension, Exact, Unit};

/// A volume in a minute, more than none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Flow {
    per_minute: Amount,
}

impl Flow {
    /// What was caught in a time. `None` unless a volume and a time, both above zero.
    pub fn new(volume: Amount, time: Amount) -> Option<Flow> {
        let fits = volume.dimension() == Dimension::Volume && time.dimension() == Dimension::Time;
        if !fits || !volume.value.is_positive() || !time.value.is_positive() {
            return None;
        }
        let per_minute = volume.times(Amount::of(1, Unit::MINUTE).ratio(time)?)?;
        Some(Flow { per_minute })
    }

    /// The volume of one minute, in the unit it was caught in.
    pub fn per_minute(self) -> Amount {
        self.per_minute
    }

    /// What comes out in another time. `None` unless it is one.
    pub fn in_time(self, time: Amount) -> Option<Amount> {
        self.per_minute.times(time.ratio(Amount::of(1, Unit::MINUTE))?)
    }

    /// So many nozzles of this flow together. `None` unless the factor is above zero.
    pub fn times(self, factor: Exact) -> Option<Flow> {
        if !factor.is_positive() {
            return None;
        }
        Some(Flow { per_minute: self.per_minute.times(factor)? })
    }

    /// How many times the other flow it is.
    pub fn ratio(self, other: Flow) -> Option<Exact> {
        self.per_minute.ratio(other.per_minute)
    }

    /// How long a tank lasts, in minutes: the tank over the flow.
    pub fn time_for(self, volume: Amount) -> Option<Amount> {
        Some(Amount::new(volume.ratio(self.per_minute)?, Unit::MINUTE))
    }

    /// The same nozzle at another pressure: flow goes with the square root of pressure, so that twice the flow takes four
    /// times the pressure. `None` unless both are pressures above zero.
    ///
    /// The one place where a root, and so a float, comes in: the factor is rounded to nine decimals. Source: standard
    /// hydraulics of nozzles, from memory.
    pub fn at_pressure(self, from: Amount, to: Amount) -> Option<Flow> {
        let pressures = [from, to].iter().all(|one| one.dimension() == Dimension::Pressure && one.value.is_positive());
        if !pressures {
            return None;
        }
        const PLACES: i128 = 1_000_000_000;
        let root = to.ratio(from)?.to_f64().sqrt() * PLACES as f64;
        // A pressure beyond any pump would leave the range of whole numbers.
        if !root.is_finite() || root.abs() >= 1e18 {
            return None;
        }
        self.times(Exact::new(root.round() as i128, PLACES)?)
    }
}
