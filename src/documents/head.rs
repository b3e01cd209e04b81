//! What stands at the top and the foot of every document.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::digest::Digest;
use super::words;
use crate::finding::{Counts, summary_counts};
use crate::history::History;

/// What stands at the top and the foot of every document.
#[derive(Clone, Debug, Serialize)]
pub struct Head {
    /// The farm.
    pub farm: String,
    /// Who runs it.
    pub owner: Option<String>,
    /// Where it is.
    pub address: Option<String>,
    /// How to reach them.
    pub contact: Option<String>,
    /// Which part of the journal this is; absent for all of it.
    pub part: Option<String>,
    /// The day that counted as today.
    pub compiled_for: Option<String>,
    /// The same day, for machines.
    #[serde(skip)]
    pub compiled_on: Option<NaiveDate>,
    /// Findings of the whole journal.
    pub counts: Counts,
    /// The same in words.
    pub findings: String,
    /// A warning that errors are open.
    pub banner: Option<String>,
    /// What identifies the journal's text.
    pub digest: Digest,
    /// Which commit the journal is at, and whether it differs from it; absent where git says nothing.
    pub commit: Option<String>,
    /// Which program made the document.
    pub made_by: &'static str,
}

impl Head {
    /// The head of a book's documents.
    pub(super) fn new(book: &Book<'_>) -> Self {
        let farm = book.journal().farm.as_ref();
        let counts = summary_counts(book.findings);
        Self {
            farm: farm_name(book),
            owner: book.some_words(farm.and_then(|farm| farm.owner)),
            address: book.some_words(farm.and_then(|farm| farm.address)),
            contact: book.some_words(farm.and_then(|farm| farm.contact)),
            part: book.scope.words(book.journal()),
            compiled_for: book.season.as_of.map(words::day),
            compiled_on: book.season.as_of,
            counts,
            findings: words::sentence(&counts.to_string()),
            banner: banner(counts.errors),
            digest: book.digest.clone(),
            commit: book.season.history.and_then(commit),
            made_by: concat!("foliary ", env!("CARGO_PKG_VERSION")),
        }
    }
}

/// The commit that a journal is at, in words that follow `At `.
fn commit(history: &History) -> Option<String> {
    let head = history.head()?;
    let commit = history.commit(head.commit);
    let state = if head.uncommitted { "with changes that are not committed" } else { "with nothing changed since" };
    Some(format!("commit {}, {state}", commit.id))
}

/// The farm's name, or what stands in for it.
pub(super) fn farm_name(book: &Book<'_>) -> String {
    book.journal()
        .farm
        .as_ref()
        .map_or_else(|| "Journal without a farm".to_string(), |farm| farm.named.shown().to_string())
}

/// The warning that errors are open.
pub(super) fn banner(errors: usize) -> Option<String> {
    (errors > 0).then(|| {
        format!(
            "{} in this journal {} open: the record is wrong, or somebody or something may be hurt. See the findings before you rely on this document.",
            words::count(errors, "finding at error level", "findings at error level"),
            if errors == 1 { "is" } else { "are" },
        )
    })
}
