//! Published arithmetic of the trade, each piece with its source. Knows nothing of journals.

mod bbch;
mod droplet;
mod element;
mod flow;
mod flowering;
mod loads;
mod measuring;
mod nozzles;
mod orchard;
mod output;
mod slip;
mod spacing;
mod speed;

pub use bbch::{LAST_CODE, code_of};
pub use droplet::DropletClass;
pub use element::{element_name, element_named, element_of};
pub use flow::Flow;
pub use flowering::bud_set;
pub use loads::Loads;
pub use measuring::{Measured, Scoop, measure};
pub use nozzles::{UNEVEN_FROM, UNEVEN_STRICT, WORN_FROM, beyond, mean, off_mean, over_rated};
pub use orchard::{
    Alleys, canopy_per_area, concentrate_per_area, concentration, dilute_per_area, in_concentrate, per_area_of_dilute,
};
pub use output::{
    flow_for, ground_per_tank, ounce_course, ounce_plot, output, output_at_speed, output_of_plot, output_of_strip,
};
pub use slip::{Clues, likely_slip};
pub use spacing::{per_tree, row_on, trees_on};
pub use speed::{ground_per_minute, speed};
