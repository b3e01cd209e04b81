//! Published arithmetic of the trade, each piece with its source. Knows nothing of journals.

mod bbch;
mod droplet;
mod element;
mod flowering;
mod slip;

pub use bbch::{LAST_CODE, code_of};
pub use droplet::DropletClass;
pub use element::{element_name, element_named, element_of};
pub use flowering::bud_set;
pub use slip::{Clues, likely_slip};
