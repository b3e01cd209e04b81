use std::fmt::Write as _;

use serde::Serialize;

use crate::text::is_hidden;

/// A value as indented JSON with a line end. Hidden characters, which JSON lets stand raw, are written as `\uXXXX`:
/// the same value to a program, and harmless to whoever looks at the file in a terminal.
pub(super) fn json_text(value: &impl Serialize) -> String {
    // Serialising our own structs of strings and numbers into memory has no way to fail.
    let text = serde_json::to_string_pretty(value).unwrap_or_default();
    let mut out = String::with_capacity(text.len() + 1);
    for character in text.chars() {
        if is_hidden(character) {
            // Hidden characters lie below U+10000, so four digits hold each. Writing to a String cannot fail.
            let _ = write!(out, "\\u{:04x}", character as u32);
        } else {
            out.push(character);
        }
    }
    out.push('\n');
    out
}
