//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "misplaced-field",
    level: Level::Error,
    summary: "A field that the entry does not have",
    explain: include_str!("misplaced_field.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
