//! Names the slip that a ratio points to.

use crate::quantity::Exact;

/// The slip that probably made one number `ratio` times another; `None` where no slip fits.
pub fn likely_slip(_ratio: Exact) -> Option<String> {
    None
}
