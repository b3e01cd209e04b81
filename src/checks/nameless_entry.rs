//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "nameless-entry",
    level: Level::Error,
    summary: "An entry that does not say what it is about",
    explain: include_str!("nameless_entry.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
