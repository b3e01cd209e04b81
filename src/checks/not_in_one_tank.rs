//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "not-in-one-tank",
    level: Level::Error,
    summary: "Materials that must not share a tank",
    explain: include_str!("not_in_one_tank.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
