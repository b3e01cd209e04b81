//! Sprayers between rows of trees: how wide a pass counts, how much spray wets the canopy, and how much stronger a spray
//! of less water is.

use crate::quantity::{Amount, Dimension, Exact, Per, Rate, System, Unit};

/// How a sprayer is driven between rows, and so which ground its flow is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Alleys {
    /// Through every alley, both sides open, all nozzles counted.
    BothSides,
    /// One side counted, every row sprayed from both of its sides: a flow is for half the row spacing.
    OneSide,
    /// Through every other alley, both sides open: a flow is for twice the row spacing.
    EveryOther,
}

impl Alleys {
    /// The width that the flow is for.
    ///
    /// Source: University of Massachusetts Extension, block-specific sprayer calibration worksheet: the constant of both
    /// sides is 495, that of one side 990; where every other alley is driven, the row spacing counts twice.
    pub fn width(self, row_spacing: Amount) -> Option<Amount> {
        if row_spacing.dimension() != Dimension::Length {
            return None;
        }
        row_spacing.times(match self {
            Alleys::BothSides => Exact::ONE,
            Alleys::OneSide => Exact::new(1, 2)?,
            Alleys::EveryOther => Exact::int(2),
        })
    }
}

/// Tree-row volume: the room that canopies fill, per ground. In m3 per ha for metric heights, else in cu ft per acre.
///
/// Formula: height × width × 43,560 / row spacing, all in ft. Source: A. Landers, Cornell University, "Tree Row Volume";
/// metric (× 10,000, in m) from memory.
pub fn canopy_per_area(height: Amount, width: Amount, row_spacing: Amount) -> Option<Rate> {
    let lengths = [height, width, row_spacing];
    if !lengths.iter().all(|one| one.dimension() == Dimension::Length && one.value.is_positive()) {
        return None;
    }
    let metres = height.base()?.mul(width.base()?)?.div(row_spacing.base()?)?;
    let (unit, ground) = if height.unit.belongs_to(System::Metric) {
        (Unit::CUBIC_METRE, Unit::HECTARE)
    } else {
        (Unit::CUBIC_FOOT, Unit::ACRE)
    };
    // m³ on each m², in mL.
    let base = metres.mul(ground.to_base())?.mul(Unit::CUBIC_METRE.to_base())?;
    Some(Rate::Of { amount: Amount::from_base(base, unit)?, per: Per::Area(Amount::of(1, ground)) })
}

/// The dilute volume per ground that wets trees to the drip, from what so much canopy takes (`0.7 gal per 1000 cu ft`).
/// A rate that is per area already stays. `None` for other rates.
///
/// Sources: A. Landers, Cornell University, "Tree Row Volume": 0.7 (well pruned) to 1 gal (dense) per 1000 cu ft; Penn
/// State Tree Fruit Production Guide. The number is the user's own: none is assumed here.
pub fn dilute_per_area(canopy: Rate, wets: Rate) -> Option<Rate> {
    match wets {
        Rate::Of { per: Per::Area(_), .. } => Some(wets),
        Rate::Of { per: Per::Volume(_), .. } => {
            let Rate::Of { amount: room, per: per @ Per::Area(_) } = canopy else { return None };
            Some(Rate::Of { amount: wets.for_volume(room)?, per })
        }
        _ => None,
    }
}

/// How many times as strong a spray of less water must be to carry the same per ground: dilute volume over actual volume.
///
/// Source: A. Landers, Cornell University, "Tree Row Volume"; Good Fruit Grower, "matching the spray to the tree".
pub fn concentration(dilute: Rate, actual: Rate) -> Option<Exact> {
    let per_area = |rate: Rate| matches!(rate, Rate::Of { per: Per::Area(_), .. });
    if !per_area(dilute) || !per_area(actual) {
        return None;
    }
    dilute.ratio(actual, None, None).filter(|times| times.is_positive())
}

/// The volume per ground of a spray so many times as strong as dilute.
pub fn concentrate_per_area(dilute: Rate, times: Exact) -> Option<Rate> {
    dilute.times(times.recip().filter(|part| part.is_positive())?)
}

/// What so much concentrate spray takes of a material with a rate per dilute volume: as often as much as dilute spray.
///
/// Source: A. Landers, Cornell University, "Tree Row Volume": the amount per acre stays, the amount per tank is
/// multiplied.
pub fn in_concentrate(per_dilute: Rate, volume: Amount, times: Exact) -> Option<Amount> {
    per_dilute.for_volume(volume)?.times(times)
}

/// What the ground takes of a material with a rate per dilute volume, however strong it is sprayed.
///
/// Source: Washington State University, tree fruit crop protection guide: a rate per 100 gal, times the dilute volume
/// per acre over 100. A limit per acre on the label goes before.
pub fn per_area_of_dilute(per_dilute: Rate, dilute: Rate) -> Option<Rate> {
    let Rate::Of { amount: volume, per: per @ Per::Area(_) } = dilute else { return None };
    Some(Rate::Of { amount: per_dilute.for_volume(volume)?, per })
}
