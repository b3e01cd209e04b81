//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "end-before-start",
    level: Level::Error,
    summary: "An end that is not after its start",
    explain: include_str!("end_before_start.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
