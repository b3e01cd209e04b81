//! The canonical layout as edits: only the lines that change, and none where anything but layout would.

use std::ops::Range;

use lsp_types::{DocumentFormattingParams, DocumentRangeFormattingParams, TextEdit};
use similar::{Algorithm, DiffOp, capture_diff_slices};

use super::Document;
use super::state::State;
use crate::syntax::{laid_out, laid_out_entry, same_entries, split_entries};

/// The whole file.
pub fn document(state: State<'_>, params: &DocumentFormattingParams) -> Option<Vec<TextEdit>> {
    let document = state.document(&params.text_document.uri)?;
    Some(edits(document, 0..document.text().len(), laid_out(document.text())))
}

/// Every entry that a range touches.
pub fn range(state: State<'_>, params: &DocumentRangeFormattingParams) -> Option<Vec<TextEdit>> {
    let document = state.document(&params.text_document.uri)?;
    let asked = document.bytes(params.range);
    let touched = |entry: &Range<usize>| entry.start <= asked.end && asked.start < entry.end;
    let entries = split_entries(document.text()).into_iter().filter(touched);
    Some(
        entries
            .flat_map(|entry| {
                let laid = laid_out_entry(&document.text()[entry.clone()]);
                edits(document, entry, laid)
            })
            .collect(),
    )
}

/// The edits that put words in the place of a stretch of a text, a run of lines each.
pub fn edits(document: &Document, range: Range<usize>, with: String) -> Vec<TextEdit> {
    let old = &document.text()[range.clone()];
    // What would be read otherwise stays as it is.
    if old == with || !same_entries(old, &with) {
        return Vec::new();
    }
    let (before, after): (Vec<&str>, Vec<&str>) =
        (old.split_inclusive('\n').collect(), with.split_inclusive('\n').collect());
    let starts: Vec<usize> = std::iter::once(range.start)
        .chain(before.iter().scan(range.start, |at, line| {
            *at += line.len();
            Some(*at)
        }))
        .collect();
    let edit = |op: DiffOp| {
        let (_, old, new) = op.as_tag_tuple();
        let changed = document.range(starts[old.start]..starts[old.end]);
        (!matches!(op, DiffOp::Equal { .. })).then(|| TextEdit::new(changed, after[new].concat()))
    };
    capture_diff_slices(Algorithm::Myers, &before, &after).into_iter().filter_map(edit).collect()
}
