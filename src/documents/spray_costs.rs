//! What went into the sprays of a year, at the prices of their days.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use super::book::Book;
use super::quantities::Money;
use super::table::iso_day;
use super::words::{day_short, list};
use crate::quantity::Exact;
use crate::season::cost_of;

/// What the sprays of a year cost.
#[derive(Clone, Debug, Serialize)]
pub struct SprayCosts {
    /// The year.
    pub year: String,
    /// What is known of all of them.
    pub total: Money,
    /// Whether something is not in it.
    pub more: bool,
    /// Each, in the order of time.
    pub sprays: Vec<SprayCost>,
}

/// What one spray cost.
#[derive(Clone, Debug, Serialize)]
pub struct SprayCost {
    /// The day.
    pub day: String,
    /// The same day, for machines.
    pub on: String,
    /// Where.
    pub ground: String,
    /// What is known of it; absent where no price of anything in it is.
    pub cost: Option<Money>,
    /// The materials that are not in it.
    pub without: Option<String>,
}

/// The sprays of the year of a day, up to the day; nothing where no price is known.
pub(super) fn spray_costs(book: &Book<'_>, on: NaiveDate) -> Option<SprayCosts> {
    let journal = book.journal();
    let priced = journal.materials.iter().any(|material| !material.prices.is_empty())
        || journal.receipts.iter().any(|receipt| receipt.paid.is_some());
    if !priced {
        return None;
    }
    let mut total = Exact::ZERO;
    let mut sprays = Vec::new();
    for facts in book.sprays() {
        let spray = facts.spray(journal);
        if spray.at.day > on || spray.at.day.year() != on.year() {
            continue;
        }
        let cost = cost_of(book.season, facts);
        total = total.add(cost.money)?;
        let without: Vec<&str> = cost.without.iter().map(|&id| book.material(id)).collect();
        sprays.push(SprayCost {
            day: day_short(spray.at.day),
            on: iso_day(spray.at.day),
            ground: book.ground(&spray.ground),
            cost: (cost.without.is_empty() || cost.money.is_positive()).then(|| Money::new(book, cost.money)),
            without: (!without.is_empty()).then(|| list(&without)),
        });
    }
    let more = sprays.iter().any(|one| one.without.is_some());
    let year = on.year().to_string();
    (!sprays.is_empty()).then(|| SprayCosts { year, total: Money::new(book, total), more, sprays })
}
