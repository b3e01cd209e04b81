//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "rounds-missed",
    level: Level::Warning,
    summary: "Fewer rounds than the program has",
    explain: include_str!("rounds_missed.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
