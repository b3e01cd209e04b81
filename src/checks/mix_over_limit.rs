//! See the Markdown beside this file.

use super::{Ahead, Check, Findings, When, tank_limit};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "mix-over-limit",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "A tank whose ingredients add up to more than its limit",
    explain: include_str!("mix_over_limit.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    tank_limit::look(season, found, false);
}
