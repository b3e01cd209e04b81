use crate::text::{escape_hidden, is_hidden};

/// Longest sentence shown to a person, in characters. Sentences quote the journal, and a journal can hold anything.
const LONGEST: usize = 1000;

/// A sentence as one line fit for a terminal: nothing hidden, nothing that moves the cursor, of a bearable length.
pub(super) fn one_line(text: &str) -> String {
    let cut = text.char_indices().nth(LONGEST).map_or(text.len(), |(offset, _)| offset);
    let flat: String = text[..cut].chars().map(|c| if matches!(c, '\t' | '\n' | '\r') { ' ' } else { c }).collect();
    let mut shown = escape_hidden(&flat).into_owned();
    if cut < text.len() {
        shown.push('…');
    }
    shown
}

/// Adds one character of journal text. A tab stays; a carriage return inside a line would overwrite what is before it
/// on a terminal, so it is written out like the hidden characters.
pub(super) fn push_character(out: &mut String, character: char) {
    match character {
        '\r' => out.push_str("\\u{d}"),
        _ => out.push_str(&escape_hidden(character.encode_utf8(&mut [0; 4]))),
    }
}

/// Columns that [`push_character`] takes, counted generously: at least one, so that a stretch of any number of
/// characters has a bounded length.
pub(super) fn columns(character: char) -> usize {
    match character {
        '\t' => 4,
        '\r' => 5,
        _ if is_hidden(character) => escape_hidden(character.encode_utf8(&mut [0; 4])).len(),
        _ => unicode_width::UnicodeWidthChar::width(character).unwrap_or(1).max(1),
    }
}
