//! Lines of a width that every terminal shows.

use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter};

/// How wide a terminal is taken to be.
pub(super) const WIDTH: usize = 80;

/// One paragraph, with what stands before its first line and before the others. Broken between words only: names such as
/// `creek-pear`, paths and commands stay whole, to be copied.
pub(super) fn filled(words: &str, first: &str, later: &str) -> String {
    let options = Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(later)
        .break_words(false)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation);
    textwrap::fill(words, options)
}

/// A message with what it is about in front. Lines of its own stay lines; only those that are too long are filled.
/// Codes for colours have no width.
pub(super) fn message(before: &str, words: &str) -> String {
    let mut text = String::new();
    for (at, line) in words.lines().enumerate() {
        let first = if at == 0 { before } else { "" };
        if display_width(first) + display_width(line) > WIDTH {
            text.push_str(&filled(line, first, "    "));
        } else {
            text.push_str(first);
            text.push_str(line);
        }
        text.push('\n');
    }
    text
}
