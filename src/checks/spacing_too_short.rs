//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "spacing-too-short",
    level: Level::Error,
    summary: "Two applications closer than the shortest spacing",
    explain: include_str!("spacing_too_short.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
