//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "wrong-form",
    level: Level::Error,
    summary: "A spoon of powder that nobody weighed, or a weight of a liquid of unknown density",
    explain: include_str!("wrong_form.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
