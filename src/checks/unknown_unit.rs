//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unknown-unit",
    level: Level::Error,
    summary: "A unit that nobody knows",
    explain: include_str!("unknown_unit.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
