//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unreadable-number",
    level: Level::Error,
    summary: "A number that is none",
    explain: include_str!("unreadable_number.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
