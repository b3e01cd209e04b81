//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "season-count-exceeded",
    level: Level::Error,
    summary: "More sprays in a season than allowed",
    explain: include_str!("season_count_exceeded.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
