//! The journal's own lines, quoted with where they stand and what identifies their text.

use serde::Serialize;

use super::book::Book;
use super::digest::{Digest, entry_lines};
use crate::text::Span;

/// An entry as it is written.
#[derive(Clone, Debug, Serialize)]
pub struct Quoted {
    /// Which lines of which file.
    pub place: String,
    /// What identifies them.
    pub digest: Digest,
    /// The lines.
    pub lines: Vec<QuotedLine>,
}

/// A line as it is written.
#[derive(Clone, Debug, Serialize)]
pub struct QuotedLine {
    /// Its number in the file.
    pub number: u32,
    /// Its words, indentation included.
    pub text: String,
}

/// Entries as they are written, in the order of files and places, each once.
pub(super) fn quoted(book: &Book<'_>, mut entries: Vec<Span>) -> Vec<Quoted> {
    entries.sort_unstable_by_key(|entry| (entry.start, entry.end));
    entries.dedup();
    entries.into_iter().map(|entry| one(book, entry)).collect()
}

fn one(book: &Book<'_>, entry: Span) -> Quoted {
    let sources = book.season.sources;
    let span = entry_lines(sources, entry);
    let first = sources.place(span.start).line;
    let lines = sources.slice(span).lines().zip(first..);
    Quoted {
        place: book.lines(span),
        digest: Digest::of_lines(sources, span),
        lines: lines.map(|(text, number)| QuotedLine { number, text: text.trim_end().to_string() }).collect(),
    }
}
