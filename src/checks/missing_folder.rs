//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "missing-folder",
    level: Level::Error,
    summary: "A shared folder that is not there",
    explain: include_str!("missing_folder.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
