//! What is left of each lot and batch, for the stock sheet.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::quantities::Quantity;
use super::table::iso_day;
use super::words::day;
use crate::journal::{Brew, MaterialId, PutDose};
use crate::quantity::{Amount, Exact, show};
use crate::season::{Lot, LotLeft, LotOrigin, MaterialStock};

/// A lot, a batch, or what no lot is known of.
#[derive(Clone, Debug, Serialize)]
pub struct LotRow {
    /// `lot 7`, `batch whey-3`, `delivery, lot not written`, `of no known lot`.
    pub name: String,
    /// The day it came or was made.
    pub since: Option<String>,
    /// What came in or was made.
    pub came: Option<String>,
    /// What was used.
    pub used: Option<String>,
    /// What was thrown out.
    pub discarded: Option<String>,
    /// By how much counts corrected it: `+1 lb`.
    pub corrected: Option<String>,
    /// What should be left; absent where that is not known.
    pub left: Option<Quantity>,
    /// Whether more was used than there was.
    pub below: bool,
    /// The last day it may be used.
    pub use_by: Option<String>,
    /// The same day, for machines.
    pub use_by_on: Option<String>,
    /// Whether that day is past.
    pub past: bool,
    /// Whether it is the one that a use without a lot is taken to be of.
    pub next: bool,
    /// What else is known of a batch.
    pub batch: Option<BatchSaid>,
}

/// What is known of a home-made batch.
#[derive(Clone, Debug, Serialize)]
pub struct BatchSaid {
    /// The first day it may be used.
    pub ready: Option<String>,
    /// Whether that day is still to come.
    pub not_yet: bool,
    /// Its pH.
    pub ph: Option<String>,
    /// What went in, as `Whole milk 4 gal`.
    pub inputs: Vec<String>,
}

/// The rows of the lots of a material that still count, the oldest first, and how many are used up.
pub(super) fn lot_rows(book: &Book<'_>, id: MaterialId, stock: &MaterialStock, on: NaiveDate) -> (Vec<LotRow>, usize) {
    let Some((shelf, unit)) = stock.by_lot(on).zip(stock.unit) else { return (Vec::new(), 0) };
    let mut rows = Vec::new();
    let mut used_up = 0;
    let loose = shelf.loose.filter(|loose| !loose.is_zero());
    // Without any lot a row of its own says nothing that the material's does not.
    if let (Some(loose), true) =
        (loose, shelf.lots.iter().any(|lot| lot.here) || shelf.loose.is_some_and(Exact::is_negative))
    {
        rows.push(LotRow {
            name: if loose.is_negative() { "more used than all lots held" } else { "of no known lot" }.to_string(),
            since: None,
            came: None,
            used: None,
            discarded: None,
            corrected: None,
            left: Some(Quantity::new(book, Amount::new(loose, unit))),
            below: loose.is_negative(),
            use_by: None,
            use_by_on: None,
            past: false,
            next: loose.is_positive(),
            batch: None,
        });
    }
    let next = if loose.is_some_and(Exact::is_positive) { None } else { shelf.next_lot() };
    let moved = |left: &LotLeft| left.here || left.left != Some(Exact::ZERO);
    for (at, (lot, left)) in stock.lots.iter().zip(&shelf.lots).enumerate().filter(|(_, (_, left))| moved(left)) {
        if left.left == Some(Exact::ZERO) {
            used_up += 1;
            continue;
        }
        rows.push(LotRow { next: next == Some(at), ..lot_row(book, id, stock, lot, left, on) });
    }
    (rows, used_up)
}

fn lot_row(
    book: &Book<'_>,
    _id: MaterialId,
    stock: &MaterialStock,
    lot: &Lot,
    left: &LotLeft,
    on: NaiveDate,
) -> LotRow {
    let amount = |value: Exact| stock.unit.map(|unit| Amount::new(value, unit));
    let said = |value: Exact| amount(value).filter(|_| !value.is_zero()).map(show);
    let past = lot.use_by.is_some_and(|use_by| use_by < on);
    LotRow {
        name: lot_name(book, lot),
        since: Some(day(lot.since)),
        came: if left.gaps && left.came.is_zero() { None } else { amount(left.came).map(show) },
        used: said(left.used),
        discarded: said(left.discarded),
        corrected: said(left.corrected)
            .map(|words| if left.corrected.is_positive() { format!("+{words}") } else { words }),
        left: left.left.and_then(amount).map(|amount| Quantity::new(book, amount)),
        below: left.left.is_some_and(Exact::is_negative),
        use_by: lot.use_by.map(day),
        use_by_on: lot.use_by.map(iso_day),
        past,
        next: false,
        batch: match lot.origin {
            LotOrigin::Batch(brew) => Some(batch_said(book, book.journal().brew(brew), on)),
            LotOrigin::Delivered | LotOrigin::Counted => None,
        },
    }
}

/// `lot 7`, `batch whey-3`.
pub(super) fn lot_name(book: &Book<'_>, lot: &Lot) -> String {
    match (lot.origin, book.some_words(lot.words)) {
        (LotOrigin::Batch(brew), _) => format!("batch {}", book.journal().brew(brew).named.shown()),
        (_, Some(words)) => format!("lot {words}"),
        (_, None) => "delivery, lot not written".to_string(),
    }
}

fn batch_said(book: &Book<'_>, brew: &Brew, on: NaiveDate) -> BatchSaid {
    BatchSaid {
        ready: brew.ready.map(|ready| day(ready.value)),
        not_yet: brew.ready.is_some_and(|ready| ready.value > on),
        ph: brew.ph.map(|ph| ph.value.to_string()),
        inputs: batch_inputs(book, brew),
    }
}

/// What went into a batch, as `Whole milk 4 gal`.
pub(super) fn batch_inputs(book: &Book<'_>, brew: &Brew) -> Vec<String> {
    let one = |put: &crate::journal::Put| {
        let name = put.material.id.map_or_else(|| book.words(put.material.span), |id| book.material(id).to_string());
        let amount = put.dose.map(|dose| match dose {
            PutDose::Amount(amount) => format!(" {}", show(amount)),
            PutDose::Rate(rate) => format!(" {}", rate.show()),
        });
        let lot = book.some_words(put.lot).map(|lot| format!(", lot {lot}"));
        format!("{name}{}{}", amount.unwrap_or_default(), lot.unwrap_or_default())
    };
    brew.puts.iter().map(one).collect()
}
