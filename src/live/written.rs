//! A farm's files, and where in them each finding has something to say.

use std::collections::BTreeMap;
use std::ops::Range;

use serde::Serialize;

use super::address::slugs;
use crate::files::FarmFiles;
use crate::finding::{Finding, Level};
use crate::text::{Source, SourceId, Sources};

/// Characters of a line that are shown.
const LONGEST: usize = 2000;

/// A place of a finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    /// Where it begins, in bytes of the file.
    pub(super) start: usize,
    /// Where it ends.
    pub(super) end: usize,
    /// Which finding of the farm.
    pub(super) finding: usize,
    /// Which of its labels.
    pub(super) label: usize,
}

/// A file of a farm.
#[derive(Debug)]
pub(super) struct WrittenFile {
    pub(super) source: SourceId,
    /// The part of its address that stands for it.
    pub(super) name: String,
    /// Its path as people see it.
    pub(super) shown: String,
    /// What findings say in it, by place.
    pub(super) spots: Vec<Spot>,
}

/// The files of a farm.
#[derive(Debug)]
pub(super) struct Written {
    pub(super) files: Vec<WrittenFile>,
}

impl Written {
    pub(super) fn new(sources: &Sources, farm: &FarmFiles, findings: &[Finding]) -> Self {
        let mut spots: BTreeMap<SourceId, Vec<Spot>> = BTreeMap::new();
        for (finding, found) in findings.iter().enumerate() {
            for (label, at) in found.labels.iter().enumerate() {
                let Range { start, end } = sources.local(at.span);
                spots.entry(sources.source_of(at.span)).or_default().push(Spot { start, end, finding, label });
            }
        }
        let mut files: Vec<(SourceId, String)> =
            farm.files.iter().map(|&file| (file, shown(sources.get(file), farm))).collect();
        files.sort_by(|one, other| one.1.cmp(&other.1));
        let names = slugs(files.iter().map(|(_, shown)| shown.strip_suffix(".spray").unwrap_or(shown)));
        let files = files.into_iter().zip(names).map(|((source, shown), name)| {
            let mut spots = spots.remove(&source).unwrap_or_default();
            spots.sort_unstable();
            WrittenFile { source, name, shown, spots }
        });
        Self { files: files.collect() }
    }

    /// The file of a source, where it is one of the farm's.
    pub(super) fn file(&self, source: SourceId) -> Option<&WrittenFile> {
        self.files.iter().find(|file| file.source == source)
    }
}

fn shown(source: &Source, farm: &FarmFiles) -> String {
    let path = source.path();
    path.strip_prefix(&farm.folder).unwrap_or(path).to_string_lossy().into_owned()
}

/// A stretch of a line.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub(super) struct Piece {
    pub(super) text: String,
    /// How grave the findings are that point at it.
    pub(super) mark: Option<&'static str>,
}

/// A line in pieces. `marks` are stretches of it in bytes, with the level of who points there.
pub(super) fn pieces(line: &str, marks: &[(Range<usize>, Level)]) -> Vec<Piece> {
    let cut = line.char_indices().nth(LONGEST).map_or(line.len(), |(at, _)| at);
    let mut edges: Vec<usize> = marks.iter().flat_map(|(range, _)| [range.start, range.end]).chain([0, cut]).collect();
    // A mark may begin in what is not shown, or inside a character that could not be read.
    edges.retain(|&edge| edge <= cut && line.is_char_boundary(edge));
    edges.sort_unstable();
    edges.dedup();
    let mut pieces: Vec<Piece> = Vec::new();
    for (start, end) in edges.iter().zip(edges.iter().skip(1)) {
        let over = marks.iter().filter(|(range, _)| range.start <= *start && end <= &range.end);
        // The gravest level comes first.
        let mark = over.map(|(_, level)| *level).min().map(Level::word);
        pieces.push(Piece { text: line[*start..*end].to_string(), mark });
    }
    if cut < line.len() {
        pieces.push(Piece { text: "…".to_string(), mark: None });
    }
    pieces
}

/// The lines of a text, each with its number and the bytes it takes, without its end.
pub(super) fn lines(text: &str) -> impl Iterator<Item = (usize, Range<usize>)> {
    let mut start = 0;
    text.split_inclusive('\n').enumerate().map(move |(index, line)| {
        let from = start;
        start += line.len();
        let words = line.strip_suffix('\n').unwrap_or(line);
        let words = words.strip_suffix('\r').unwrap_or(words);
        // A byte-order mark is no part of the text.
        let mark = if from == 0 && words.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
        (index + 1, from + mark..from + words.len())
    })
}

/// What of a stretch of the file lies on a line, in bytes of that line.
pub(super) fn on_line(line: &Range<usize>, start: usize, end: usize) -> Range<usize> {
    let within = |at: usize| at.clamp(line.start, line.end) - line.start;
    within(start)..within(end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gravest_of_overlapping_marks_shows_and_nothing_is_lost() {
        let found = pieces("put whey 3 cup", &[(4..14, Level::Note), (9..10, Level::Error), (9..9, Level::Warning)]);
        let shown: Vec<(&str, Option<&str>)> = found.iter().map(|piece| (&*piece.text, piece.mark)).collect();
        let note = Some("note");
        assert_eq!(shown, [("put ", None), ("whey ", note), ("3", Some("error")), (" cup", note)]);
    }

    #[test]
    fn a_line_without_end_is_cut() {
        let found = pieces(&"ä".repeat(3000), &[(5000..6000, Level::Error)]);
        assert_eq!(found.iter().map(|piece| piece.text.chars().count()).sum::<usize>(), LONGEST + 1);
    }

    #[test]
    fn lines_leave_out_their_ends_and_a_byte_order_mark() {
        let text = "\u{feff}a\r\nb\n\nc";
        let found: Vec<(usize, &str)> = lines(text).map(|(number, range)| (number, &text[range])).collect();
        assert_eq!(found, [(1, "a"), (2, "b"), (3, ""), (4, "c")]);
    }
}
