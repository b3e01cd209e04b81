//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "kept-too-close",
    level: Level::Error,
    summary: "Two materials on the same trees closer than allowed",
    explain: include_str!("kept_too_close.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
