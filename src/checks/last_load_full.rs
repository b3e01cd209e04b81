//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "last-load-full",
    level: Level::Error,
    summary: "A partial load dosed as a full one",
    explain: include_str!("last_load_full.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
