//! One file as the editor has it: its text, and places in it as bytes and as the protocol counts them.

use std::ops::Range;
use std::path::{Path, PathBuf};

use lsp_types::Position;

/// A file's text with where its lines begin.
#[derive(Debug)]
pub struct Document {
    path: PathBuf,
    text: String,
    /// Where each line begins, in bytes.
    lines: Vec<u32>,
    /// The editor's number for this state of the text; `None` where no editor has it open.
    pub version: Option<i32>,
}

impl Document {
    /// A file's text.
    pub fn new(path: PathBuf, text: String, version: Option<i32>) -> Self {
        let lines = std::iter::once(0).chain(starts_in(&text, 0)).collect();
        Self { path, text, lines, version }
    }

    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// How many lines.
    pub fn line_count(&self) -> usize {
        self.lines.len()
    }

    /// A line by its number from 0, without its end; nothing where there is none.
    pub fn line(&self, number: usize) -> Option<&str> {
        let start = *self.lines.get(number)? as usize;
        let end = self.lines.get(number + 1).map_or(self.text.len(), |&next| next as usize);
        Some(self.text[start..end].trim_end_matches(['\n', '\r']))
    }

    /// The number from 0 of the line that an offset lies on.
    pub fn line_of(&self, offset: usize) -> usize {
        self.lines.partition_point(|&start| start as usize <= offset) - 1
    }

    /// Where a line begins, in bytes; the end of the text for a line past the last.
    pub fn line_start(&self, number: usize) -> usize {
        self.lines.get(number).map_or(self.text.len(), |&start| start as usize)
    }

    /// An offset in bytes as the protocol counts: lines from 0, and UTF-16 code units in the line.
    pub fn position(&self, offset: usize) -> Position {
        let offset = self.boundary(offset);
        let line = self.line_of(offset);
        let before = &self.text[self.line_start(line)..offset];
        Position::new(line as u32, before.chars().map(char::len_utf16).sum::<usize>() as u32)
    }

    /// A range in bytes as the protocol counts.
    pub fn range(&self, range: Range<usize>) -> lsp_types::Range {
        lsp_types::Range::new(self.position(range.start), self.position(range.end))
    }

    /// A place of the protocol in bytes: one past the end of its line is the end of the line, one past the last line the
    /// end of the text, as the protocol asks; one in the middle of a character is its beginning.
    pub fn offset(&self, position: Position) -> usize {
        let Some(line) = self.line(position.line as usize) else { return self.text.len() };
        let start = self.line_start(position.line as usize);
        let mut units = 0;
        for (at, character) in line.char_indices() {
            units += character.len_utf16();
            if units > position.character as usize {
                return start + at;
            }
        }
        start + line.len()
    }

    /// A range of the protocol in bytes, the smaller end first.
    pub fn bytes(&self, range: lsp_types::Range) -> Range<usize> {
        let (one, other) = (self.offset(range.start), self.offset(range.end));
        one.min(other)..one.max(other)
    }

    /// Puts words in the place of a range of bytes.
    pub(super) fn edit(&mut self, range: Range<usize>, with: &str) {
        let first = self.lines.partition_point(|&start| start as usize <= range.start);
        let last = self.lines.partition_point(|&start| start as usize <= range.end);
        self.text.replace_range(range.clone(), with);
        let longer = with.len() as i64 - range.len() as i64;
        for start in &mut self.lines[last..] {
            *start = (i64::from(*start) + longer) as u32;
        }
        self.lines.splice(first..last, starts_in(with, range.start));
    }

    fn boundary(&self, offset: usize) -> usize {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        offset
    }
}

/// Where lines begin behind the newlines of a stretch of text that itself begins at an offset.
fn starts_in(text: &str, offset: usize) -> impl Iterator<Item = u32> {
    memchr::memchr_iter(b'\n', text.as_bytes()).map(move |newline| (offset + newline + 1) as u32)
}
