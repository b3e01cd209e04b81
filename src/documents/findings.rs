//! Findings as documents show them.

use serde::Serialize;

use super::book::Book;
use crate::finding::Finding;

/// A finding.
#[derive(Clone, Debug, Serialize)]
pub struct FindingView {
    /// Its name, which `foliary explain` takes.
    pub code: &'static str,
    /// `error`, `warning` or `note`.
    pub level: &'static str,
    /// What disagrees.
    pub headline: String,
    /// The slip it probably is.
    pub slip: Option<String>,
    /// The grower's reason for letting it stand.
    pub accepted: Option<String>,
    /// Where to look.
    pub place: String,
}

impl FindingView {
    /// A finding of a book.
    pub(super) fn new(book: &Book<'_>, finding: &Finding) -> Self {
        Self {
            code: finding.code,
            level: finding.level.word(),
            headline: finding.headline.clone(),
            slip: finding.slip.clone(),
            accepted: finding.accepted.as_ref().map(|accepted| accepted.reason.trim().to_string()),
            place: book.place(finding.span()),
        }
    }
}
