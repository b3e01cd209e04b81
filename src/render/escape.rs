//! Text of the journal as harmless text of a document.

use std::fmt::{self, Write};

use crate::text::escape_hidden;

/// For HTML, in text and in quoted attributes.
pub(super) fn html(out: &mut impl Write, text: &str) -> fmt::Result {
    let shown = escape_hidden(text);
    let mut rest = &*shown;
    while let Some(at) = rest.find(['<', '>', '&', '"', '\'', '\r']) {
        out.write_str(&rest[..at])?;
        out.write_str(match rest.as_bytes()[at] {
            b'<' => "&lt;",
            b'>' => "&gt;",
            b'&' => "&amp;",
            b'"' => "&quot;",
            b'\'' => "&#39;",
            _ => " ",
        })?;
        rest = &rest[at + 1..];
    }
    out.write_str(rest)
}

/// For Markdown, anywhere in a line or a table cell: it comes out as the same words whatever they are, on one line.
pub(super) fn markdown(out: &mut impl Write, text: &str) -> fmt::Result {
    let shown = escape_hidden(text);
    let mut at_start = true;
    let mut only_digits = false;
    let mut letters = shown.chars().peekable();
    while let Some(letter) = letters.next() {
        let ends_number = only_digits && letters.peek().is_none_or(|next| next.is_whitespace());
        match letter {
            '\n' | '\r' | '\t' => out.write_char(' ')?,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '&' | '{' | '}' | '$' => {
                out.write_char('\\')?;
                out.write_char(letter)?;
            }
            // At the start of a line these make headings, lists and rules; so does a number with a full stop.
            '#' | '+' | '-' | '=' if at_start => {
                out.write_char('\\')?;
                out.write_char(letter)?;
            }
            '.' | ')' if ends_number => {
                out.write_char('\\')?;
                out.write_char(letter)?;
            }
            _ => out.write_char(letter)?,
        }
        only_digits = letter.is_ascii_digit() && (at_start || only_digits);
        at_start &= letter.is_whitespace();
    }
    Ok(())
}
