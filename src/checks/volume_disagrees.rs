//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "volume-disagrees",
    level: Level::Warning,
    summary: "A volume that disagrees with area and calibration",
    explain: include_str!("volume_disagrees.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
