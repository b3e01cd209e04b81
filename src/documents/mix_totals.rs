//! How strong a tank is against the limits that hold for it, with the working.

use serde::Serialize;

use super::book::Book;
use super::limits::{limit_words, limits_on_tanks, said};
use super::words::percent;
use crate::quantity::Exact;
use crate::season::{Dose, SprayFacts, TotalKind, contributions, counts_for, limit_for, total_kind};

/// A total of a tank, and its limit where there is one.
#[derive(Clone, Debug, Serialize)]
pub struct TankTotal {
    /// The limit as written, with its class.
    pub limit: Option<String>,
    /// Who set it.
    pub set_by: Option<String>,
    /// The total in the measure of the limit.
    pub total: String,
    /// What it is made of: `Kelp 1.5 + Soap 1 = 2.5 oz per gal`.
    pub working: String,
    /// How much of the limit that is, in whole percent.
    pub percent: Option<i128>,
    /// Whether some of what is in the tank could not be counted.
    pub at_least: bool,
}

/// The totals of a tank: one for each limit that holds for a crop of its ground, or else the total of all as growers
/// count it.
pub(super) fn totals(book: &Book<'_>, facts: &SprayFacts) -> Vec<TankTotal> {
    let journal = book.journal();
    let mix = facts.spray(journal).mix.and_then(|used| used.mix.id);
    let crops: Vec<Option<&str>> = facts.touched.iter().map(|touched| book.season.crop(touched.block)).collect();
    let mut totals = Vec::new();
    for limit in limits_on_tanks(journal) {
        let other_mix = limit.mix.is_some() && limit.mix != mix;
        if other_mix || !crops.iter().any(|crop| limit.holds_for(*crop)) {
            continue;
        }
        let Some(most) = limit.range.most else { continue };
        let kind = total_kind(most);
        let Some(bound) = limit_for(kind, most).filter(|bound| bound.is_positive()) else { continue };
        let Some(sum) = sum(book, facts, kind, limit.class) else { continue };
        totals.push(TankTotal {
            limit: Some(limit_words(book, limit.range, limit.class)),
            set_by: Some(limit.set_by.to_string()),
            total: sum.total,
            working: sum.working,
            percent: sum.value.div(bound).and_then(percent),
            at_least: sum.at_least,
        });
    }
    if totals.is_empty() {
        totals.extend(sum(book, facts, TotalKind::Ounces, None).map(|sum| TankTotal {
            limit: None,
            set_by: None,
            total: sum.total,
            working: sum.working,
            percent: None,
            at_least: sum.at_least,
        }));
    }
    totals
}

struct Sum {
    value: Exact,
    total: String,
    working: String,
    at_least: bool,
}

/// What counts together; nothing where nothing of that class is in the tank, or nothing of it is known.
fn sum(book: &Book<'_>, facts: &SprayFacts, kind: TotalKind, class: Option<&str>) -> Option<Sum> {
    let journal = book.journal();
    let doses: Vec<_> = facts
        .doses
        .iter()
        .filter(|dose| class.is_none_or(|class| journal.material(dose.material).is(class)))
        // As everywhere on the sheet: by the recipe, where there is one.
        .map(|dose| Dose { measured: dose.measured.filter(|_| dose.expected.is_none()), ..dose.clone() })
        .collect();
    let counted = contributions(journal, &doses, facts.finished?);
    let (mut value, mut parts, mut at_least) = (Exact::ZERO, Vec::new(), false);
    for (dose, part) in doses.iter().zip(counted) {
        match part.and_then(|part| counts_for(journal, kind, &part)) {
            Some(counts) if counts.is_zero() => {}
            Some(counts) => {
                value = value.add(counts)?;
                parts.push(format!("{} {}", book.material(dose.material), said(kind, counts)?));
            }
            None => at_least = true,
        }
    }
    if parts.is_empty() {
        return None;
    }
    let total = said(kind, value)?;
    let working = if parts.len() == 1 { parts.concat() } else { format!("{} = {total}", parts.join(" + ")) };
    Some(Sum { value, total, working, at_least })
}
