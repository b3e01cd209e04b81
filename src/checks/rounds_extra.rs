//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "rounds-extra",
    level: Level::Warning,
    summary: "More rounds than the program has",
    explain: include_str!("rounds_extra.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
