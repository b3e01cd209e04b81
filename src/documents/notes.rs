//! Notes as they were meant: Markdown without the journal's indentation.

use super::book::Book;
use crate::text::Span;

/// A note without the indentation that the journal gave its later lines.
pub(super) fn note(book: &Book<'_>, span: Span) -> String {
    unindented(book.season.words(span))
}

/// The same of its words.
pub(super) fn unindented(words: &str) -> String {
    let mut lines = words.lines();
    let first = lines.next().unwrap_or_default().trim();
    let rest: Vec<&str> = lines.collect();
    let indent = rest.iter().filter(|line| !line.trim().is_empty()).map(|line| indentation(line)).min().unwrap_or(0);
    let mut note = first.to_string();
    for line in rest {
        note.push('\n');
        // Indentation is counted in ASCII blanks, so the cut lies between characters.
        note.push_str(line.get(indent.min(indentation(line))..).unwrap_or_default().trim_end());
    }
    note.trim().to_string()
}

/// All of an entry's notes.
pub(super) fn notes(book: &Book<'_>, spans: &[Span]) -> Vec<String> {
    spans.iter().map(|&span| note(book, span)).filter(|note| !note.is_empty()).collect()
}

fn indentation(line: &str) -> usize {
    line.bytes().take_while(|byte| matches!(byte, b' ' | b'\t')).count()
}
