//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "rate-outside-range",
    level: Level::Error,
    summary: "An ingredient outside the rate that its label or plan allows",
    explain: include_str!("rate_outside_range.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
