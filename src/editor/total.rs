//! What a mix comes to, against its limit.

use crate::journal::{Journal, MixId};
use crate::quantity::{Amount, Exact, Rate, Unit, show};
use crate::season::{TotalKind, counts_for, limit_for, may_count, recipe, recipe_contributions, total_kind};

/// What a mix comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Total {
    /// In the measure of its limit, or in ounces per gallon, as growers count, where it has none.
    pub total: String,
    /// The limit.
    pub limit: Option<String>,
    /// Whether it is more than that.
    pub over: bool,
    /// Ingredients that could not be counted.
    pub uncounted: usize,
    /// `whey 1.5 + soap 1 = 2.5 oz per gal`.
    pub working: String,
}

impl Total {
    /// In a line: `2.5 oz per gal of at most 6 oz per gal`.
    pub fn line(&self) -> String {
        let least = if self.uncounted > 0 { "at least " } else { "" };
        let total = format!("{least}{}", self.total);
        match (&self.limit, self.over) {
            (Some(limit), false) => format!("{total}, limit {limit}"),
            (Some(limit), true) => format!("{total}, over the limit of {limit}"),
            (None, _) => total,
        }
    }
}

/// What a mix comes to; nothing where nothing of it is known.
pub fn total(journal: &Journal, id: MixId) -> Option<Total> {
    let mix = journal.mix(id);
    let most: Option<Rate> = mix.total.as_ref().and_then(|total| total.most);
    let kind = most.map_or(TotalKind::Ounces, total_kind);
    let recipe = recipe(journal, mix);
    let (mut value, mut uncounted, mut parts) = (Exact::ZERO, 0, Vec::new());
    for (part, counted) in recipe.parts.iter().zip(recipe_contributions(journal, &recipe)) {
        if part.material.id.is_some_and(|material| !may_count(journal, kind, material)) {
            continue;
        }
        match counted.and_then(|counted| Some((counted.material, counts_for(journal, kind, &counted)?))) {
            Some((material, counts)) => {
                value = value.add(counts)?;
                parts.push(format!("{} {}", journal.material(material).named.shown(), said(kind, counts)?));
            }
            None => uncounted += 1,
        }
    }
    if parts.is_empty() {
        return None;
    }
    let total = said(kind, value)?;
    let working = if parts.len() == 1 { parts.concat() } else { format!("{} = {total}", parts.join(" + ")) };
    let bound = most.and_then(|most| limit_for(kind, most));
    Some(Total {
        limit: most.filter(|_| bound.is_some()).map(Rate::show),
        over: bound.is_some_and(|bound| value > bound),
        total,
        uncounted,
        working,
    })
}

fn said(kind: TotalKind, value: Exact) -> Option<String> {
    Some(match kind {
        TotalKind::Ounces => format!("{} oz per gal", value.figures(4)),
        TotalKind::Volume => show(Amount::from_base(value, Unit::PERCENT_BY_VOLUME)?),
        TotalKind::Weight => show(Amount::from_base(value, Unit::PERCENT_WEIGHT_IN_VOLUME)?),
    })
}
