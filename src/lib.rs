//! Foliary compiles a plain-text spray journal. The modules are its stages, in the order of the data:
//!
//! ```text
//! .spray files ─ text ─► syntax ─► journal ─► season ─► checks ─► documents ─► render ─► HTML, Markdown
//!                spans    tree      typed     derived   findings   views      templates
//! ```
#![forbid(unsafe_code)]

// The grammar's generated code names it, since the engine is built without `std`.
extern crate alloc;

pub mod checks;
pub mod command;
pub mod documents;
pub mod duty;
pub mod editor;
pub mod files;
pub mod finding;
pub mod history;
pub mod job;
pub mod journal;
pub mod plan;
pub mod quantity;
pub mod render;
pub mod report;
pub mod rulebook;
pub mod season;
pub mod syntax;
pub mod text;
pub mod trade;

use chrono::NaiveDate;

use finding::Finding;
use journal::{Journal, Trouble};
use season::Season;
use text::{SourceId, Sources, SourcesError, Span};

/// One farm's journal, as files of a run.
#[derive(Clone, Copy, Debug)]
pub struct Farm<'f> {
    /// Its files, those of shared folders included.
    pub files: &'f [SourceId],
    /// `uses` lines that name no folder.
    pub missing: &'f [Span],
}

/// Text to typed journal. A farm that says `pantry yes` finds the pantry where it was put among the sources, as
/// [`journal::stock_pantry`] does.
pub fn compile_farm(sources: &Sources, farm: Farm<'_>) -> Journal {
    let mut journal = journal::compile(sources, farm.files);
    journal.troubles.extend(farm.missing.iter().map(|&at| Trouble::MissingFolder { at }));
    journal
}

/// A farm's files with one more of text that stands in none of them, such as what is planned; and that one.
///
/// # Errors
/// Where all texts together are larger than a run can hold.
pub fn with_text(
    sources: &mut Sources,
    files: &[SourceId],
    name: &str,
    text: String,
) -> Result<(Vec<SourceId>, SourceId), SourcesError> {
    let added = sources.add(name, text)?;
    Ok((files.iter().copied().chain([added]).collect(), added))
}

/// The whole way from text to findings. `as_of` is the day that counts as today.
pub fn check_farm(sources: &Sources, farm: Farm<'_>, as_of: Option<NaiveDate>) -> Vec<Finding> {
    let journal = compile_farm(sources, farm);
    let season = Season::new(&journal, sources, as_of);
    checks::run(&season)
}
