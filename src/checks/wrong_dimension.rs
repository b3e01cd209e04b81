//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "wrong-dimension",
    level: Level::Error,
    summary: "A quantity of the wrong kind for its field",
    explain: include_str!("wrong_dimension.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
