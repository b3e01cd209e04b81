//! See the Markdown beside this file.

use super::asked::ROUNDS;
use super::rounds::{Step, report, steps};
use super::{Ahead, Check, Findings, scene};
use crate::finding::Level;
use crate::season::Season;
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "round-late",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A round after it was due",
    explain: include_str!("round_late.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, ROUNDS, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Spray) || season.lost(EntryWord::Observe) {
        return;
    }
    let late = |step: &Step| step.day > step.due.last;
    for hits in steps(season, late).chunk_by(Step::same_spray) {
        let step = &hits[0];
        let after = scene::days(scene::between(step.due.last, step.day));
        report(season, found, hits, &format!("{after} late"));
    }
}
