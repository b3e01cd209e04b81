//! Cuts a file into entries by one look at the bytes: a line that starts at the margin, and is not a remark, begins
//! an entry. So a bad entry cannot hurt its neighbours, entries can be read side by side, and one can be read again
//! alone.

use std::ops::Range;

/// The entries of a text, in order, as byte ranges that cover all of it. The first may be what stands before any entry.
pub fn split_entries(text: &str) -> Vec<Range<usize>> {
    // A byte-order mark belongs to none.
    split_from(text, if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 })
}

/// The entries of a stretch of a file that begins with an entry.
pub(crate) fn split_stretch(text: &str) -> Vec<Range<usize>> {
    split_from(text, 0)
}

fn split_from(text: &str, start: usize) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    let mut entries = Vec::with_capacity(bytes.len() / 256 + 1);
    let mut entry_start = start;
    let mut line_start = start;
    while line_start < bytes.len() {
        if begins_entry(bytes[line_start]) && line_start > entry_start {
            entries.push(entry_start..line_start);
            entry_start = line_start;
        }
        line_start = match memchr::memchr(b'\n', &bytes[line_start..]) {
            Some(newline) => line_start + newline + 1,
            None => bytes.len(),
        };
    }
    if entry_start < bytes.len() {
        entries.push(entry_start..bytes.len());
    }
    entries
}

/// Whether a line that starts with this byte begins an entry.
fn begins_entry(byte: u8) -> bool {
    !matches!(byte, b' ' | b'\t' | b'\r' | b'\n' | b'#')
}

/// Whether an entry is a page's date line.
pub fn is_date_line(text: &str) -> bool {
    text.as_bytes().first().is_some_and(u8::is_ascii_digit)
}

/// The lines that the notes of an entry go on over: all that follow a note's first line and are indented more deeply,
/// with the blank lines between them.
pub(super) fn note_tails(text: &str) -> Vec<Range<usize>> {
    let mut tails = Vec::new();
    // How deep the note stands whose lines are being passed, and where its further lines began and ended.
    let mut note: Option<(usize, Range<usize>)> = None;
    let mut start = 0;
    while start < text.len() {
        let stop = memchr::memchr(b'\n', &text.as_bytes()[start..]).map_or(text.len(), |newline| start + newline + 1);
        let line = &text[start..stop];
        let words = line.trim_start_matches([' ', '\t']);
        let depth = line.len() - words.len();
        let blank = words.trim_end().is_empty();
        match &mut note {
            Some(_) if blank => {}
            Some((noted, tail)) if depth > *noted => tail.end = stop,
            _ => {
                tails.extend(note.take().map(|(_, tail)| tail).filter(|tail| !tail.is_empty()));
                note = begins_note(words, depth).then_some((depth, stop..stop));
            }
        }
        start = stop;
    }
    tails.extend(note.map(|(_, tail)| tail).filter(|tail| !tail.is_empty()));
    tails
}

/// Whether a line is the first of a note.
fn begins_note(words: &str, depth: usize) -> bool {
    let bytes = words.as_bytes();
    depth > 0
        && bytes.get(..4).is_some_and(|word| word.eq_ignore_ascii_case(b"note"))
        && matches!(&bytes[4..], [] | [b' ' | b'\t' | b'\n', ..] | [b'\r'] | [b'\r', b'\n', ..])
}
