use std::borrow::Cow;
use std::fmt::Write as _;

/// A character that a reader cannot see, or that changes the order in which others are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hidden {
    /// Byte offset in the text.
    pub offset: usize,
    /// The character.
    pub character: char,
}

/// Whether a character may not stand in a journal: control characters other than tab and line ends, bidirectional
/// overrides and isolates, zero-width characters, and the replacement mark that stands for bytes that are not UTF-8.
pub fn is_hidden(character: char) -> bool {
    match character {
        '\t' | '\n' | '\r' => false,
        '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' => true,
        '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' => true,
        '\u{2028}' | '\u{2029}' | '\u{feff}' | '\u{fffd}' => true,
        _ => false,
    }
}

/// Every hidden character of a text, except a byte-order mark at its very start where it begins a file.
pub fn hidden_characters(text: &str, begins_file: bool) -> Vec<Hidden> {
    // Plain ASCII without control characters is by far the commonest file: one pass over bytes settles it.
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~' | b'\n' | b'\t' | b'\r')) {
        return Vec::new();
    }
    text.char_indices()
        .filter(|&(offset, character)| is_hidden(character) && !(begins_file && offset == 0 && character == '\u{feff}'))
        .map(|(offset, character)| Hidden { offset, character })
        .collect()
}

/// The text with every hidden character written out as `\u{...}`, fit for a terminal or a page.
pub fn escape_hidden(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_hidden) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for character in text.chars() {
        if is_hidden(character) {
            let _ = write!(shown, "\\u{{{:x}}}", character as u32);
        } else {
            shown.push(character);
        }
    }
    Cow::Owned(shown)
}
