//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "round-early",
    level: Level::Warning,
    summary: "A round before it was due",
    explain: include_str!("round_early.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
