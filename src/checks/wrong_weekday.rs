//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "wrong-weekday",
    level: Level::Error,
    summary: "A weekday that is not the date's",
    explain: include_str!("wrong_weekday.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
