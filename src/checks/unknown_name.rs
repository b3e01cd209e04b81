//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unknown-name",
    level: Level::Error,
    summary: "A name that nothing declares",
    explain: include_str!("unknown_name.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
