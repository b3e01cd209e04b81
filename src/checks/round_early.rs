//! See the Markdown beside this file.

use super::asked::ROUNDS;
use super::rounds::{Step, report, steps};
use super::{Ahead, Check, Findings, scene};
use crate::finding::Level;
use crate::season::Season;
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "round-early",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "A round before it was due",
    explain: include_str!("round_early.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, ROUNDS, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Observe) {
        return;
    }
    let early = |step: &Step| step.previous.is_some() && step.day < step.due.first;
    for hits in steps(season, early).chunk_by(Step::same_spray) {
        let step = &hits[0];
        let before = scene::days(scene::between(step.day, step.due.first));
        report(season, found, hits, &format!("{before} early"));
    }
}
