//! How a job goes into the tank: so many full loads and a last one.

use crate::quantity::{Amount, Dimension, Exact};

/// The loads of a job. The last one is dosed by its own volume, never as a full one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Loads {
    /// How many full tanks.
    pub full: u32,
    /// What a full tank holds.
    pub tank: Amount,
    /// The rest, less than a full tank; `None` where the full ones are all of it.
    pub last: Option<Amount>,
    /// The finished spray of all of them.
    total: Amount,
}

impl Loads {
    /// A job of so much finished spray with a tank of a size. `None` unless both are volumes above zero and the loads
    /// can be counted.
    ///
    /// Source: loads are the total volume over the tank, the rest of it a partial load with its own share of each
    /// ingredient (arithmetic of a published example: 3.5 acres at 15 gal and 3 lb an acre; "Agrochemical and Pesticide
    /// Safety Handbook").
    pub fn new(total: Amount, tank: Amount) -> Option<Self> {
        let volume = |amount: Amount| amount.dimension() == Dimension::Volume && amount.value.is_positive();
        if !volume(total) || !volume(tank) {
            return None;
        }
        let full = u32::try_from(total.ratio(tank)?.floor()).ok()?;
        let rest = total.minus(tank.times(Exact::int(i64::from(full)))?)?;
        let last = if rest.value.is_positive() { Some(rest) } else { None };
        Some(Self { full, tank, last, total })
    }

    /// A job that is one load, whatever the tank holds. `None` unless it is a volume above zero.
    pub fn one(total: Amount) -> Option<Self> {
        let volume = total.dimension() == Dimension::Volume && total.value.is_positive();
        volume.then_some(Self { full: 0, tank: total, last: Some(total), total })
    }

    /// How many loads there are.
    pub fn count(&self) -> u64 {
        u64::from(self.full) + u64::from(self.last.is_some())
    }

    /// The finished spray of all of them.
    pub fn total(&self) -> Amount {
        self.total
    }

    /// What of an ingredient of the whole job goes into a full load.
    pub fn in_full(&self, ingredient: Amount) -> Option<Amount> {
        ingredient.times(self.tank.ratio(self.total)?)
    }

    /// What of an ingredient of the whole job goes into the last load; `None` where there is no other than full ones.
    pub fn in_last(&self, ingredient: Amount) -> Option<Amount> {
        ingredient.times(self.last?.ratio(self.total)?)
    }
}
