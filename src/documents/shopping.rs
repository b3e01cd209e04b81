//! What planned rounds take and what is to be bought, in both units.

use serde::Serialize;

use super::book::Book;
use super::words::{count, day_short, list};
use crate::journal::MaterialId;
use crate::plan::{Cost, Need, Plan, State};
use crate::quantity::{Amount, Exact};

/// What is to be bought.
#[derive(Clone, Debug, Serialize)]
pub struct ShoppingView {
    /// By material.
    pub needs: Vec<NeedView>,
    /// What it costs, and what that leaves out.
    pub cost: Vec<String>,
    /// What could not be counted.
    pub left_out: Vec<String>,
    /// The farm's currency, as written.
    pub currency: Option<String>,
    /// What it costs to buy for the fewest rounds: a number in the currency.
    pub cost_fewest: Option<String>,
    /// What it costs to buy for the most rounds.
    pub cost_most: Option<String>,
}

/// How much of a material is needed.
#[derive(Clone, Debug, Serialize)]
pub struct NeedView {
    /// The material.
    pub material: String,
    /// What the rounds take: the fewest, and the most where that is more.
    pub needed: String,
    /// What is on the shelf.
    pub on_hand: Option<String>,
    /// What is to be bought.
    pub buy: Option<String>,
    /// By when.
    pub by: Option<String>,
    /// The same day, for machines.
    pub by_iso: Option<String>,
    /// The price, by its entry or by the bill of the latest delivery.
    pub price: Option<String>,
    /// What it costs.
    pub cost: Option<String>,
    /// In how many rounds its amount is not known.
    pub unknown: usize,
}

pub(super) fn shopping_view(book: &Book<'_>, plan: &Plan) -> ShoppingView {
    let shopping = &plan.shopping;
    let currency = book.journal().farm.as_ref().and_then(|farm| book.some_words(farm.currency));
    let money = |money: Exact| money_words(money, currency.as_deref());
    let without = plan.lines.iter().filter(|line| match line.state {
        State::NotBegun(_) => line.undated_volume.is_none(),
        _ => line.rounds.iter().any(|round| round.volume.is_none()),
    });
    let left_out = without.map(|line| {
        let program = book.journal().program(line.program).named.shown();
        format!(
            "How much spray {program} takes on {} is not known, and nothing of it is counted. Say it in the program, as `volume 60 gal` or `volume 75 gal per acre`.",
            book.block(line.block)
        )
    });
    let left_out = left_out.collect();
    ShoppingView {
        needs: shopping.needs.iter().map(|need| need_view(book, need, currency.as_deref())).collect(),
        cost: cost_words(book, &shopping.fewest, &shopping.most, &money),
        left_out,
        cost_fewest: shopping.fewest.money.map(|money| money.decimal(2)),
        cost_most: shopping.most.money.map(|money| money.decimal(2)),
        currency,
    }
}

/// `38.50 USD`; a number alone where the farm names no currency.
pub(super) fn money_words(money: Exact, currency: Option<&str>) -> String {
    let number = cents(money);
    match currency {
        Some(currency) => format!("{number} {currency}"),
        None => number,
    }
}

/// A sum of money to the hundredth, both digits written.
fn cents(money: Exact) -> String {
    let shown = money.decimal(2);
    match shown.split_once('.') {
        None => format!("{shown}.00"),
        Some((_, decimals)) if decimals.len() == 1 => format!("{shown}0"),
        Some(_) => shown,
    }
}

fn need_view(book: &Book<'_>, need: &Need, currency: Option<&str>) -> NeedView {
    let said = |amount: Amount| book.amount(book.in_own_unit(need.material, amount));
    let range = |fewest: Option<Amount>, most: Option<Amount>| match (fewest, most) {
        (Some(fewest), Some(most)) if fewest.compare(most).is_some_and(std::cmp::Ordering::is_ne) => {
            Some(format!("{}, or {} for all rounds", said(fewest), said(most)))
        }
        (None, Some(most)) if need.fewest.is_none() => Some(format!("none, or {} for all rounds", said(most))),
        (None, Some(most)) => Some(format!("nothing, or {} for all rounds", said(most))),
        (_, most) => most.map(said),
    };
    let costs = match (need.cost_fewest, need.cost_most) {
        (Some(fewest), Some(most)) if fewest != most => {
            Some(format!("{} to {}", cents(fewest), money_words(most, currency)))
        }
        (_, most) => most.map(|most| money_words(most, currency)),
    };
    NeedView {
        material: book.material(need.material).to_string(),
        needed: range(need.fewest, need.most).unwrap_or_else(|| "not known".to_string()),
        on_hand: need.on_hand.map(said),
        buy: range(need.buy_fewest, need.buy_most),
        by: need.by.map(day_short),
        by_iso: need.by.map(|day| day.to_string()),
        price: need.price.map(|price| format!("{} per {}", money_words(price.money, currency), price.per)),
        cost: costs,
        unknown: need.unknown,
    }
}

fn cost_words(book: &Book<'_>, fewest: &Cost, most: &Cost, money: &dyn Fn(Exact) -> String) -> Vec<String> {
    let mut lines = Vec::new();
    match (fewest.money, most.money) {
        (Some(least), Some(all)) if least != all => {
            lines.push(format!("{} for the fewest rounds, {} for all of them", money(least), money(all)));
        }
        (None, Some(all)) => lines.push(format!("{} for all rounds", money(all))),
        (_, Some(all)) => lines.push(money(all)),
        (_, None) => {}
    }
    if !most.without_price.is_empty() {
        let names: Vec<&str> = most.without_price.iter().map(|&id: &MaterialId| book.material(id)).collect();
        lines.push(format!(
            "without {}: no `price` is written for {}",
            count(names.len(), "material", "materials"),
            list(&names)
        ));
    }
    lines
}
