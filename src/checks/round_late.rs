//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "round-late",
    level: Level::Warning,
    summary: "A round after it was due",
    explain: include_str!("round_late.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
