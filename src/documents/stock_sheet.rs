//! The stock sheet: what should be on the shelf, lot by lot, with room to write what is.

use chrono::NaiveDate;
use serde::Serialize;

use super::assumed;
use super::balance::difference;
use super::book::Book;
use super::cautions::cautions;
use super::head::Head;
use super::quantities::{Money, Quantity};
use super::stock_rows::{LotRow, lot_rows};
use super::table::iso_day;
use super::words::{count, day, list};
use crate::journal::MaterialId;
use crate::quantity::{Amount, Exact, show_apart};
use crate::season::{Cause, MaterialStock, Move, price, worth};

/// The stock sheet.
#[derive(Clone, Debug, Serialize)]
pub struct StockSheet {
    /// What stands at the top and the foot.
    pub head: Head,
    /// How things stand, in a line.
    pub opening: String,
    /// The day at whose end it is so.
    pub day: String,
    /// The same day, for machines.
    pub on: String,
    /// What all of it is worth, as far as prices are known; absent where none is.
    pub worth: Option<Money>,
    /// The materials of which something is there but no price is known.
    pub without_price: Option<String>,
    /// Whether a plan was worked out, so that its columns are filled.
    pub planned: bool,
    /// The materials.
    pub materials: Vec<StockRow>,
    /// What is there, for those who fight a fire or mend a flood.
    pub emergency: Vec<InStore>,
    /// What is taken as so.
    pub assumed: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// One material.
#[derive(Clone, Debug, Serialize)]
pub struct StockRow {
    /// By its title or name.
    pub material: String,
    /// By its name in the journal.
    pub name: String,
    /// What should be there; absent where that is not known.
    pub on_hand: Option<Quantity>,
    /// Whether more was used than there was.
    pub below: bool,
    /// Why it is not known.
    pub unknown: Option<String>,
    /// Its lots and batches that still count, the oldest first.
    pub lots: Vec<LotRow>,
    /// How many lots are used up and not shown.
    pub used_up: usize,
    /// What the last count found against what should have been there.
    pub last_count: Option<CountSaid>,
    /// The price, as `0.62 USD per lb`.
    pub price: Option<String>,
    /// What is there is worth.
    pub worth: Option<Money>,
    /// What the plan still takes; absent where no plan is worked out.
    pub planned: Option<String>,
    /// When it runs out by the plan.
    pub runs_out: Option<String>,
}

/// A count against what should have been there.
#[derive(Clone, Debug, Serialize)]
pub struct CountSaid {
    /// The day.
    pub day: String,
    /// The same day, for machines.
    pub on: String,
    /// What was counted.
    pub counted: Option<String>,
    /// What should have been there.
    pub expected: Option<String>,
    /// By how much they differ: `0.5 lb less (5 %)`.
    pub difference: Option<String>,
}

/// What stands in the store, for an emergency.
#[derive(Clone, Debug, Serialize)]
pub struct InStore {
    /// What.
    pub material: String,
    /// How much.
    pub amount: String,
    /// Dry or liquid.
    pub form: Option<&'static str>,
    /// Its active ingredients.
    pub actives: Option<String>,
    /// Its registration number.
    pub registration: Option<String>,
    /// Where the safety data sheet is filed.
    pub sds: Option<String>,
}

/// The stock sheet of a book, at the end of the last day to show.
pub fn stock_sheet(book: &Book<'_>) -> StockSheet {
    let on = last_day(book);
    let stock = book.season.stock();
    let mut shown: Vec<MaterialId> =
        stock.moved().filter(|&id| book.scope.has_material(id) && stock.of(id).until(on) > 0).collect();
    shown.sort_by_key(|&id| (book.material(id), id));
    let materials: Vec<StockRow> = shown.iter().map(|&id| row(book, id, stock.of(id), on)).collect();
    let priced = || {
        shown.iter().filter_map(|&id| Some((id, stock.on_hand(id, on).filter(|amount| amount.value.is_positive())?)))
    };
    let worths: Vec<Option<Exact>> = priced().map(|(id, amount)| worth(book.season, id, amount, on)).collect();
    let whole = worths.iter().flatten().try_fold(Exact::ZERO, |sum, worth| sum.add(*worth));
    let any = worths.iter().any(Option::is_some);
    let without: Vec<&str> =
        priced().zip(&worths).filter(|(_, worth)| worth.is_none()).map(|((id, _), _)| book.material(id)).collect();
    StockSheet {
        head: Head::new(book),
        opening: opening(&materials),
        day: day(on),
        on: iso_day(on),
        worth: whole.filter(|_| any).map(|money| Money::new(book, money)),
        planned: materials.iter().any(|row| row.planned.is_some() || row.runs_out.is_some()),
        without_price: (any && !without.is_empty()).then(|| list(&without)),
        emergency: shown.iter().filter_map(|&id| in_store(book, id, on)).collect(),
        materials,
        assumed: assumed::of_stock(book),
        cautions: cautions(book),
    }
}

/// The last day to show: as asked, or today, or the journal's last day.
pub(super) fn last_day(book: &Book<'_>) -> NaiveDate {
    let last = || book.journal().days.iter().map(|day| day.at.day).max().unwrap_or_default();
    book.scope.to.or(book.season.as_of).unwrap_or_else(last)
}

fn opening(materials: &[StockRow]) -> String {
    if materials.is_empty() {
        return "Nothing came in, and nothing was used".to_string();
    }
    let below = materials.iter().filter(|row| row.below).count();
    let unknown = materials.iter().filter(|row| row.on_hand.is_none()).count();
    let past: usize = materials.iter().flat_map(|row| &row.lots).filter(|lot| lot.past).count();
    let mut parts = vec![count(materials.len(), "material", "materials")];
    for (number, words) in [(below, "below nothing"), (unknown, "not known")] {
        if number > 0 {
            parts.push(format!("{number} {words}"));
        }
    }
    if past > 0 {
        parts.push(format!("{} past the use-by", count(past, "lot", "lots")));
    }
    parts.join(", ")
}

fn row(book: &Book<'_>, id: MaterialId, stock: &MaterialStock, on: NaiveDate) -> StockRow {
    let on_hand = stock.on_hand(on);
    let (lots, used_up) = lot_rows(book, id, stock, on);
    let cost = price(book.season, id, on);
    let positive = on_hand.filter(|amount| amount.value.is_positive());
    StockRow {
        material: book.material(id).to_string(),
        name: book.journal().material(id).named.name.to_string(),
        on_hand: on_hand.map(|amount| Quantity::new(book, amount)),
        below: on_hand.is_some_and(|amount| amount.value.is_negative()),
        unknown: on_hand.is_none().then(|| why_unknown(book, stock, on)),
        lots,
        used_up,
        last_count: last_count(book, stock, on),
        price: cost.map(|cost| {
            let per =
                if cost.per.value == Exact::ONE { cost.per.unit.word().to_string() } else { cost.per.to_string() };
            format!("{} per {per}", Money::new(book, cost.money).text)
        }),
        worth: positive.and_then(|amount| worth(book.season, id, amount, on)).map(|money| Money::new(book, money)),
        planned: None,
        runs_out: None,
    }
}

/// `Not known from 14 May 2026 on: how much of it went into the spray is not written, or cannot be added (2026.spray line 30)`.
fn why_unknown(book: &Book<'_>, stock: &MaterialStock, on: NaiveDate) -> String {
    let until = stock.until(on);
    let opened = stock.opened().is_some_and(|opened| opened <= on);
    let lost = stock.by_lot(on).and_then(|shelf| shelf.lost_at);
    match (opened, lost.or_else(|| stock.moves[..until].iter().position(|one| one.value.is_none()))) {
        (true, Some(at)) => {
            let one = &stock.moves[at];
            let what = if one.amount.is_none() {
                "its amount is not known"
            } else {
                "its amount cannot be counted with the others: a density or a spoon weight is missing"
            };
            format!("Not known from {} on: {}, {what} ({})", day(one.day), deed(one), book.place(one.line))
        }
        (true, None) => "Not known: the sum is too long to be worked out".to_string(),
        (false, _) => {
            let used = stock.moves.first().map(|one| format!("used on {}", day(one.day))).unwrap_or_default();
            format!("Not known: {used} before any of it came in or was counted. A count on the shelf mends it")
        }
    }
}

fn deed(one: &Move) -> &'static str {
    match one.cause {
        Cause::Received(_) => "a delivery",
        Cause::Made(_) => "a batch made",
        Cause::Sprayed(_) => "a spray",
        Cause::Brewed(_) => "a batch that it went into",
        Cause::Discarded(_) => "something thrown out",
        Cause::Counted(_) => "a count",
    }
}

fn last_count(book: &Book<'_>, stock: &MaterialStock, on: NaiveDate) -> Option<CountSaid> {
    let until = stock.until(on);
    let last = stock.counts.iter().rev().find(|count| count.at < until && count.lot.is_none())?;
    let unit = stock.unit?;
    let amount = |value: Exact| Amount::new(value, unit);
    let expected = last.expected.filter(|_| !last.from_nothing);
    // Where they differ they never print alike.
    let (counted, expected_said) = match last.counted.zip(expected) {
        Some((counted, expected)) => {
            let (counted, expected) = show_apart(amount(counted), amount(expected));
            (Some(counted), Some(expected))
        }
        None => (last.counted.map(|value| book.amount(amount(value))), None),
    };
    let off = last.counted.zip(expected).zip(last.came_in);
    let when = stock.moves[last.at].day;
    Some(CountSaid {
        day: day(when),
        on: iso_day(when),
        counted,
        expected: expected_said,
        difference: off.map(|((counted, expected), came_in)| difference(unit, expected, counted, came_in)),
    })
}

fn in_store(book: &Book<'_>, id: MaterialId, on: NaiveDate) -> Option<InStore> {
    let stock = book.season.stock().of(id);
    let on_hand = stock.on_hand(on);
    if on_hand.is_some_and(|amount| !amount.value.is_positive()) {
        return None;
    }
    let material = book.journal().material(id);
    Some(InStore {
        material: book.material(id).to_string(),
        amount: on_hand.map_or_else(|| "not known".to_string(), |amount| book.amount(amount)),
        form: material.form().map(|form| match form {
            crate::quantity::Form::Dry => "dry",
            crate::quantity::Form::Liquid => "liquid",
        }),
        actives: super::element_values::actives(material),
        registration: book.some_words(material.registration),
        sds: book.some_words(material.sds),
    })
}
