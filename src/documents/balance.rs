//! The mass balance of each material: what came in less what went out, against what stands on the shelf.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::ledger::Ledger;
use super::words::{count, day, list};
use crate::journal::MaterialId;
use crate::quantity::{Amount, Exact, Unit, show, show_apart};
use crate::season::{Cause, MaterialStock, Move, like};

/// A material over a stretch of time: from the first entry or a count to the next count, or to the last entry.
#[derive(Clone, Debug, Serialize)]
pub struct Balance {
    /// The material.
    pub material: String,
    /// From when to when.
    pub stretch: String,
    /// What was there by the count before; absent where none is recorded.
    pub opening: Option<String>,
    /// What was delivered.
    pub received: String,
    /// What was made on the farm.
    pub made: String,
    /// What was sprayed.
    pub sprayed: String,
    /// What went into batches.
    pub brewed: String,
    /// What was discarded.
    pub discarded: String,
    /// What should be on the shelf; absent where an amount is missing.
    pub expected: Option<String>,
    /// What was counted; absent where the stretch ends without a count.
    pub counted: Option<String>,
    /// By how much the count is over or under, with its share of what was there and came in.
    pub difference: Option<String>,
    /// What could not be added, and what the numbers cannot be.
    pub remarks: Vec<String>,
}

/// A sum that remembers what it could not add.
#[derive(Clone, Copy)]
struct Total {
    sum: Exact,
    missing: usize,
}

impl Default for Total {
    fn default() -> Self {
        Self { sum: Exact::ZERO, missing: 0 }
    }
}

impl Total {
    fn take(&mut self, amount: Option<Exact>) {
        match amount.and_then(|amount| self.sum.add(amount)) {
            Some(sum) => self.sum = sum,
            None => self.missing += 1,
        }
    }
}

/// The sums of a stretch.
#[derive(Clone, Copy, Default)]
struct Totals {
    received: Total,
    made: Total,
    sprayed: Total,
    brewed: Total,
    discarded: Total,
}

impl Totals {
    fn of(&mut self, cause: Cause) -> Option<&mut Total> {
        match cause {
            Cause::Received(_) => Some(&mut self.received),
            Cause::Made(_) => Some(&mut self.made),
            Cause::Sprayed(_) => Some(&mut self.sprayed),
            Cause::Brewed(_) => Some(&mut self.brewed),
            Cause::Discarded(_) => Some(&mut self.discarded),
            Cause::Counted(_) => None,
        }
    }

    /// Every sum with the words for what it could not add, one and many.
    fn each(&self) -> [(Total, &'static str, &'static str); 5] {
        [
            (self.received, "delivery", "deliveries"),
            (self.made, "batch made", "batches made"),
            (self.sprayed, "use in a spray", "uses in sprays"),
            (self.brewed, "use in a batch", "uses in batches"),
            (self.discarded, "discard", "discards"),
        ]
    }

    fn came_in(&self, opening: Exact) -> Option<Exact> {
        opening.add(self.received.sum)?.add(self.made.sum)
    }
}

/// The balance of every material that moved, in the order of names and then of time.
pub(super) fn balances(book: &Book<'_>, ledger: &Ledger<'_>) -> Vec<Balance> {
    let shown = ledger.moved().into_iter().filter(|&id| book.scope.has_material(id));
    shown.flat_map(|id| of_material(book, id, ledger.stock(id), ledger.of(id))).collect()
}

fn of_material(book: &Book<'_>, id: MaterialId, stock: &MaterialStock, moves: &[Move]) -> Vec<Balance> {
    let Some(unit) = shelf_unit(book, id, moves) else { return vec![unknown(book, id, moves)] };
    let mut balances = Vec::new();
    let mut opening: Option<(NaiveDate, Option<Exact>)> = None;
    let mut counts = stock.counts.iter().peekable();
    let mut seen = 0;
    // A stretch ends with each count of the whole shelf; what comes after the last one is a stretch without a count.
    for stretch in moves.split_inclusive(Move::is_whole_count) {
        seen += stretch.len();
        let counted = stretch.last().filter(|one| one.is_whole_count());
        let value = |one: &Move| like(book.journal(), id, one.amount?, unit).map(|amount| amount.value);
        let mut totals = Totals::default();
        for one in stretch {
            if let Some(total) = totals.of(one.cause) {
                total.take(value(one));
            }
        }
        // The stock's own numbers, in the unit that is printed.
        let printed = |value: Exact| like(book.journal(), id, Amount::new(value, stock.unit?), unit);
        let mut expected = stretch.last().and_then(|last| last.after);
        let mut corrected = Exact::ZERO;
        while let Some(count) = counts.next_if(|count| count.at < seen) {
            match count.lot {
                None => expected = count.expected,
                Some(_) => {
                    let off = count.expected.zip(count.counted).and_then(|(was, is)| is.sub(was));
                    corrected = off.and_then(|off| corrected.add(off)).unwrap_or(corrected);
                }
            }
        }
        let derived = Derived { expected: expected.and_then(printed), corrected: printed(corrected) };
        let closing = counted.map(|one| (one.day, value(one)));
        balances.push(balance(book, id, unit, opening, stretch, &totals, derived, closing));
        opening = closing;
    }
    balances
}

/// What the stock says of a stretch, in the unit that is printed.
struct Derived {
    /// What should be there at its end.
    expected: Option<Amount>,
    /// By how much counts of single lots changed it.
    corrected: Option<Amount>,
}

/// The unit that a material is counted in on the shelf: that of its first delivery, batch or count, which is what
/// invoices and jugs say, or else the first unit it is used in.
fn shelf_unit(book: &Book<'_>, id: MaterialId, moves: &[Move]) -> Option<Unit> {
    let on_shelf = moves.iter().filter(|one| !one.cause.is_use()).find_map(|one| one.amount);
    let used = || moves.iter().find_map(|one| one.amount).map(|amount| book.in_own_unit(id, amount));
    on_shelf.or_else(used).map(|amount| amount.unit)
}

#[expect(clippy::too_many_arguments, reason = "a stretch's facts, once each")]
fn balance(
    book: &Book<'_>,
    id: MaterialId,
    unit: Unit,
    opening: Option<(NaiveDate, Option<Exact>)>,
    stretch: &[Move],
    totals: &Totals,
    derived: Derived,
    closing: Option<(NaiveDate, Option<Exact>)>,
) -> Balance {
    let said = |value: Exact| show(Amount::new(value, unit));
    let mut remarks = left_out(totals);
    let opened = match opening {
        Some((on, None)) => {
            remarks.push(format!("the count of {} has no amount that can be used", day(on)));
            None
        }
        Some((_, known)) => known,
        None => Some(Exact::ZERO),
    };
    if let Some(corrected) = derived.corrected.filter(|corrected| !corrected.value.is_zero()) {
        let word = if corrected.value.is_negative() { "less" } else { "more" };
        let off = show(Amount::new(corrected.value.abs(), corrected.unit));
        remarks.push(format!("counts of single lots made it {off} {word}"));
    }
    let expected = derived.expected.map(|amount| amount.value);
    if opening.is_none() && expected.is_some_and(Exact::is_negative) {
        remarks
            .push("more went out than came in: there was some before the first entry, or a delivery is missing".into());
    }
    let counted = closing.and_then(|(_, counted)| counted);
    let both = expected.zip(counted);
    let difference =
        both.and_then(|(expected, counted)| Some(difference(unit, expected, counted, totals.came_in(opened?)?)));
    // Where they differ they never print alike.
    let apart = both.map(|(one, other)| show_apart(Amount::new(one, unit), Amount::new(other, unit)));
    let (expected, counted) = match apart {
        Some((expected, counted)) => (Some(expected), Some(counted)),
        None => (expected.map(said), counted.map(said)),
    };
    Balance {
        material: book.material(id).to_string(),
        stretch: stretch_words(opening.map(|(on, _)| on), stretch, closing.map(|(on, _)| on)),
        opening: opening.and_then(|(_, known)| known).map(said),
        received: said(totals.received.sum),
        made: said(totals.made.sum),
        sprayed: said(totals.sprayed.sum),
        brewed: said(totals.brewed.sum),
        discarded: said(totals.discarded.sum),
        expected,
        counted,
        difference,
        remarks,
    }
}

/// `2 lb less (4 %)`: of what was there and came in.
pub(super) fn difference(unit: Unit, expected: Exact, counted: Exact, came_in: Exact) -> String {
    if expected == counted {
        return "none".to_string();
    }
    let word = if counted < expected { "less" } else { "more" };
    let Some(off) = counted.sub(expected).map(Exact::abs) else { return word.to_string() };
    let off_by = show(Amount::new(off, unit));
    let share = off.div(came_in).and_then(|share| share.mul(Exact::int(100))).filter(|share| share.is_positive());
    match share {
        Some(share) => format!("{off_by} {word} ({} %)", share.figures(2)),
        None => format!("{off_by} {word}"),
    }
}

fn stretch_words(opening: Option<NaiveDate>, stretch: &[Move], closing: Option<NaiveDate>) -> String {
    let first = stretch.first().map(|one| one.day).unwrap_or_default();
    let last = stretch.last().map(|one| one.day).unwrap_or_default();
    match (opening, closing) {
        (None, Some(to)) => format!("first entry {} to the count of {}", day(first), day(to)),
        (Some(from), Some(to)) => format!("count of {} to the count of {}", day(from), day(to)),
        (Some(from), None) => format!("since the count of {}, last entry {}", day(from), day(last)),
        (None, None) => format!("first entry {}, last {}", day(first), day(last)),
    }
}

fn left_out(totals: &Totals) -> Vec<String> {
    let parts: Vec<String> = totals
        .each()
        .into_iter()
        .filter(|(total, ..)| total.missing > 0)
        .map(|(total, one, many)| count(total.missing, one, many))
        .collect();
    if parts.is_empty() {
        return Vec::new();
    }
    vec![format!("without {}, whose amount is not known or in no unit that can be added", list(&parts))]
}

/// A material of which no amount at all is known.
fn unknown(book: &Book<'_>, id: MaterialId, moves: &[Move]) -> Balance {
    let nothing = || "not known".to_string();
    let mut totals = Totals::default();
    for one in moves {
        if let Some(total) = totals.of(one.cause) {
            total.take(None);
        }
    }
    Balance {
        material: book.material(id).to_string(),
        stretch: stretch_words(None, moves, None),
        opening: None,
        received: nothing(),
        made: nothing(),
        sprayed: nothing(),
        brewed: nothing(),
        discarded: nothing(),
        expected: None,
        counted: None,
        difference: None,
        remarks: left_out(&totals),
    }
}
