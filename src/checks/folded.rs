//! One slip, one finding: findings that only follow from another are told with it, as long as that one stands. Where it
//! is accepted on purpose, what follows from it speaks for itself.

use std::collections::BTreeMap;

use rustc_hash::FxHashMap;

use super::amount_disagrees::{EXPECTED, SET_HERE};
use crate::finding::{Finding, Label};
use crate::text::Span;

/// A finding that follows from another at one place.
struct Fold {
    /// The finding that stays.
    lead: &'static str,
    /// Whether it leads from a label of its own.
    lead_from: fn(usize, &Label) -> bool,
    /// The findings that go.
    follow: &'static [&'static str],
    /// Whether one follows from what stands at a label of its own.
    follow_at: fn(usize, &Label) -> bool,
    /// What the one that stays says about those that went, from their headlines.
    told: fn(&[String]) -> Vec<String>,
}

/// In this order, so that what has gone leads nothing.
static FOLDS: &[Fold] = &[
    // A recipe that its label forbids is the slip, not the amounts that were measured otherwise.
    Fold {
        lead: "rate-outside-range",
        lead_from: |at, _| at == 0,
        follow: &["amount-disagrees"],
        follow_at: |_, label| label.text == SET_HERE,
        told: |gone| match gone {
            [one] => vec![format!("what was measured disagrees with it, too: {one}")],
            [] => Vec::new(),
            [first, ..] => {
                vec![format!("what was measured disagrees with it, too, {} times; first: {first}", gone.len())]
            }
        },
    },
    // An amount that is not what the recipe takes is one slip, even where it is also more than the label or a limit allows.
    Fold {
        lead: "amount-disagrees",
        lead_from: |at, label| at == 0 || label.text.ends_with(EXPECTED),
        follow: &["rate-outside-range", "mix-over-limit", "class-over-limit"],
        follow_at: |at, _| at == 0,
        told: |gone| gone.iter().map(|one| format!("as it is written, {one}")).collect(),
    },
    // Weather that cannot have been is outside every limit.
    Fold {
        lead: "impossible-weather",
        lead_from: |at, _| at == 0,
        follow: &["weather-outside-limits"],
        follow_at: |_, _| true,
        told: |gone| gone.iter().map(|one| format!("as it is written, {one}")).collect(),
    },
];

/// Takes out what follows from findings that stand.
pub(super) fn fold(findings: &mut Vec<Finding>) {
    for rule in FOLDS {
        let mut leads: FxHashMap<Span, usize> = FxHashMap::default();
        for (place, finding) in findings.iter().enumerate() {
            if finding.code == rule.lead && finding.accepted.is_none() {
                let labels = finding.labels.iter().enumerate().filter(|(at, label)| (rule.lead_from)(*at, label));
                for (_, label) in labels {
                    leads.entry(label.span).or_insert(place);
                }
            }
        }
        if leads.is_empty() {
            continue;
        }
        // For each place in the list, the finding that it follows from.
        let follows = |finding: &Finding| {
            if !rule.follow.contains(&finding.code) || finding.accepted.is_some() {
                return None;
            }
            let mut labels = finding.labels.iter().enumerate().filter(|(at, label)| (rule.follow_at)(*at, label));
            labels.find_map(|(_, label)| leads.get(&label.span).copied())
        };
        let gone: Vec<Option<usize>> = findings.iter().map(follows).collect();
        let mut told: BTreeMap<usize, Vec<String>> = BTreeMap::new();
        for (finding, lead) in findings.iter().zip(&gone) {
            if let Some(lead) = lead {
                told.entry(*lead).or_default().push(finding.headline.clone());
            }
        }
        for (place, finding) in findings.iter_mut().enumerate() {
            finding.working.extend(told.get(&place).into_iter().flat_map(|headlines| (rule.told)(headlines)));
        }
        let mut gone = gone.into_iter();
        findings.retain(|_| gone.next().flatten().is_none());
    }
}
