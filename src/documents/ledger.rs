//! What came into the shed and what left it, material by material, in the order of time.

use chrono::NaiveDate;

use super::book::Book;
use crate::journal::{Brew, MaterialId, PutDose, Receipt};
use crate::quantity::Amount;
use crate::season::SprayFacts;

/// What moved a material.
#[derive(Clone, Copy, Debug)]
pub(super) enum Cause<'a> {
    /// It was delivered.
    Received(&'a Receipt),
    /// A batch of it was made.
    Made(&'a Brew),
    /// It went into a tank.
    Sprayed(&'a SprayFacts),
    /// It went into a batch of something else.
    Brewed,
    /// It left the shed unused.
    Discarded,
    /// The shelf was counted.
    Counted,
}

impl Cause<'_> {
    /// On one day what came in stands before what went out, and the shelf is counted after both.
    fn order(self) -> u8 {
        match self {
            Cause::Received(_) | Cause::Made(_) => 0,
            Cause::Sprayed(_) | Cause::Brewed | Cause::Discarded => 1,
            Cause::Counted => 2,
        }
    }

    /// Whether it uses the material up.
    pub(super) fn is_use(self) -> bool {
        matches!(self, Cause::Sprayed(_) | Cause::Brewed)
    }
}

/// One movement.
#[derive(Clone, Copy, Debug)]
pub(super) struct Move<'a> {
    /// The day.
    pub day: NaiveDate,
    /// What it was.
    pub cause: Cause<'a>,
    /// How much; `None` where it is not known.
    pub amount: Option<Amount>,
    /// Where its entry stands, for the order of what happened on one day.
    entry: u32,
}

/// The movements of every material.
#[derive(Debug)]
pub(super) struct Ledger<'a> {
    moves: Vec<Vec<Move<'a>>>,
}

impl<'a> Ledger<'a> {
    /// The ledger of a journal up to the last day to show. Whatever else is left out of a document stays in: a balance of
    /// some blocks, or from some day on, would balance nothing.
    pub(super) fn new(book: &Book<'a>) -> Self {
        let journal = book.journal();
        let mut moves: Vec<Vec<Move<'a>>> = vec![Vec::new(); journal.materials.len()];
        let mut add = |material: Option<MaterialId>, day: NaiveDate, entry, cause, amount: Option<Amount>| {
            let Some(id) = material.filter(|_| book.scope.to.is_none_or(|to| day <= to)) else { return };
            let amount = amount.and_then(|amount| amount.settle(journal.material(id).form()).ok());
            moves[id.index()].push(Move { day, cause, amount, entry });
        };
        for one in &journal.receipts {
            let amount = one.amount.map(|amount| amount.value);
            add(one.material.id, one.at.day, one.at.entry.start, Cause::Received(one), amount);
        }
        for one in &journal.brews {
            let (day, entry) = (one.at.day, one.at.entry.start);
            let made = one.amount.map(|amount| amount.value);
            add(one.material.and_then(|made| made.id), day, entry, Cause::Made(one), made);
            for put in &one.puts {
                let amount = match put.dose {
                    Some(PutDose::Amount(amount)) => Some(amount),
                    // A rate says how much only where the batch's own volume is what it is for; that is not guessed.
                    Some(PutDose::Rate(_)) | None => None,
                };
                add(put.material.id, day, entry, Cause::Brewed, amount);
            }
        }
        for facts in &book.season.sprays {
            let spray = facts.spray(journal);
            for dose in &facts.doses {
                add(Some(dose.material), spray.at.day, spray.at.entry.start, Cause::Sprayed(facts), dose.amount());
            }
        }
        for one in &journal.discards {
            let amount = one.amount.map(|amount| amount.value);
            add(one.material.id, one.at.day, one.at.entry.start, Cause::Discarded, amount);
        }
        for one in &journal.counts {
            let amount = one.amount.map(|amount| amount.value);
            add(one.material.id, one.at.day, one.at.entry.start, Cause::Counted, amount);
        }
        for moves in &mut moves {
            moves.sort_by_key(|one| (one.day, one.cause.order(), one.entry));
        }
        Self { moves }
    }

    /// The movements of a material, in the order of time.
    pub(super) fn of(&self, material: MaterialId) -> &[Move<'a>] {
        &self.moves[material.index()]
    }

    /// The materials that moved at all, in the order of their names.
    pub(super) fn moved(&self, book: &Book<'_>) -> Vec<MaterialId> {
        let all = (0..self.moves.len()).filter(|&id| !self.moves[id].is_empty());
        let mut all: Vec<MaterialId> = all.map(MaterialId::at).collect();
        all.sort_by_key(|&id| (book.material(id), id));
        all
    }
}
