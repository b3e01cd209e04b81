//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "duplicate-name",
    level: Level::Error,
    summary: "A name declared twice",
    explain: include_str!("duplicate_name.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
