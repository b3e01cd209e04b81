//! Amounts and money as people read them and as programs do.

use serde::Serialize;

use super::book::Book;
use super::table::decimal;
use crate::quantity::{Amount, Exact};

/// An amount.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Quantity {
    /// In both systems, rounded: `3 gal (11.4 L)`.
    pub text: String,
    /// How many of the unit.
    pub number: String,
    /// The unit.
    pub unit: &'static str,
}

/// Money.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Money {
    /// With the farm's currency, to the hundredth: `12.40 USD`.
    pub text: String,
    /// How much.
    pub number: String,
    /// The farm's currency, where it is written.
    pub currency: Option<String>,
}

impl Quantity {
    pub(super) fn new(book: &Book<'_>, amount: Amount) -> Self {
        Self { text: book.amount(amount), number: decimal(amount.value), unit: amount.unit.word() }
    }
}

impl Money {
    pub(super) fn new(book: &Book<'_>, money: Exact) -> Self {
        let currency = book.some_words(book.journal().farm.as_ref().and_then(|farm| farm.currency));
        let hundredths = hundredths(money);
        let text = match &currency {
            Some(currency) => format!("{hundredths} {currency}"),
            None => hundredths,
        };
        Self { text, number: decimal(money), currency }
    }
}

/// A number to the nearest hundredth, with both digits: `12.40`.
fn hundredths(money: Exact) -> String {
    let rounded = money.abs().mul(Exact::int(100)).and_then(|cents| cents.add(Exact::new(1, 2)?));
    let Some(cents) = rounded.map(Exact::floor) else { return money.to_string() };
    let sign = if money.is_negative() && cents > 0 { "-" } else { "" };
    format!("{sign}{}.{:02}", cents / 100, cents % 100)
}
