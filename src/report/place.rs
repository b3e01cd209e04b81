use std::ops::Range;
use std::path::Path;

use crate::text::{Place, SourceId, Sources, Span};

/// A span as bytes of its own file. A span that leaves its file or splits a character is drawn in, never a panic:
/// a report about a broken journal must come out whatever the journal holds.
pub(super) fn in_file(sources: &Sources, span: Span) -> (SourceId, Range<usize>) {
    let id = sources.source_of(span);
    let file = sources.get(id);
    let whole = |offset: u32| {
        let mut offset = (offset.saturating_sub(file.base()) as usize).min(file.text().len());
        while !file.text().is_char_boundary(offset) {
            offset -= 1;
        }
        offset
    };
    let (start, end) = (whole(span.start), whole(span.end));
    (id, start..end.max(start))
}

/// A span as people and machines name it: path, and the places of its two ends.
pub(super) struct Region<'a> {
    pub path: &'a Path,
    pub start: Place,
    pub end: Place,
}

pub(super) fn region(sources: &Sources, span: Span) -> Region<'_> {
    let (id, range) = in_file(sources, span);
    let file = sources.get(id);
    // In range of the file, so it fits what a span can address.
    let place = |offset: usize| sources.place(file.base() + offset as u32);
    Region { path: file.path(), start: place(range.start), end: place(range.end) }
}

/// The journal's own words at a span.
pub(super) fn words(sources: &Sources, span: Span) -> &str {
    let (id, range) = in_file(sources, span);
    &sources.get(id).text()[range]
}
