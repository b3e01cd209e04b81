//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "same-spray-twice",
    level: Level::Warning,
    summary: "The same spray entered twice",
    explain: include_str!("same_spray_twice.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
