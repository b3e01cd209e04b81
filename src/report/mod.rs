//! Findings in, bytes out: one renderer a format, each a pure function. Nothing here prints.
//!
//! Findings are rendered in the order given, and every span of theirs must lie in the `sources` passed along (a span
//! that runs past its file is shown up to the file's end).

mod excerpt;
pub mod json;
pub mod line;
mod machine;
mod place;
pub mod sarif;
mod shown;
pub mod terminal;

use std::str::FromStr;

pub use sarif::{RuleText, file_uri};

use crate::finding::Finding;
use crate::text::Sources;

/// How findings are written out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Format {
    /// For reading: each finding with a picture of the journal.
    #[default]
    Page,
    /// One line a finding, which editors turn into a link.
    Line,
    /// One JSON object, described by [`json::SCHEMA`].
    Json,
    /// SARIF 2.1.0, for code-scanning services.
    Sarif,
}

impl Format {
    /// Every format, the default first.
    pub const ALL: [Format; 4] = [Format::Page, Format::Line, Format::Json, Format::Sarif];

    /// The word that chooses it on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Format::Page => "page",
            Format::Line => "line",
            Format::Json => "json",
            Format::Sarif => "sarif",
        }
    }
}

impl FromStr for Format {
    type Err = String;

    /// # Errors
    /// A sentence with the words that are known, when this is none of them.
    fn from_str(word: &str) -> Result<Self, String> {
        Format::ALL.into_iter().find(|format| format.word() == word).ok_or_else(|| {
            let known: Vec<_> = Format::ALL.iter().map(|format| format.word()).collect();
            format!("`{word}` is not a format; choose one of {}", known.join(", "))
        })
    }
}

/// What the caller may choose. The machine formats always carry accepted findings (marked as such) and no colours.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options<'a> {
    /// Colour codes in [`Format::Page`].
    pub colours: bool,
    /// Show accepted findings one by one in [`Format::Page`] and [`Format::Line`], not only in the closing count.
    pub show_accepted: bool,
    /// What [`Format::Sarif`] says of each check.
    pub rules: &'a [RuleText<'a>],
}

/// Findings in the chosen format. Ends with a line end unless empty.
pub fn render(format: Format, findings: &[Finding], sources: &Sources, options: Options<'_>) -> String {
    match format {
        Format::Page => terminal::render(findings, sources, options.colours, options.show_accepted),
        Format::Line => line::render(findings, sources, options.show_accepted),
        Format::Json => json::render(findings, sources),
        Format::Sarif => sarif::render(findings, sources, options.rules),
    }
}
