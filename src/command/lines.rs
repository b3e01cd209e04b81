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

/// Markdown with its paragraphs and list items filled; code, tables and headings stay as they are.
pub(super) fn prose(markdown: &str) -> String {
    let mut text = String::new();
    let mut paragraph: Vec<&str> = Vec::new();
    let mut code = false;
    for line in markdown.lines() {
        let fence = line.trim_start().starts_with("```");
        let item = line.starts_with("- ");
        let flows = !(code || fence || line.is_empty() || line.starts_with(['#', '|']));
        if !flows || item {
            finish(&mut paragraph, &mut text);
        }
        if flows {
            paragraph.push(line);
        } else {
            text.push_str(line);
            text.push('\n');
        }
        code ^= fence;
    }
    finish(&mut paragraph, &mut text);
    text
}

/// Fills the lines of a paragraph, or of an item of a list.
fn finish(paragraph: &mut Vec<&str>, text: &mut String) {
    let Some(first) = paragraph.first() else { return };
    let later = if first.starts_with("- ") { "  " } else { "" };
    let words: Vec<&str> = paragraph.drain(..).flat_map(str::split_whitespace).collect();
    text.push_str(&filled(&words.join(" "), "", later));
    text.push('\n');
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
