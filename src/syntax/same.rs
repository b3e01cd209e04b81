//! Whether two texts say the same: the same entries with the same words, wherever they stand on their lines.

use std::borrow::Cow;

use super::parts::{Part, each_part};
use super::read::read_entry;
use super::split::split_entries;
use super::tree::{Entry, Value};
use crate::quantity::Unit;
use crate::text::Span;

/// Whether two texts say the same. Blanks between words, empty lines and ends of lines may differ, the case of the
/// language's own words and the spelling of a unit; nothing else may: no name, number, day, remark or note, and no line
/// that cannot be read.
pub fn same_entries(one: &str, other: &str) -> bool {
    let (mut ones, mut others) = (said(one), said(other));
    loop {
        match (ones.next(), others.next()) {
            (None, None) => return true,
            (Some(one), Some(other)) if one == other => {}
            _ => return false,
        }
    }
}

/// What an entry says: its shape without places, and the words of each part.
type Said<'t> = (Entry, Vec<Cow<'t, str>>);

fn said(text: &str) -> impl Iterator<Item = Said<'_>> {
    split_entries(text).into_iter().filter_map(|range| {
        let text = &text[range];
        let mut entry = read_entry(text, 0);
        let mut words = Vec::with_capacity(32);
        for field in &entry.fields {
            if let Value::Note(lines) = &field.value {
                words.extend(note_indents(text, lines).map(|indent| Cow::Owned(indent.to_string())));
            }
        }
        each_part(&mut entry, &mut |part, span: &mut Span| {
            words.extend(compared(text, part, *span));
            *span = Span::default();
        });
        // What stands before the first entry may be nothing but empty lines.
        let nothing = words.iter().all(|word| word.is_empty());
        (!nothing).then_some((entry, words))
    })
}

/// The words of a part as they are compared; nothing where other parts say them again.
fn compared(text: &str, part: Part, span: Span) -> Option<Cow<'_, str>> {
    let words = &text[span.start as usize..span.end as usize];
    Some(match part {
        Part::Whole => return None,
        Part::Text => Cow::Borrowed(words),
        Part::Keyword => Cow::Owned(words.to_lowercase()),
        Part::Word => evened(words),
        Part::Unit(_) => match Unit::named(words) {
            Some(unit) => Cow::Borrowed(unit.word()),
            None => evened(words),
        },
    })
}

/// Words with single blanks between them.
pub(super) fn evened(words: &str) -> Cow<'_, str> {
    if !words.contains('\t') && !words.contains("  ") {
        return Cow::Borrowed(words);
    }
    let mut out = String::with_capacity(words.len());
    for character in words.chars() {
        match character {
            ' ' | '\t' if out.ends_with(' ') => {}
            '\t' => out.push(' '),
            _ => out.push(character),
        }
    }
    Cow::Owned(out)
}

/// How much deeper than the least deep of them each further line of a note stands, in columns: what Markdown sees.
pub(super) fn note_indents(text: &str, lines: &[Span]) -> impl Iterator<Item = usize> {
    let indents: Vec<&str> = lines.iter().filter_map(|line| indent_before(text, line.start as usize)).collect();
    let least = indents.iter().map(|indent| indent.len()).min().unwrap_or(0);
    // Blanks are single bytes.
    indents.into_iter().map(move |indent| columns(&indent[least..]))
}

/// The blanks that a line begins with, where nothing else stands before an offset.
pub(super) fn indent_before(text: &str, offset: usize) -> Option<&str> {
    let start = text[..offset].rfind('\n').map_or(0, |newline| newline + 1);
    let before = &text[start..offset];
    before.bytes().all(|byte| matches!(byte, b' ' | b'\t' | b'\r')).then_some(before)
}

/// How wide some blanks are, with a tab stop at every fourth column, as Markdown has it.
fn columns(blanks: &str) -> usize {
    blanks.bytes().fold(0, |column, byte| if byte == b'\t' { column / 4 * 4 + 4 } else { column + 1 })
}
