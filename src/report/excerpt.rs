//! The few lines of journal that a picture shows, escaped and cut to a bearable width, with the marks moved along.
//!
//! The picture is drawn from these copies, never from the journal itself: so a control character cannot reach the
//! terminal, and a line of a megabyte costs no more than its neighbourhood of the mark.

use std::ops::Range;

use codespan_reporting::files::{Error, Files};

use super::place::in_file;
use super::shown::{columns, one_line, push_character};
use crate::finding::Label;
use crate::text::{SourceId, Sources};

/// Where a label is drawn: an excerpt, and bytes of its text.
pub(super) struct Marked {
    pub file: usize,
    pub range: Range<usize>,
}

/// The excerpts of one finding, one a file, in the order in which its labels name the files.
pub(super) struct Excerpts(Vec<Excerpt>);

struct Excerpt {
    name: String,
    text: String,
    lines: Vec<Line>,
}

/// One line shown. `index` only tells the picture which lines are neighbours: one apart for lines that follow each
/// other in the journal, more when something is left out between them.
struct Line {
    index: usize,
    number: usize,
    shown: Range<usize>,
    /// Column in the journal (characters, from 1) of each mark that begins here, by its byte in the excerpt.
    marks: Vec<(usize, usize)>,
}

/// One label on the line where it begins. Where a label runs on over more lines, its first line stands for it.
struct Spot {
    label: usize,
    line: usize,
    column: usize,
    bytes: Range<usize>,
}

/// Excerpts for the labels of a finding, and where in them each label is drawn. `width` is that of the whole picture.
pub(super) fn excerpts(labels: &[Label], sources: &Sources, width: usize) -> (Excerpts, Vec<Marked>) {
    let mut by_file: Vec<(SourceId, Vec<Spot>)> = Vec::new();
    for (label, written) in labels.iter().enumerate() {
        let (source, range) = in_file(sources, written.span);
        let file = sources.get(source);
        // In range of the file, so it fits what a span can address.
        let place = sources.place(file.base() + range.start as u32);
        let end = line_part(&file.text()[range.clone()]) + range.start;
        let (line, column) = (place.line as usize, place.column as usize);
        let spot = Spot { label, line, column, bytes: range.start..end };
        match by_file.iter_mut().find(|(known, _)| *known == source) {
            Some((_, spots)) => spots.push(spot),
            None => by_file.push((source, vec![spot])),
        }
    }
    let longest = by_file.iter().flat_map(|(_, spots)| spots).map(|spot| digits(spot.line)).max().unwrap_or(1);
    let room = width.saturating_sub(longest + " │ ".chars().count());

    let mut marked: Vec<Marked> = labels.iter().map(|_| Marked { file: 0, range: 0..0 }).collect();
    let mut files = Vec::with_capacity(by_file.len());
    for (file, (source, mut spots)) in by_file.into_iter().enumerate() {
        let source = sources.get(source);
        let mut excerpt =
            Excerpt { name: one_line(&source.path().to_string_lossy()), text: String::new(), lines: Vec::new() };
        spots.sort_by_key(|spot| (spot.bytes.start, spot.bytes.end));
        for on_line in spots.chunk_by(|one, next| one.line == next.line) {
            for (spot, range) in on_line.iter().zip(excerpt.push(source.text(), on_line, room)) {
                marked[spot.label] = Marked { file, range };
            }
        }
        files.push(excerpt);
    }
    (Excerpts(files), marked)
}

impl Excerpt {
    /// Adds the line that all `spots` are on; gives the bytes of each in the excerpt.
    fn push(&mut self, journal: &str, spots: &[Spot], room: usize) -> Vec<Range<usize>> {
        if !self.text.is_empty() || !self.lines.is_empty() {
            self.text.push('\n');
        }
        let start = self.text.len();
        let mut points: Vec<usize> = spots.iter().flat_map(|spot| [spot.bytes.start, spot.bytes.end]).collect();
        points.sort_unstable();
        points.dedup();
        let shown_at = self.push_windows(journal, &windows(journal, spots, room), &points);
        let at = |offset: usize| points.binary_search(&offset).map_or(start, |index| shown_at[index]);
        let ranges: Vec<_> = spots.iter().map(|spot| at(spot.bytes.start)..at(spot.bytes.end)).collect();

        let number = spots[0].line;
        let index = self.lines.last().map_or(0, |last| last.index + if last.number + 1 == number { 1 } else { 3 });
        let marks = spots.iter().zip(&ranges).map(|(spot, range)| (range.start, spot.column)).collect();
        self.lines.push(Line { index, number, shown: start..self.text.len(), marks });
        ranges
    }

    /// Writes the windows of one line with `…` for what is left out; gives where each of the sorted `points` came to
    /// stand. A point that was left out stands after its `…`.
    fn push_windows(&mut self, journal: &str, windows: &[Window], points: &[usize]) -> Vec<usize> {
        let mut shown_at = Vec::with_capacity(points.len());
        for (index, window) in windows.iter().enumerate() {
            if index > 0 {
                self.text.push_str(" … ");
            } else if !window.from_start {
                self.text.push('…');
            }
            for (offset, character) in journal[window.bytes.clone()].char_indices() {
                while points.get(shown_at.len()).is_some_and(|&point| point <= window.bytes.start + offset) {
                    shown_at.push(self.text.len());
                }
                push_character(&mut self.text, character);
            }
            while points.get(shown_at.len()).is_some_and(|&point| point <= window.bytes.end) {
                shown_at.push(self.text.len());
            }
        }
        if windows.last().is_some_and(|last| !last.to_end) {
            self.text.push('…');
        }
        shown_at.resize(points.len(), self.text.len());
        shown_at
    }
}

/// A stretch of a line that is shown.
struct Window {
    bytes: Range<usize>,
    /// It begins where the line begins.
    from_start: bool,
    /// It ends where the line ends.
    to_end: bool,
}

/// The whole line if it fits the room; otherwise the neighbourhood of each mark, each with its share of the room.
fn windows(journal: &str, spots: &[Spot], room: usize) -> Vec<Window> {
    let whole = window(journal, spots[0].bytes.start, room, |left| room.saturating_sub(left));
    if whole.from_start && whole.to_end {
        return vec![whole];
    }
    // Two columns go to the dots at either side; below sixteen columns a neighbourhood tells nothing.
    let share = (room / spots.len()).saturating_sub(2).max(16);
    let mut windows: Vec<Window> = Vec::with_capacity(spots.len());
    for spot in spots {
        let marked: usize = journal[spot.bytes.clone()].chars().take(share).map(columns).sum();
        let before = (share - marked.min(share / 2)) / 2;
        let next = window(journal, spot.bytes.start, before, |left| share - left);
        match windows.last_mut() {
            Some(last) if next.bytes.start <= last.bytes.end => {
                if next.bytes.end > last.bytes.end {
                    last.bytes.end = next.bytes.end;
                    last.to_end = next.to_end;
                }
            }
            _ => windows.push(next),
        }
    }
    windows
}

/// The stretch around `at`: at most `before` columns to the left, and to the right as many as `after` allows once the
/// columns taken on the left are known. Looks at no more of the journal than it shows.
fn window(journal: &str, at: usize, before: usize, after: impl Fn(usize) -> usize) -> Window {
    let mut start = at;
    let mut left = 0;
    let mut from_start = true;
    for (offset, character) in journal[..at].char_indices().rev() {
        // A byte-order mark at the start of a file is not part of its text.
        if character == '\n' || (offset == 0 && character == '\u{feff}') {
            break;
        }
        if left + columns(character) > before {
            from_start = false;
            break;
        }
        left += columns(character);
        start = offset;
    }
    let room = after(left);
    let mut end = at;
    let mut right = 0;
    let mut to_end = true;
    for (offset, character) in journal[at..].char_indices() {
        let offset = at + offset;
        if character == '\n' || journal[offset..].starts_with("\r\n") {
            break;
        }
        if right + columns(character) > room {
            to_end = false;
            break;
        }
        right += columns(character);
        end = offset + character.len_utf8();
    }
    Window { bytes: start..end, from_start, to_end }
}

/// How many bytes of a label lie on the line where it begins, without the line end.
fn line_part(label: &str) -> usize {
    let line = label.find('\n').map_or(label, |end| &label[..end]);
    if line.len() < label.len() { line.strip_suffix('\r').unwrap_or(line).len() } else { line.len() }
}

fn digits(number: usize) -> usize {
    number.checked_ilog10().map_or(1, |power| power as usize + 1)
}

impl Excerpts {
    /// Digits of the longest line number: the width of the picture's left margin.
    pub(super) fn number_width(&self) -> usize {
        self.0.iter().flat_map(|file| &file.lines).map(|line| digits(line.number)).max().unwrap_or(1)
    }

    /// Whether words of some columns fit behind the mark that they belong to; below its beginning where another mark of
    /// the line comes later. `width` is that of the whole picture.
    pub(super) fn has_room(&self, at: &Marked, all: &[Marked], width: usize, words: usize) -> bool {
        let Some(line) = self.line_of(at) else { return true };
        let later = |other: &Marked| {
            other.file == at.file && line.shown.contains(&other.range.start) && other.range.start > at.range.start
        };
        let stand = if all.iter().any(later) { at.range.start } else { at.range.end };
        let text = &self.0[at.file].text;
        let before: usize = text[line.shown.start..stand.min(line.shown.end)].chars().map(columns).sum();
        words == 0 || self.number_width() + " │ ".chars().count() + before + 1 + words <= width
    }

    /// A mark's place, in words.
    pub(super) fn said(&self, at: &Marked) -> String {
        let line = self.line_of(at).map_or(0, |line| line.number);
        match at.file {
            0 => format!("line {line}"),
            file => format!("{} line {line}", self.0[file].name),
        }
    }

    fn line_of(&self, at: &Marked) -> Option<&Line> {
        self.0.get(at.file)?.lines.iter().rfind(|line| line.shown.start <= at.range.start)
    }

    fn file(&self, id: usize) -> Result<&Excerpt, Error> {
        self.0.get(id).ok_or(Error::FileMissing)
    }

    fn line(&self, id: usize, index: usize) -> Result<&Line, Error> {
        let lines = &self.file(id)?.lines;
        let max = lines.last().map_or(0, |last| last.index);
        let found = lines.binary_search_by_key(&index, |line| line.index);
        found.map(|at| &lines[at]).map_err(|_| Error::LineTooLarge { given: index, max })
    }
}

impl<'a> Files<'a> for Excerpts {
    type FileId = usize;
    type Name = &'a str;
    type Source = &'a str;

    fn name(&'a self, id: usize) -> Result<&'a str, Error> {
        Ok(&self.file(id)?.name)
    }

    fn source(&'a self, id: usize) -> Result<&'a str, Error> {
        Ok(&self.file(id)?.text)
    }

    fn line_index(&'a self, id: usize, byte: usize) -> Result<usize, Error> {
        let lines = &self.file(id)?.lines;
        let after = lines.partition_point(|line| line.shown.start <= byte);
        lines.get(after.saturating_sub(1)).map(|line| line.index).ok_or(Error::IndexTooLarge { given: byte, max: 0 })
    }

    fn line_number(&'a self, id: usize, index: usize) -> Result<usize, Error> {
        Ok(self.line(id, index)?.number)
    }

    /// The column in the journal, not in the excerpt.
    fn column_number(&'a self, id: usize, index: usize, byte: usize) -> Result<usize, Error> {
        let line = self.line(id, index)?;
        let mark = line.marks.iter().find(|(start, _)| *start == byte);
        Ok(mark.map_or(1, |&(_, column)| column))
    }

    fn line_range(&'a self, id: usize, index: usize) -> Result<Range<usize>, Error> {
        Ok(self.line(id, index)?.shown.clone())
    }
}
