//! Trees and rows on so much ground.

use crate::quantity::{Amount, Exact, Rate, System, Unit};

/// How many trees stand on an area: 43,560 sq ft over the ground of one tree, for an acre. `None` unless two lengths above
/// zero and an area.
///
/// Source: Penn State Extension, rates on a per-tree basis.
pub fn trees_on(area: Amount, row_spacing: Amount, tree_spacing: Amount) -> Option<Exact> {
    let own = row_spacing.by(tree_spacing)?;
    area.ratio(own).filter(|_| row_spacing.value.is_positive() && tree_spacing.value.is_positive())
}

/// The length of row on an area, in feet, or in metres where the spacing is metric. `None` unless an area and a length
/// above zero.
///
/// Source: A. Landers, Cornell University, "Tree Row Volume": 2420 ft of row on an acre at 18 ft.
pub fn row_on(area: Amount, row_spacing: Amount) -> Option<Amount> {
    if !row_spacing.value.is_positive() {
        return None;
    }
    let one = Amount::of(1, if row_spacing.unit.belongs_to(System::Metric) { Unit::METRE } else { Unit::FOOT });
    one.times(area.ratio(row_spacing.by(one)?)?)
}

/// What one tree takes of a rate per area. `None` unless two lengths above zero and a rate per area.
pub fn per_tree(rate: Rate, row_spacing: Amount, tree_spacing: Amount) -> Option<Amount> {
    let own = row_spacing.by(tree_spacing)?;
    rate.for_area(own).filter(|_| row_spacing.value.is_positive() && tree_spacing.value.is_positive())
}
