//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "season-amount-exceeded",
    level: Level::Error,
    summary: "More of a material or element in a season than allowed",
    explain: include_str!("season_amount_exceeded.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
