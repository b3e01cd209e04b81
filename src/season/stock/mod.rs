//! What came into the shed and what left it: the movements of every material in the order of time, what is there by lot,
//! and what a count should have found.

mod lots;
mod moves;
mod price;
mod shelf;

use chrono::NaiveDate;

pub use lots::{Lot, LotOrigin, lot_key};
pub use moves::{Cause, Draw, Lots, Move};
pub use price::{Cost, cost_of, price, worth};
pub use shelf::{Counted, LotLeft, Shelf};

use super::{Season, like};
use crate::journal::{BrewId, Journal, MaterialId};
use crate::quantity::{Amount, Exact, Unit};
use price::Paid;

/// The stock of every material.
#[derive(Debug)]
pub struct Stock {
    /// By material.
    materials: Vec<MaterialStock>,
    /// For each batch, which lot of its material it is.
    batches: Vec<Option<(MaterialId, usize)>>,
}

/// The stock of one material. Its numbers are counted in its unit.
#[derive(Debug, Default)]
pub struct MaterialStock {
    /// The unit that it is counted in: that of the first delivery, batch, discard or count, which is what invoices and
    /// jugs say, or else of the first use. `None` where no amount is known.
    pub unit: Option<Unit>,
    /// Its movements, in the order of time: on one day what came in stands before what went out, then what was thrown
    /// out, and the shelf is counted at the end.
    pub moves: Vec<Move>,
    /// Its lots and batches, the oldest first.
    pub lots: Vec<Lot>,
    /// What each count found and should have found, in the order of time.
    pub counts: Vec<Counted>,
    paid: Vec<Paid>,
}

impl Stock {
    /// The stock of a season.
    pub fn new(season: &Season<'_>) -> Self {
        let mut moves = moves::collect(season);
        let mut batches = vec![None; season.journal.brews.len()];
        let materials = moves.iter_mut().enumerate();
        let materials = materials.map(|(id, moves)| {
            let material = MaterialId::at(id);
            let stock = MaterialStock::new(season, material, std::mem::take(moves));
            for (at, lot) in stock.lots.iter().enumerate() {
                if let LotOrigin::Batch(brew) = lot.origin {
                    batches[brew.index()] = Some((material, at));
                }
            }
            stock
        });
        let materials = materials.collect();
        Self { materials, batches }
    }

    /// The stock of a material.
    pub fn of(&self, material: MaterialId) -> &MaterialStock {
        &self.materials[material.index()]
    }

    /// What of a material is there at the end of a day; `None` where that is not known. It may be below nothing.
    pub fn on_hand(&self, material: MaterialId, day: NaiveDate) -> Option<Amount> {
        self.of(material).on_hand(day)
    }

    /// What of a material is there at the end of a day, lot by lot; `None` where no amount of it is known.
    pub fn by_lot(&self, material: MaterialId, day: NaiveDate) -> Option<Shelf> {
        self.of(material).by_lot(day)
    }

    /// Which lot of which material a batch is; `None` where it is not said of what it was made.
    pub fn batch(&self, brew: BrewId) -> Option<(MaterialId, usize)> {
        self.batches[brew.index()]
    }

    /// The materials that moved at all, in the order of the journal.
    pub fn moved(&self) -> impl Iterator<Item = MaterialId> {
        let all = self.materials.iter().enumerate();
        all.filter(|(_, stock)| !stock.moves.is_empty()).map(|(id, _)| MaterialId::at(id))
    }
}

impl MaterialStock {
    fn new(season: &Season<'_>, material: MaterialId, mut moves: Vec<Move>) -> Self {
        let journal = season.journal;
        let unit = shelf_unit(&moves);
        for one in &mut moves {
            one.value = value(journal, material, one.amount, unit);
        }
        let lots = lots::number(season, material, unit, &mut moves);
        let paid = price::paid(journal, &moves);
        let mut shelf = Shelf::new(unit, &lots);
        let mut counts = Vec::new();
        for at in 0..moves.len() {
            counts.extend(shelf.take(&moves, at));
            moves[at].after = shelf.total();
        }
        Self { unit, moves, lots, counts, paid }
    }

    /// How many of its movements were up to the end of a day.
    pub fn until(&self, day: NaiveDate) -> usize {
        self.moves.partition_point(|one| one.day <= day)
    }

    /// What is there at the end of a day; `None` where that is not known. It may be below nothing.
    pub fn on_hand(&self, day: NaiveDate) -> Option<Amount> {
        let last = self.moves.get(self.until(day).checked_sub(1)?)?;
        let opened = self.opened().is_some_and(|opened| opened <= day);
        Some(Amount::new(last.after.filter(|_| opened)?, self.unit?))
    }

    /// The day from which on what was there can be known: that of the first movement where something came in or was
    /// counted then, and that of the first count where it was used before. `None` where it never can.
    pub fn opened(&self) -> Option<NaiveDate> {
        let first = self.moves.first()?;
        if !first.cause.is_out() {
            return Some(first.day);
        }
        self.moves.iter().find(|one| one.is_whole_count() && one.value.is_some()).map(|one| one.day)
    }

    /// What is there at the end of a day, lot by lot; `None` where no amount is known.
    pub fn by_lot(&self, day: NaiveDate) -> Option<Shelf> {
        self.unit?;
        let mut shelf = Shelf::new(self.unit, &self.lots);
        for at in 0..self.until(day) {
            shelf.take(&self.moves, at);
        }
        Some(shelf)
    }
}

/// An amount of a material as a number of a unit; `None` where it is not known or there is no way across.
fn value(journal: &Journal, material: MaterialId, amount: Option<Amount>, unit: Option<Unit>) -> Option<Exact> {
    like(journal, material, amount?, unit?).map(|amount| amount.value)
}

fn shelf_unit(moves: &[Move]) -> Option<Unit> {
    let on_shelf = moves.iter().filter(|one| !one.cause.is_use()).find_map(|one| one.amount);
    on_shelf.or_else(|| moves.iter().find_map(|one| one.amount)).map(|amount| amount.unit)
}
