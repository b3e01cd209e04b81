//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "undated-entry",
    level: Level::Error,
    summary: "Something done that stands under no date",
    explain: include_str!("undated_entry.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
