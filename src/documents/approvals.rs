//! Materials approved for the farm, and whether they were before they were used.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::words::{count, day, sentence};
use crate::duty::{Asked, Duties, concerned};
use crate::journal::{Approval, MaterialId};
use crate::rulebook::Demand;
use crate::season::SprayFacts;

/// An approval of a material.
#[derive(Clone, Debug, Serialize)]
pub struct Approved {
    /// The day.
    pub on: String,
    /// The last day it holds; absent for no end.
    pub until: Option<String>,
    /// Who approved it.
    pub by: Option<String>,
    /// What its use is tied to.
    pub restriction: Option<String>,
    /// The letter or list that says so.
    pub evidence: Option<String>,
}

/// How the uses of a material stand against its approvals.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Standing {
    /// In words.
    pub words: String,
    /// Whether it was used without an approval that held.
    pub mark: bool,
}

/// The approvals of every material, in the order of time.
pub(super) struct Approvals<'a> {
    by_material: Vec<Vec<&'a Approval>>,
    /// The rules that ask for approval before use.
    rules: Vec<Asked<'a>>,
}

impl<'a> Approvals<'a> {
    pub(super) fn new(book: &Book<'a>) -> Self {
        let journal = book.journal();
        let mut by_material: Vec<Vec<&Approval>> = vec![Vec::new(); journal.materials.len()];
        for approval in &journal.approvals {
            let mut ids: Vec<MaterialId> = approval.materials.iter().filter_map(|material| material.id).collect();
            ids.sort_unstable();
            ids.dedup();
            for id in ids {
                by_material[id.index()].push(approval);
            }
        }
        for list in &mut by_material {
            list.sort_by_key(|approval| (approval.at.day, approval.at.entry.start));
        }
        let asks = |demand: &Demand| matches!(demand, Demand::ApprovedInput).then_some(());
        let rules = Duties::new(book.season).of_kind(asks).map(|(asked, ())| asked).collect();
        Self { by_material, rules }
    }

    /// Whether any rulebook of the farm asks for approvals, or it keeps them all the same.
    pub(super) fn judged(&self) -> bool {
        !self.rules.is_empty() || self.by_material.iter().any(|approvals| !approvals.is_empty())
    }

    /// Whether a material in a tank needs an approval: only where a rule that held that day says so. A farm without any such
    /// rule that keeps approvals all the same has the uses of what it has approved held against them.
    pub(super) fn asked(&self, book: &Book<'_>, facts: &SprayFacts, id: MaterialId) -> bool {
        let asks = |rule: &Asked<'_>| rule.holds_for(book.season, facts) && concerned(book.season, id, &rule.rule.when);
        self.rules.iter().any(asks) || self.rules.is_empty() && !self.by_material[id.index()].is_empty()
    }

    /// The approvals of a material.
    pub(super) fn of(&self, book: &Book<'_>, id: MaterialId) -> Vec<Approved> {
        let one = |approval: &&Approval| Approved {
            on: day(approval.at.day),
            until: approval.until.map(|until| day(until.value)),
            by: book.some_words(approval.authority),
            restriction: book.some_words(approval.restriction),
            evidence: book.some_words(approval.evidence),
        };
        self.by_material[id.index()].iter().map(one).collect()
    }

    /// How a material stands: its first use of all, and the days of the uses for which approval is asked, in the order of
    /// time.
    pub(super) fn standing(&self, id: MaterialId, first: Option<NaiveDate>, uses: &[NaiveDate]) -> Standing {
        let approvals = &self.by_material[id.index()];
        let plain = |words: String| Standing { words, mark: false };
        let begins = approvals.first().map(|approval| approval.at.day);
        let Some(&judged) = uses.first() else {
            return plain(match (first, begins) {
                (None, None) => "Not used; no approval recorded".to_string(),
                (None, Some(_)) => "Not used".to_string(),
                (Some(_), Some(begins)) => format!("Approved {}", day(begins)),
                (Some(_), None) => "No approval recorded; not used where one is asked for".to_string(),
            });
        };
        let Some(begins) = begins else {
            return Standing { words: format!("No approval recorded; used {}", day(judged)), mark: true };
        };
        // Held until: an approval without an end holds from its day on. Both lists are in the order of time.
        let (mut given, mut holds): (usize, Option<Option<NaiveDate>>) = (0, None);
        let (mut early, mut late) = (Vec::new(), Vec::new());
        for &used in uses {
            while let Some(approval) = approvals.get(given).filter(|approval| approval.at.day <= used) {
                let until = approval.until.map(|until| until.value);
                holds = Some(match (holds, until) {
                    (Some(None), _) | (_, None) => None,
                    (Some(Some(known)), Some(until)) => Some(known.max(until)),
                    (None, Some(until)) => Some(until),
                });
                given += 1;
            }
            match holds {
                None => early.push(used),
                Some(Some(until)) if until < used => late.push(used),
                Some(_) => {}
            }
        }
        let mut said = Vec::new();
        if let Some(used) = early.first() {
            let times = count(early.len(), "use", "uses");
            said.push(format!("{times} before the first approval: used {}, approved {}", day(*used), day(begins)));
        }
        if let Some(used) = late.first() {
            said.push(format!(
                "{} after the approval had ended, first {}",
                count(late.len(), "use", "uses"),
                day(*used)
            ));
        }
        if said.is_empty() {
            return Standing {
                words: format!("Approved {}, before its first use {}", day(begins), day(judged)),
                mark: false,
            };
        }
        Standing { words: sentence(&said.join("; ")), mark: true }
    }
}
