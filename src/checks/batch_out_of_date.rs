//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "batch-out-of-date",
    level: Level::Warning,
    summary: "A batch used before it was ready or after its use-by",
    explain: include_str!("batch_out_of_date.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
