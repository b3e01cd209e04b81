//! What materials cost: by the price that is written, or else by the latest delivery whose bill is.

use chrono::NaiveDate;

use super::moves::{Cause, Move};
use crate::journal::{Journal, MaterialId, Price, in_force};
use crate::quantity::{Amount, Exact};
use crate::season::{Season, SprayFacts, like};

/// A delivery with what was paid for it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Paid {
    day: NaiveDate,
    price: Price,
}

/// What something cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cost {
    /// What is known of it, in the farm's currency.
    pub money: Exact,
    /// The materials whose price or amount is not known, and which are not in it.
    pub without: Vec<MaterialId>,
}

/// The deliveries of a material with their bills, in the order of time.
pub(super) fn paid(journal: &Journal, moves: &[Move]) -> Vec<Paid> {
    let bill = |one: &Move| {
        let Cause::Received(receipt) = one.cause else { return None };
        let money = journal.receipts[receipt].paid?.value;
        let per = one.amount.filter(|amount| amount.value.is_positive())?;
        Some(Paid { day: one.day, price: Price { money, per } })
    };
    moves.iter().filter_map(bill).collect()
}

/// The price of a material on a day: the one that is written for the day, or else what the latest delivery up to the day
/// cost. `None` where neither is written.
pub fn price(season: &Season<'_>, material: MaterialId, day: NaiveDate) -> Option<Price> {
    if let Some(written) = in_force(&season.journal.material(material).prices, day) {
        return Some(written.value);
    }
    let paid = &season.stock().of(material).paid;
    let known = paid.partition_point(|one| one.day <= day);
    Some(paid.get(known.checked_sub(1)?)?.price)
}

/// What an amount of a material is worth on a day, in the farm's currency; `None` where its price is not known, or is for
/// something that the amount cannot be counted in.
pub fn worth(season: &Season<'_>, material: MaterialId, amount: Amount, day: NaiveDate) -> Option<Exact> {
    let price = price(season, material, day)?;
    let counted = like(season.journal, material, amount, price.per.unit)?;
    counted.value.div(price.per.value)?.mul(price.money)
}

/// What went into a spray, at the prices of its day. Labour, water and the machine are not in it.
pub fn cost_of(season: &Season<'_>, facts: &SprayFacts) -> Cost {
    let day = facts.spray(season.journal).at.day;
    let mut cost = Cost { money: Exact::ZERO, without: Vec::new() };
    for dose in &facts.doses {
        let worth = dose.amount().and_then(|amount| worth(season, dose.material, amount, day));
        match worth.and_then(|worth| cost.money.add(worth)) {
            Some(sum) => cost.money = sum,
            None if cost.without.contains(&dose.material) => {}
            None => cost.without.push(dose.material),
        }
    }
    cost
}
