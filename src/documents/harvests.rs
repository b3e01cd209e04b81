//! What was picked.

use serde::Serialize;

use super::book::Book;
use super::notes::notes;
use super::words::{self, day};
use crate::journal::{BlockId, Harvest};
use crate::quantity::Amount;

/// A pick.
#[derive(Clone, Debug, Serialize)]
pub struct Pick {
    /// The day.
    pub day: String,
    /// Which ground.
    pub ground: String,
    /// How much, in both systems.
    pub amount: Option<String>,
    /// The lot.
    pub lot: Option<String>,
    /// Who picked or led the pick, and who else.
    pub who: Option<String>,
    /// The last spray before it, with its date.
    pub last_spray: Option<String>,
    /// Notes, as Markdown.
    pub notes: Vec<String>,
}

/// All picks of a block.
#[derive(Clone, Debug, Serialize)]
pub struct BlockHarvest {
    /// The block.
    pub block: String,
    /// How many picks.
    pub picks: usize,
    /// All that was picked; absent where an amount is missing or cannot be added.
    pub total: Option<String>,
}

/// The picks of the part to show, in the order of time.
pub(super) fn picks(book: &Book<'_>) -> Vec<Pick> {
    shown(book).into_iter().map(|pick| one(book, pick)).collect()
}

fn shown<'a>(book: &Book<'a>) -> Vec<&'a Harvest> {
    let mut picks: Vec<&Harvest> = book.journal().harvests.iter().collect();
    picks.retain(|pick| book.scope.has_day(pick.at.day) && book.scope.has_ground(&pick.ground));
    picks.sort_by_key(|pick| (pick.at.day, pick.at.entry.start));
    picks
}

fn one(book: &Book<'_>, pick: &Harvest) -> Pick {
    let who: Vec<String> = book.people(&pick.by).into_iter().chain(book.some_words(pick.crew)).collect();
    Pick {
        day: day(pick.at.day),
        ground: book.ground(&pick.ground),
        amount: pick.amount.map(|amount| book.amount(amount.value)),
        lot: book.some_words(pick.lot),
        who: (!who.is_empty()).then(|| who.join("; ")),
        last_spray: last_spray(book, pick),
        notes: notes(book, &pick.notes),
    }
}

/// `12 April, 21 days before`: the last spray on any block of the pick that began before its day.
fn last_spray(book: &Book<'_>, pick: &Harvest) -> Option<String> {
    let season = book.season;
    let blocks = pick.ground.blocks.iter().filter_map(|block| block.id);
    let last = blocks
        .filter_map(|block| {
            let sprays = &season.by_block[block.index()];
            let after = sprays.partition_point(|&at| season.sprays[at].start.local.date() <= pick.at.day);
            sprays[..after].last().map(|&at| season.sprays[at].start.local.date())
        })
        .max()?;
    let days = pick.at.day.signed_duration_since(last).num_days();
    let before = match days {
        0 => "the same day".to_string(),
        1 => "1 day before".to_string(),
        days => format!("{days} days before"),
    };
    Some(format!("{}, {before}", words::day_short(last)))
}

/// What each block gave.
pub(super) fn by_block(book: &Book<'_>) -> Vec<BlockHarvest> {
    let mut found: Vec<(usize, Option<Amount>)> = vec![(0, None); book.journal().blocks.len()];
    for pick in shown(book) {
        // A pick of several blocks together is no one block's.
        let &[block] = pick.ground.blocks.as_slice() else { continue };
        let Some(BlockId(block)) = block.id else { continue };
        let (picks, total) = &mut found[block as usize];
        let amount = pick.amount.map(|amount| amount.value);
        *total = match (*picks, *total, amount) {
            (0, _, amount) => amount,
            (_, Some(total), Some(amount)) => total.plus(amount),
            _ => None,
        };
        *picks += 1;
    }
    let picked = found.into_iter().enumerate().filter(|(_, (picks, _))| *picks > 0);
    picked
        .map(|(block, (picks, total))| BlockHarvest {
            block: book.block(BlockId::at(block)).to_string(),
            picks,
            total: total.map(|total| book.amount(total)),
        })
        .collect()
}
