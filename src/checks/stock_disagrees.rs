//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "stock-disagrees",
    level: Level::Warning,
    summary: "More used than was ever received",
    explain: include_str!("stock_disagrees.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
