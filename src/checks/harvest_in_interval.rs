//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "harvest-in-interval",
    level: Level::Error,
    summary: "A pick before its harvest interval was over",
    explain: include_str!("harvest_in_interval.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
