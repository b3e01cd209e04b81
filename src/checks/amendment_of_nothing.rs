//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "amendment-of-nothing",
    level: Level::Warning,
    summary: "A correction of a record that is not there",
    explain: include_str!("amendment_of_nothing.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
