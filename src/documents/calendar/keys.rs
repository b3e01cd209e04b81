//! What tells the sprays of a farm apart, whatever their times.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::super::book::Book;
use crate::journal::BlockId;
use crate::season::SprayFacts;

/// For each spray on each of its blocks: the block, the page's day, the mix or what else went in, and, of several alike,
/// which.
pub(super) struct SprayKeys(BTreeMap<(usize, BlockId), Vec<String>>);

impl SprayKeys {
    /// Of every spray, by its place in the journal's list.
    pub(super) fn new(book: &Book<'_>) -> Self {
        let journal = book.journal();
        let mut keys = BTreeMap::new();
        for (block, sprays) in book.season.by_block.iter().enumerate() {
            let mut alike: BTreeMap<(NaiveDate, String), usize> = BTreeMap::new();
            for &at in sprays {
                let facts = &book.season.sprays[at];
                let (on, tank) = (facts.spray(journal).at.day, tank(book, facts));
                let number = alike.entry((on, tank.clone())).or_default();
                *number += 1;
                let name = journal.blocks[block].named.name.to_string();
                keys.insert((facts.index, BlockId::at(block)), vec![name, on.to_string(), tank, number.to_string()]);
            }
        }
        Self(keys)
    }

    /// Of a spray on a block.
    pub(super) fn of(&self, spray: usize, block: BlockId) -> Vec<String> {
        self.0.get(&(spray, block)).cloned().unwrap_or_default()
    }
}

/// The name of the mix, or else of everything that went in, in the order of names.
pub(super) fn tank(book: &Book<'_>, facts: &SprayFacts) -> String {
    let spray = facts.spray(book.journal());
    if let Some(used) = spray.mix {
        return book.words(used.mix.span).to_lowercase();
    }
    let mut names: Vec<String> =
        facts.doses.iter().map(|dose| book.journal().material(dose.material).named.name.to_string()).collect();
    names.sort_unstable();
    names.join(" ")
}
