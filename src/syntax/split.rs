//! Cuts a file into entries by one look at the bytes: a line that starts at the margin, and is not a remark, begins
//! an entry. So a bad entry cannot hurt its neighbours, entries can be read side by side, and one can be read again
//! alone.

use std::ops::Range;

/// The entries of a text, in order, as byte ranges that cover all of it. The first may be what stands before any entry.
pub fn split_entries(text: &str) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    let start = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
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
    let mut search = 0;
    while let Some(found) = memchr::memmem::find(&text.as_bytes()[search..], b"note") {
        let at = search + found;
        search = at + "note".len();
        let line = memchr::memrchr(b'\n', &text.as_bytes()[..at]).map_or(0, |newline| newline + 1);
        let depth = at - line;
        let alone = matches!(text.as_bytes().get(search), None | Some(b' ' | b'\t' | b'\r' | b'\n'));
        if depth == 0 || !alone || !text[line..at].bytes().all(|byte| matches!(byte, b' ' | b'\t')) {
            continue;
        }
        let Some(newline) = memchr::memchr(b'\n', &text.as_bytes()[search..]) else { break };
        let start = search + newline + 1;
        let (mut end, mut next) = (start, start);
        while next < text.len() {
            let stop = memchr::memchr(b'\n', &text.as_bytes()[next..]).map_or(text.len(), |newline| next + newline + 1);
            let line = &text[next..stop];
            let words = line.trim_start_matches([' ', '\t']);
            next = stop;
            if words.trim_end().is_empty() {
                continue;
            }
            if line.len() - words.len() <= depth {
                break;
            }
            end = stop;
        }
        if end > start {
            tails.push(start..end);
        }
        search = end;
    }
    tails
}
