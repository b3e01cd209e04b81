//! Checking again after one entry changed: what each entry says by itself is kept for all that did not change.

use super::{CHECKS, Check, Run, looked, told};
use crate::finding::Finding;
use crate::season::Season;
use crate::text::Span;

/// What the checks that look at entries one by one have found, with the entry that each finding is about.
#[derive(Clone, Debug, Default)]
pub struct ByEntry {
    /// Sorted by where the entry begins.
    found: Vec<(u32, Finding)>,
}

impl ByEntry {
    /// What is found of the sprays, observations, work and picks of a season.
    pub fn of(season: &Season<'_>) -> Self {
        Self { found: owned(season, looked(season, &all(), Run::entries)) }
    }

    /// Puts what is found of some entries in the place of what was found in a stretch of the text.
    pub fn replace(&mut self, stretch: Span, again: ByEntry) {
        let from = self.found.partition_point(|(entry, _)| *entry < stretch.start);
        let to = self.found.partition_point(|(entry, _)| *entry < stretch.end);
        self.found.splice(from..to, again.found);
    }
}

/// All findings of a season, as [`super::run`] tells them, where what is found entry by entry is known.
pub fn run_with(season: &Season<'_>, by_entry: &ByEntry) -> Vec<Finding> {
    let mut findings = looked(season, &all(), Run::whole);
    findings.extend(by_entry.found.iter().map(|(_, finding)| finding.clone()));
    told(season, findings)
}

fn all() -> Vec<&'static Check> {
    CHECKS.iter().collect()
}

/// Findings with the entry that each is about: the one that one of its places lies in. A finding about a spray can begin
/// at what its recipe says.
fn owned(season: &Season<'_>, findings: Vec<Finding>) -> Vec<(u32, Finding)> {
    let journal = season.journal;
    let sprays = journal.sprays.iter().map(|one| one.at.entry);
    let seen = journal.observations.iter().map(|one| one.at.entry);
    let works = journal.works.iter().map(|one| one.at.entry);
    let picks = journal.harvests.iter().map(|one| one.at.entry);
    if findings.is_empty() {
        return Vec::new();
    }
    let mut entries: Vec<Span> = sprays.chain(seen).chain(works).chain(picks).collect();
    entries.sort_unstable();
    let owner = |finding: &Finding| {
        finding.labels.iter().find_map(|label| {
            let before = entries.partition_point(|entry| entry.start <= label.span.start);
            entries[..before].last().filter(|entry| entry.covers(label.span)).map(|entry| entry.start)
        })
    };
    let mut owned: Vec<(u32, Finding)> =
        findings.into_iter().map(|finding| (owner(&finding).unwrap_or_default(), finding)).collect();
    owned.sort_by_key(|(entry, _)| *entry);
    owned
}
