//! The application records of a farm: one for each spray, in the order of time.

use serde::Serialize;

use super::assumed;
use super::book::Book;
use super::cautions::cautions;
use super::head::Head;
use super::record::{Record, record};

/// The application records of a farm.
#[derive(Clone, Debug, Serialize)]
pub struct Records {
    /// Top and foot.
    pub head: Head,
    /// One for each spray.
    pub records: Vec<Record>,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// The application records of a book.
pub fn records(book: &Book<'_>) -> Records {
    let sprays: Vec<_> = book.sprays().collect();
    let of = sprays.len();
    let records = sprays.into_iter().enumerate().map(|(index, facts)| record(book, facts, index + 1, of));
    Records {
        head: Head::new(book),
        records: records.collect(),
        assumed: assumed::of_records(book),
        cautions: cautions(book),
    }
}
