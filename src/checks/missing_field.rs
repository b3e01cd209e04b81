//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "missing-field",
    level: Level::Error,
    summary: "An entry without a field that it means nothing without",
    explain: include_str!("missing_field.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
