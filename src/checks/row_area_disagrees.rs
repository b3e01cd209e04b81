//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "row-area-disagrees",
    level: Level::Warning,
    summary: "An area that disagrees with the rows named",
    explain: include_str!("row_area_disagrees.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
