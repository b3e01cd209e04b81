//! Speed over the ground, and the ground that is passed over.

use crate::quantity::{Amount, Dimension, System, Unit};

/// Speed from a course and the time it took: in km/h where the course is metric, else in mph. `None` unless a length and
/// a time, both above zero.
///
/// Formulas: mph = ft × 60 / (s × 88), km/h = m × 3.6 / s. Sources: University of Nebraska-Lincoln, Pesticide Safety
/// Education Program, "Pesticide math" (88 ft in a minute are 1 mph); Alberta Agriculture, Agdex 606-1, p. 17.
pub fn speed(course: Amount, time: Amount) -> Option<Amount> {
    let fits = course.dimension() == Dimension::Length && time.dimension() == Dimension::Time;
    if !fits || !course.value.is_positive() || !time.value.is_positive() {
        return None;
    }
    let unit = if course.unit.belongs_to(System::Metric) { Unit::KM_PER_H } else { Unit::MPH };
    Amount::from_base(course.base()?.div(time.base()?)?, unit)
}

/// The ground passed over in a minute: in ha where the width is metric, else in acres. `None` unless a speed and a
/// length, both above zero.
///
/// Formulas: acres in a minute = mph × ft / 495, ha in a minute = km/h × m / 600. Sources: University of Massachusetts
/// Extension, block-specific sprayer calibration worksheet; a maker's handbook of a rotary atomizer.
pub fn ground_per_minute(speed: Amount, width: Amount) -> Option<Amount> {
    let fits = speed.dimension() == Dimension::Speed && width.dimension() == Dimension::Length;
    if !fits || !speed.value.is_positive() || !width.value.is_positive() {
        return None;
    }
    let unit = if width.unit.belongs_to(System::Metric) { Unit::HECTARE } else { Unit::ACRE };
    let metres = speed.base()?.mul(Unit::MINUTE.to_base())?;
    Amount::from_base(metres.mul(width.base()?)?, unit)
}
