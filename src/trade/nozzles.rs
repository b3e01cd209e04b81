//! Nozzles against what they should give, and against one another.

use super::Flow;
use crate::quantity::{Amount, Dimension, Exact};

/// From so many per cent over what a new one gives at the same pressure, a nozzle is worn. Source: makers' handbooks and
/// study guides of the applicators' examinations of Illinois and Maryland.
pub const WORN_FROM: i64 = 10;

/// So many per cent off the mean of all, a nozzle is out of line. Source: as [`WORN_FROM`], which takes 10 % either way.
pub const UNEVEN_FROM: i64 = 10;

/// The stricter measure. Source: Alberta Agriculture, Agdex 606-1, p. 17: nozzles over 5 % off the mean are rejected.
pub const UNEVEN_STRICT: i64 = 5;

/// By which share a flow is over what it should be; below zero where it is under. Both at the same pressure: see
/// [`Flow::at_pressure`].
pub fn over_rated(flow: Flow, rated: Flow) -> Option<Exact> {
    flow.ratio(rated)?.sub(Exact::ONE)
}

/// Whether a share is more than so many per cent, either way.
pub fn beyond(share: Exact, percent: i64) -> bool {
    Exact::new(i128::from(percent), 100).is_some_and(|most| share.abs() > most)
}

/// The mean of what nozzles gave in the same time, in the unit of the first. `None` for no catches, and where one is no
/// volume.
pub fn mean(catches: &[Amount]) -> Option<Amount> {
    let (first, rest) = catches.split_first()?;
    if first.dimension() != Dimension::Volume {
        return None;
    }
    let sum = rest.iter().try_fold(*first, |sum, one| sum.plus(*one))?;
    sum.times(Exact::new(1, i128::try_from(catches.len()).ok()?)?)
}

/// By which share each nozzle is over (or, below zero, under) the mean of all. `None` as for [`mean`], and where all are
/// dry.
pub fn off_mean(catches: &[Amount]) -> Option<Vec<Exact>> {
    let mean = mean(catches)?;
    catches.iter().map(|one| one.ratio(mean)?.sub(Exact::ONE)).collect()
}
