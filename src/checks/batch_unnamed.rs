//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "batch-unnamed",
    level: Level::Warning,
    summary: "A home-made material without its batch",
    explain: include_str!("batch_unnamed.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
