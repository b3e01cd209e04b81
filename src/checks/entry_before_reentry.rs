//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "entry-before-reentry",
    level: Level::Error,
    summary: "People in a block before its re-entry interval was over",
    explain: include_str!("entry_before_reentry.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
