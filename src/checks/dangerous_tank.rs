//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "dangerous-tank",
    level: Level::Error,
    summary: "Materials that give off poison gas together",
    explain: include_str!("dangerous_tank.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
