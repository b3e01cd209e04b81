//! What is left of each lot and batch, for the stock sheet.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::quantities::Quantity;
use super::table::iso_day;
use super::words::day;
use crate::journal::{Brew, PutDose};
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
    /// Whether it is the one that a use without a lot would be taken to be of, and in date.
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
pub(super) fn lot_rows(book: &Book<'_>, stock: &MaterialStock, on: NaiveDate) -> (Vec<LotRow>, usize) {
    let Some((mut shelf, unit)) = stock.shelf(on).zip(stock.unit) else { return (Vec::new(), 0) };
    if !stock.is_opened(on) {
        // The lots can be counted, but how much of each there is hangs on what was there before.
        shelf.lots.iter_mut().for_each(|lot| lot.left = None);
        shelf.loose = None;
    }
    let mut rows = Vec::new();
    let mut used_up = 0;
    let loose = shelf.loose.filter(|loose| !loose.is_zero());
    let lots = || stock.lots.iter().zip(&shelf.lots).enumerate().filter(|(_, (_, left))| left.here || left.is_moved());
    // Without any lot a row of its own says nothing that the material's does not.
    if let (Some(loose), true) = (loose, lots().next().is_some()) {
        rows.push(loose_row(book, Amount::new(loose, unit)));
    }
    let next = if loose.is_some_and(Exact::is_positive) { None } else { shelf.next_lot() };
    for (at, (lot, left)) in lots() {
        if left.left == Some(Exact::ZERO) {
            used_up += 1;
            continue;
        }
        rows.push(LotRow {
            next: left.left.is_some() && next == Some(at) && !is_past(lot, on),
            ..lot_row(book, stock, lot, left, on)
        });
    }
    (rows, used_up)
}

/// What no lot is known of, or what was used beyond all lots.
fn loose_row(book: &Book<'_>, loose: Amount) -> LotRow {
    let below = loose.value.is_negative();
    LotRow {
        name: if below { "more used than all lots held" } else { "of no known lot" }.to_string(),
        since: None,
        came: None,
        used: None,
        discarded: None,
        corrected: None,
        left: Some(Quantity::new(book, loose)),
        below,
        use_by: None,
        use_by_on: None,
        past: false,
        next: !below,
        batch: None,
    }
}

fn lot_row(book: &Book<'_>, stock: &MaterialStock, lot: &Lot, left: &LotLeft, on: NaiveDate) -> LotRow {
    let amount = |value: Exact| stock.unit.map(|unit| Amount::new(value, unit));
    let said = |value: Exact| amount(value).filter(|_| !value.is_zero()).map(show);
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
        past: is_past(lot, on),
        next: false,
        batch: match lot.origin {
            LotOrigin::Batch(brew) => Some(batch_said(book, book.journal().brew(brew), on)),
            LotOrigin::Delivered | LotOrigin::Counted => None,
        },
    }
}

fn is_past(lot: &Lot, on: NaiveDate) -> bool {
    lot.use_by.is_some_and(|use_by| use_by < on)
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
