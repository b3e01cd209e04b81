//! The movements of each material up to the last day to show.

use super::book::Book;
use crate::journal::MaterialId;
use crate::season::{MaterialStock, Move};

/// The movements of every material up to the last day to show. Whatever else is left out of a document stays in: a balance
/// of some blocks, or from some day on, would balance nothing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ledger<'a> {
    book: &'a Book<'a>,
}

impl<'a> Ledger<'a> {
    pub(super) fn new(book: &'a Book<'a>) -> Self {
        Self { book }
    }

    /// The stock of a material, whose movements may go on after the last day to show.
    pub(super) fn stock(&self, material: MaterialId) -> &'a MaterialStock {
        self.book.season.stock().of(material)
    }

    /// The movements of a material, in the order of time.
    pub(super) fn of(&self, material: MaterialId) -> &'a [Move] {
        let stock = self.stock(material);
        let until = self.book.scope.to.map_or(stock.moves.len(), |to| stock.until(to));
        &stock.moves[..until]
    }

    /// The materials that moved at all, in the order of their names.
    pub(super) fn moved(&self) -> Vec<MaterialId> {
        let mut all: Vec<MaterialId> = self.book.season.stock().moved().filter(|&id| !self.of(id).is_empty()).collect();
        all.sort_by_key(|&id| (self.book.material(id), id));
        all
    }
}
