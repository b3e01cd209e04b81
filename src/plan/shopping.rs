//! What planned rounds take, what of it is on the shelf, what is to be bought until when, and what that costs.

use chrono::NaiveDate;

use crate::journal::{MaterialId, Price};
use crate::quantity::{Amount, Exact};
use crate::season::{Season, add, like, price, worth};

/// What one round, or several without a day, take.
#[derive(Clone, Debug)]
pub(super) struct Take {
    pub(super) day: Option<NaiveDate>,
    /// Whether the program may do without it.
    pub(super) optional: bool,
    pub(super) doses: Vec<(MaterialId, Option<Amount>)>,
}

/// What is needed and to be bought.
#[derive(Clone, Debug, Default)]
pub struct Shopping {
    /// By material, in the order of names.
    pub needs: Vec<Need>,
    /// What it costs to buy what the fewest rounds take.
    pub fewest: Cost,
    /// What it costs to buy what the most rounds take.
    pub most: Cost,
}

/// A sum of money, and what it leaves out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// The sum, in the farm's currency; `None` where nothing has a price.
    pub money: Option<Exact>,
    /// What is to be bought and has no price.
    pub without_price: Vec<MaterialId>,
}

/// How much of a material is needed.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// The material.
    pub material: MaterialId,
    /// What the fewest rounds take; `None` where they take none, or it cannot be added up.
    pub fewest: Option<Amount>,
    /// What the most rounds take.
    pub most: Option<Amount>,
    /// In how many rounds its amount is not known.
    pub unknown: usize,
    /// What is on the shelf; `None` where that is not known.
    pub on_hand: Option<Amount>,
    /// What is to be bought for the fewest rounds; nothing needed is nothing to be bought.
    pub buy_fewest: Option<Amount>,
    /// What is to be bought for the most rounds.
    pub buy_most: Option<Amount>,
    /// The day of the first round for which the shelf holds too little.
    pub by: Option<NaiveDate>,
    /// What it costs, by its entry or by the bill of the latest delivery.
    pub price: Option<Price>,
    /// What that makes for the fewest rounds.
    pub cost_fewest: Option<Exact>,
    /// What that makes for the most rounds.
    pub cost_most: Option<Exact>,
}

/// Adds up what rounds take.
pub(super) fn shopping(season: &Season<'_>, mut takes: Vec<Take>, today: NaiveDate) -> Shopping {
    let journal = season.journal;
    takes.sort_by_key(|take| (take.day.is_none(), take.day));
    let mut sums: Vec<Option<Sums>> = vec![None; journal.materials.len()];
    for take in &takes {
        for &(material, amount) in &take.doses {
            let sums = sums[material.index()].get_or_insert_default();
            let Some(amount) = amount else {
                sums.unknown += 1;
                continue;
            };
            let plus = |sum: Option<Amount>| match sum {
                Some(sum) => add(journal, material, sum, amount),
                None => Some(amount),
            };
            let Some(most) = plus(sums.most) else {
                sums.unknown += 1;
                continue;
            };
            sums.most = Some(most);
            if !take.optional {
                sums.fewest = plus(sums.fewest);
            }
            if sums.by.is_none() && short_of(season, material, season.stock().on_hand(material, today), most).is_some()
            {
                sums.by = take.day;
            }
        }
    }
    let mut needs: Vec<Need> = Vec::new();
    for (index, sums) in sums.into_iter().enumerate() {
        let Some(sums) = sums else { continue };
        needs.push(need(season, MaterialId::at(index), sums, today));
    }
    needs.sort_by_key(|need| (journal.material(need.material).named.shown(), need.material));
    let cost = |buy: fn(&Need) -> Option<Amount>, cost: fn(&Need) -> Option<Exact>| {
        let bought = || needs.iter().filter(move |need| buy(need).is_some());
        let priced: Vec<Exact> = bought().filter_map(cost).collect();
        let money = priced.iter().try_fold(Exact::ZERO, |sum, &one| sum.add(one)).filter(|_| !priced.is_empty());
        let without = bought().filter(|need| cost(need).is_none()).map(|need| need.material).collect();
        Cost { money, without_price: without }
    };
    Shopping {
        fewest: cost(|need| need.buy_fewest, |need| need.cost_fewest),
        most: cost(|need| need.buy_most, |need| need.cost_most),
        needs,
    }
}

/// The sums of a material.
#[derive(Clone, Debug, Default)]
struct Sums {
    fewest: Option<Amount>,
    most: Option<Amount>,
    unknown: usize,
    by: Option<NaiveDate>,
}

fn need(season: &Season<'_>, material: MaterialId, sums: Sums, today: NaiveDate) -> Need {
    let on_hand = season.stock().on_hand(material, today);
    let buy = |needed: Option<Amount>| short_of(season, material, on_hand, needed?);
    let paid = price(season, material, today);
    let (buy_fewest, buy_most) = (buy(sums.fewest), buy(sums.most));
    let cost = |bought: Option<Amount>| worth(season, material, bought?, today);
    Need {
        material,
        fewest: sums.fewest,
        most: sums.most,
        unknown: sums.unknown,
        on_hand,
        buy_fewest,
        buy_most,
        by: sums.by,
        price: paid,
        cost_fewest: cost(buy_fewest),
        cost_most: cost(buy_most),
    }
}

/// What is missing; nothing where the shelf holds enough. All of it where the shelf is not known, or holds less than nothing.
fn short_of(season: &Season<'_>, material: MaterialId, on_hand: Option<Amount>, needed: Amount) -> Option<Amount> {
    let Some(there) = on_hand.filter(|there| there.value.is_positive()) else { return Some(needed) };
    let missing = needed.minus(like(season.journal, material, there, needed.unit)?)?;
    missing.value.is_positive().then_some(missing)
}
