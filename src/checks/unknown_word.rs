//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unknown-word",
    level: Level::Error,
    summary: "A word at the start of a line that the journal does not know",
    explain: include_str!("unknown_word.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
