//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unknown-choice",
    level: Level::Error,
    summary: "A word where one of a few is expected",
    explain: include_str!("unknown_choice.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
