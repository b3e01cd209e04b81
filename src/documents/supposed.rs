//! What a supposition would change.

use serde::Serialize;

use super::book::Book;
use super::shopping::money_words;
use super::words::day_short;
use crate::journal::MaterialId;
use crate::plan::{Broken, WhatIf};

/// What was supposed, and what that would change.
#[derive(Clone, Debug, Serialize)]
pub struct SupposedView {
    /// The suppositions, as given.
    pub words: Vec<String>,
    /// What would then be wrong, the gravest first.
    pub new: Vec<BrokenView>,
    /// What would be wrong no more.
    pub gone: Vec<BrokenView>,
    /// Rounds that would be on other days.
    pub moved: Vec<String>,
    /// What would be bought, before and then.
    pub bought: Vec<String>,
    /// What it costs, before and then.
    pub cost: Option<String>,
}

/// Something wrong.
#[derive(Clone, Debug, Serialize)]
pub struct BrokenView {
    /// `error`, `warning` or `note`.
    pub level: &'static str,
    /// The code of what says it.
    pub code: &'static str,
    /// What is wrong.
    pub headline: String,
    /// The arithmetic.
    pub working: Vec<String>,
}

pub(super) fn supposed_view(book: &Book<'_>, words: &[String], what_if: &WhatIf) -> SupposedView {
    let broken = |list: &[Broken]| -> Vec<BrokenView> {
        let view = |one: &Broken| BrokenView {
            level: one.level.word(),
            code: one.code,
            headline: one.headline.clone(),
            working: one.working.clone(),
        };
        list.iter().map(view).collect()
    };
    let moved = what_if.moved.iter().map(|moved| {
        let name = book.journal().program(moved.program).named.shown();
        let round = format!("round {} of {name} on {}", moved.number, book.block(moved.block));
        match (moved.before, moved.then) {
            (Some(before), Some(then)) => format!("{round}: {} instead of {}", day_short(then), day_short(before)),
            (None, Some(then)) => format!("{round}: {}, where none was planned", day_short(then)),
            (before, None) => {
                format!("{round}: no more, where {} was planned", before.map(day_short).unwrap_or_default())
            }
        }
    });
    let bought = what_if.needs.iter().map(|change| {
        let known = book.journal().materials.iter().position(|material| material.named.name == change.material);
        let known = known.map(MaterialId::at);
        let own = |amount| known.map_or(amount, |material| book.in_own_unit(material, amount));
        let said = |amount: Option<crate::quantity::Amount>| {
            amount.map_or_else(|| "none".to_string(), |amount| book.amount(own(amount)))
        };
        let name = known.map_or_else(|| change.material.to_string(), |material| book.material(material).to_string());
        format!("{name}: {} instead of {}", said(change.then), said(change.before))
    });
    let currency = book.journal().farm.as_ref().and_then(|farm| book.some_words(farm.currency));
    let (before, then) = (what_if.cost.0.money, what_if.cost.1.money);
    let money = |money: Option<crate::quantity::Exact>| {
        money.map_or_else(|| "nothing that has a price".to_string(), |money| money_words(money, currency.as_deref()))
    };
    SupposedView {
        words: words.to_vec(),
        new: broken(&what_if.new),
        gone: broken(&what_if.gone),
        moved: moved.collect(),
        bought: bought.collect(),
        cost: (before != then).then(|| format!("{} instead of {}", money(then), money(before))),
    }
}
