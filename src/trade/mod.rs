//! Published arithmetic of the trade, each piece with its source. Knows nothing of journals.

mod slip;

pub use slip::likely_slip;
