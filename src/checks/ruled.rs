//! What findings from rulebooks have in common.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::scene;
use crate::duty::{Asked, about_block};
use crate::finding::{Finding, Level};
use crate::season::{Season, SprayFacts};

/// The rule behind a finding: what it says, and what [`cited`] tells.
pub(super) fn by(finding: Finding, asked: &Asked<'_>) -> Finding {
    let says = asked.rule.says.trim().trim_end_matches('.');
    cited(finding.working(format!("{}: {says}", asked.adoption.book.name)), asked)
}

/// Where the rule behind a finding stands, and where the farm took it on. A rule that is known only from memory may be
/// wrong: it is told as a note, never as an error.
pub(super) fn cited(finding: Finding, asked: &Asked<'_>) -> Finding {
    let adopted = asked.adoption.adopted.name.span;
    let mut finding = finding.source(asked.cited());
    if !finding.labels.iter().any(|label| label.span == adopted) {
        finding = finding.label(adopted, "rulebook taken on here");
    }
    if asked.from_memory() {
        finding.level = Level::Note;
    }
    finding
}

/// The blocks of a spray that a rule is about, by name; those where only what was left of the tank went, if no others.
pub(super) fn place(season: &Season<'_>, facts: &SprayFacts, asked: &Asked<'_>) -> String {
    let about = |leftover: bool| {
        let touched = facts.touched.iter().filter(move |touched| touched.leftover == leftover);
        let blocks = touched.map(|touched| touched.block);
        let about = blocks.filter(|&block| about_block(season, season.journal.block(block), &asked.rule.when));
        scene::named(season, about)
    };
    let own = about(false);
    if own.is_empty() { about(true) } else { own }
}

/// Of things with one cause the first, and in how many more records there are such; what comes from one record comes
/// together.
pub(super) fn firsts<K: Ord, T>(all: impl IntoIterator<Item = (K, usize, T)>) -> Vec<(T, usize)> {
    let mut places: BTreeMap<K, (usize, usize)> = BTreeMap::new();
    let mut firsts: Vec<(T, usize)> = Vec::new();
    for (cause, record, one) in all {
        match places.entry(cause) {
            Entry::Occupied(mut known) => {
                let (place, last) = known.get_mut();
                firsts[*place].1 += usize::from(*last != record);
                *last = record;
            }
            Entry::Vacant(new) => {
                new.insert((firsts.len(), record));
                firsts.push((one, 0));
            }
        }
    }
    firsts
}

/// How many more there are of what a finding tells.
pub(super) fn more(finding: Finding, count: usize, word: &str) -> Finding {
    if count == 0 { finding } else { finding.working(format!("the same with {} more", scene::count(count, word))) }
}
