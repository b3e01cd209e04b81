//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "future-date",
    level: Level::Error,
    summary: "Something done that is still to come",
    explain: include_str!("future_date.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
