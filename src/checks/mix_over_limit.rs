//! See the Markdown beside this file.

use super::{Ahead, Check, Findings, Run, When, tank_limit};
use crate::finding::Level;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "mix-over-limit",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "A tank whose ingredients add up to more than its limit",
    explain: include_str!("mix_over_limit.md"),
    run: Run::Both(recipes, sprays),
};

fn recipes(season: &Season<'_>, found: &mut Findings) {
    tank_limit::look_at_recipes(season, found, false);
}

fn sprays(season: &Season<'_>, found: &mut Findings) {
    tank_limit::look_at_sprays(season, found, false);
}
