//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "area-over-block",
    level: Level::Error,
    summary: "More area treated than the block has",
    explain: include_str!("area_over_block.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
