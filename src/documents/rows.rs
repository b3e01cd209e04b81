//! Which rows were sprayed: counts on rows that a spray did not reach are not counts after that spray.

use chrono::{Datelike, NaiveDate};

use super::book::Book;
use crate::journal::{BlockId, Ground, PickedRows, Spray};

/// How often some rows of a block were sprayed in the year up to a day, and since an earlier day.
pub(super) fn sprays_on(
    book: &Book<'_>,
    block: BlockId,
    rows: Option<&PickedRows>,
    from: NaiveDate,
    before: NaiveDate,
) -> usize {
    let sprays = book.season.by_block[block.index()].iter().map(|&at| book.season.sprays[at].spray(book.journal()));
    sprays
        .filter(|spray| from <= spray.at.day && spray.at.day < before && spray.at.day.year() == before.year())
        .filter(|spray| reached(spray, block, rows))
        .count()
}

fn reached(spray: &Spray, block: BlockId, rows: Option<&PickedRows>) -> bool {
    let on = |ground: &Ground| {
        ground.blocks.iter().any(|named| named.id == Some(block))
            && meet(ground.rows.as_ref().map(|picked| &picked.rows), rows)
    };
    on(&spray.ground) || spray.leftover.as_ref().is_some_and(|leftover| on(&leftover.ground))
}

/// Whether two picks of rows have a row in common; nothing stands for all rows. Every other alley reaches all trees from
/// one side.
fn meet(one: Option<&PickedRows>, other: Option<&PickedRows>) -> bool {
    let has_parity =
        |runs: &[(u32, u32)], parity: u32| runs.iter().any(|&(first, last)| first < last || first % 2 == parity);
    match (one, other) {
        (None | Some(PickedRows::Alternate), _) | (_, None | Some(PickedRows::Alternate)) => true,
        (Some(PickedRows::Listed(one)), Some(PickedRows::Listed(other))) => {
            one.iter().any(|&(first, last)| other.iter().any(|&(from, to)| first <= to && from <= last))
        }
        (Some(PickedRows::Listed(runs)), Some(PickedRows::Odd))
        | (Some(PickedRows::Odd), Some(PickedRows::Listed(runs))) => has_parity(runs, 1),
        (Some(PickedRows::Listed(runs)), Some(PickedRows::Even))
        | (Some(PickedRows::Even), Some(PickedRows::Listed(runs))) => has_parity(runs, 0),
        (Some(one), Some(other)) => one == other,
    }
}
