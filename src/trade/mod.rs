//! Published arithmetic of the trade, each piece with its source. Knows nothing of journals.

mod element;
mod slip;

pub use element::element_of;
pub use slip::likely_slip;
