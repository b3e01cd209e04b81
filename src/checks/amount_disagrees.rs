//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "amount-disagrees",
    level: Level::Error,
    summary: "An amount that disagrees with mix and volume",
    explain: include_str!("amount_disagrees.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
