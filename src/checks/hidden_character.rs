//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "hidden-character",
    level: Level::Error,
    summary: "A character that cannot be seen",
    explain: include_str!("hidden_character.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
