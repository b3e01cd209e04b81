//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unreadable-line",
    level: Level::Error,
    summary: "A line that cannot be read",
    explain: include_str!("unreadable_line.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
