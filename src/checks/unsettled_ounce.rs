//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unsettled-ounce",
    level: Level::Error,
    summary: "An ounce that could be a weight or a volume",
    explain: include_str!("unsettled_ounce.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
