//! What a sprayer puts on the ground, from what can be measured: a flow and a speed, a strip filled up again, a plot.
//!
//! The printed constants follow from the units: 5940 (gal a minute, mph, inches), 495 (feet), 46.4 (fl oz a minute, mph,
//! inches) and 600 (L a minute, km/h, m). The tests hold them.

use super::Flow;
use super::speed::ground_per_minute;
use crate::quantity::{Amount, Dimension, Exact, Per, Rate, System, Unit};

/// Volume per ground: L per ha where the volume is metric, else gal (or imp gal) per acre. `None` unless a volume and an
/// area, both above zero.
///
/// Covers every way of measuring that ends with a volume on an area: a plot of known size sprayed from a full tank, a
/// strip, a block.
pub fn output(volume: Amount, area: Amount) -> Option<Rate> {
    let fits = volume.dimension() == Dimension::Volume && area.dimension() == Dimension::Area;
    if !fits || !volume.value.is_positive() || !area.value.is_positive() {
        return None;
    }
    let (unit, ground) = if volume.unit.belongs_to(System::Us) {
        (Unit::GALLON, Unit::ACRE)
    } else if volume.unit.belongs_to(System::Imperial) {
        (Unit::IMP_GALLON, Unit::ACRE)
    } else {
        (Unit::LITRE, Unit::HECTARE)
    };
    let value = volume.in_unit(unit)?.value.div(area.in_unit(ground)?.value)?;
    Some(Rate::Of { amount: Amount::new(value, unit), per: Per::Area(Amount::of(1, ground)) })
}

/// Output of a flow at a speed over the width that the flow is for (nozzle spacing, spray width, row spacing).
///
/// Formulas: gal per acre = 5940 × gal a minute / (mph × inches); L per ha = 600 × L a minute / (km/h × m). Sources:
/// University of Florida IFAS, EDIS WG013; Albany County (Wyoming) Weed and Pest, boomless calibration; a maker's handbook
/// of a mistblower (metric).
pub fn output_at_speed(flow: Flow, speed: Amount, width: Amount) -> Option<Rate> {
    output(flow.per_minute(), ground_per_minute(speed, width)?)
}

/// Output from what filling up again took after a strip of a length and a width.
///
/// Formulas: gal per acre = gal × 43,560 / (ft × ft); over 660 ft, gal × 66 / ft. Sources: Good Fruit Grower,
/// "calibration steps"; Florida pest control examinations handbook, p. 213.
pub fn output_of_strip(used: Amount, course: Amount, width: Amount) -> Option<Rate> {
    output(used, course.by(width)?)
}

/// Output of a handgun or a backpack: how long a plot took to spray, and the flow into a pail.
///
/// Source: Mesa County (Colorado), handgun calibration: a plot of 18.5 ft by 18.5 ft is 1/128 acre, so that the fluid
/// ounces caught in the time that it took are gallons per acre.
pub fn output_of_plot(flow: Flow, plot: Amount, time: Amount) -> Option<Rate> {
    output(flow.in_time(time)?, plot)
}

/// The course for a width on which fluid ounces caught are gallons per acre: 1/128 acre long, in feet.
///
/// Exactly 340.3125 sq ft over the width; bulletins print 340 (or 4080 over inches). Source: LSU AgCenter, "Ounces Equal
/// Gallons"; NC State Extension, backpack calibration worksheet.
pub fn ounce_course(width: Amount) -> Option<Amount> {
    if width.dimension() != Dimension::Length || !width.value.is_positive() {
        return None;
    }
    let area = ounce_plot()?.in_unit(Unit::SQ_FT)?;
    Some(Amount::new(area.value.div(width.in_unit(Unit::FOOT)?.value)?, Unit::FOOT))
}

/// The ground on which fluid ounces are gallons per acre: as much of an acre as a fluid ounce is of a gallon.
pub fn ounce_plot() -> Option<Amount> {
    let part = Amount::of(1, Unit::FL_OZ).ratio(Amount::of(1, Unit::GALLON))?;
    Amount::of(1, Unit::ACRE).times(part)
}

/// The flow that an output takes at a speed over a width: the formula of [`output_at_speed`] turned round.
pub fn flow_for(output: Rate, speed: Amount, width: Amount) -> Option<Flow> {
    Flow::new(output.for_area(ground_per_minute(speed, width)?)?, Amount::of(1, Unit::MINUTE))
}

/// The ground that a tank covers at an output, in the unit of the output. `None` unless the output is a volume per area.
pub fn ground_per_tank(tank: Amount, output: Rate) -> Option<Amount> {
    let Rate::Of { amount, per: Per::Area(area) } = output else { return None };
    area.times(tank.ratio(amount)?).filter(|area| area.value > Exact::ZERO)
}
