//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "posting-missing",
    level: Level::Warning,
    summary: "No sheet or signs where they are asked for",
    explain: include_str!("posting_missing.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
