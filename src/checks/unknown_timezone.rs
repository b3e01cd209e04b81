//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unknown-timezone",
    level: Level::Error,
    summary: "A time zone that nobody knows",
    explain: include_str!("unknown_timezone.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
