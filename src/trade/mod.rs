//! Published arithmetic of the trade, each piece with its source. Knows nothing of journals.

mod droplet;
mod element;
mod flowering;
mod loads;
mod measuring;
mod slip;

pub use droplet::DropletClass;
pub use element::{element_name, element_named, element_of};
pub use flowering::bud_set;
pub use loads::Loads;
pub use measuring::{Measured, Scoop, measure};
pub use slip::{Clues, likely_slip};
