//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "clock-change",
    level: Level::Warning,
    summary: "A clock time that did not exist, or that happened twice",
    explain: include_str!("clock_change.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
