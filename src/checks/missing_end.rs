//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "missing-end",
    level: Level::Note,
    summary: "A spray without an end, taken as the end of that day",
    explain: include_str!("missing_end.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
