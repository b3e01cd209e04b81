//! See the Markdown beside this file.

use super::{Check, Findings};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "weather-outside-limits",
    level: Level::Warning,
    summary: "Sprayed outside the weather limits",
    explain: include_str!("weather_outside_limits.md"),
    run,
};

fn run(_season: &Season<'_>, _found: &mut Findings) {}
