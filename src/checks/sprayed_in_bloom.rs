//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "sprayed-in-bloom",
    level: Level::Error,
    summary: "A material marked not-in-bloom sprayed in bloom",
    explain: include_str!("sprayed_in_bloom.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
