//! The pantry: that its data is what its sources say, and that a farm uses it, overrides it or leaves it alone.

mod data;
mod use_of_it;

use foliary::finding::Finding;
use foliary::journal::{Journal, compile, stock_pantry};
use foliary::text::{SourceId, Sources};
use foliary::{Farm, check_farm, compile_farm};

/// A journal, with the pantry at hand.
struct Read {
    sources: Sources,
    files: Vec<SourceId>,
}

impl Read {
    fn new(text: &str) -> Self {
        let mut sources = Sources::new();
        let file = sources.add("journal.spray", text.to_string()).unwrap();
        stock_pantry(&mut sources).unwrap();
        Self { sources, files: vec![file] }
    }

    fn farm(&self) -> Farm<'_> {
        Farm { files: &self.files, missing: &[] }
    }

    fn journal(&self) -> Journal {
        compile_farm(&self.sources, self.farm())
    }

    fn findings(&self) -> Vec<Finding> {
        check_farm(&self.sources, self.farm(), "2026-12-31".parse().ok())
    }
}

/// The pantry's own entries, read as a journal that holds nothing else.
fn shelf() -> (Sources, Journal) {
    let mut sources = Sources::new();
    stock_pantry(&mut sources).unwrap();
    let files: Vec<SourceId> = sources.shipped().collect();
    let journal = compile(&sources, &files);
    (sources, journal)
}
