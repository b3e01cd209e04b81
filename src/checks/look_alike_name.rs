//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "look-alike-name",
    level: Level::Warning,
    summary: "Two names that the eye takes for one another",
    explain: include_str!("look_alike_name.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
