//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unreadable-date",
    level: Level::Error,
    summary: "A day or a time that is none",
    explain: include_str!("unreadable_date.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
