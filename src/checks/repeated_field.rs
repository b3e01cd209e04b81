//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "repeated-field",
    level: Level::Error,
    summary: "A field that may stand once and stands twice",
    explain: include_str!("repeated_field.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
