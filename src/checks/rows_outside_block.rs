//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "rows-outside-block",
    level: Level::Error,
    summary: "Rows that the block does not have",
    explain: include_str!("rows_outside_block.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
