//! The page that leads to the documents of each farm.

use serde::Serialize;

use super::book::Book;
use super::head::Head;
use super::opening;

/// The documents of a run.
#[derive(Clone, Debug, Serialize)]
pub struct Index {
    /// Each farm with its documents.
    pub farms: Vec<FarmCard>,
    /// The warning that errors are open on any farm.
    pub banner: Option<String>,
    /// The day that counted as today.
    pub compiled_for: Option<String>,
    /// Which program made the documents.
    pub made_by: &'static str,
}

/// A farm with its documents.
#[derive(Clone, Debug, Serialize)]
pub struct FarmCard {
    /// What stands on all of its documents.
    pub head: Head,
    /// What was done, in a line.
    pub done: String,
    /// Its documents.
    pub links: Vec<Link>,
}

/// A document to go to.
#[derive(Clone, Debug, Serialize)]
pub struct Link {
    /// What it is.
    pub title: String,
    /// Where it is, seen from the index, without its ending.
    pub path: String,
    /// The endings of its files.
    pub endings: Vec<&'static str>,
}

impl FarmCard {
    /// The card of a farm.
    pub fn new(book: &Book<'_>, links: Vec<Link>) -> Self {
        Self { head: Head::new(book), done: opening::done(book), links }
    }
}

/// The index of a run.
pub fn index(farms: Vec<FarmCard>) -> Index {
    let errors = farms.iter().map(|farm| farm.head.counts.errors).sum();
    Index {
        banner: super::head::banner(errors),
        compiled_for: farms.first().and_then(|farm| farm.head.compiled_for.clone()),
        made_by: concat!("foliary ", env!("CARGO_PKG_VERSION")),
        farms,
    }
}
