//! What can be folded: days, entries, notes, remarks.

use lsp_types::{FoldingRange, FoldingRangeKind, FoldingRangeParams};

use super::Document;
use super::state::State;
use crate::syntax::{EntryWord, Value, read_entry, split_entries};

/// What can be folded in a file.
pub fn folds(state: State<'_>, params: &FoldingRangeParams) -> Option<Vec<FoldingRange>> {
    let document = state.document(&params.text_document.uri)?;
    let mut folds = Folds { document, found: Vec::new() };
    let mut day: Option<usize> = None;
    for range in split_entries(document.text()) {
        let entry = read_entry(&document.text()[range.clone()], range.start as u32);
        if entry.head.word.is_empty() {
            continue;
        }
        let end = last_line(document, range.start, range.end);
        if entry.kind == Some(EntryWord::Day) {
            if let Some(start) = day.replace(range.start) {
                folds.add(start, last_line(document, start, range.start), None);
            }
        } else {
            folds.add(range.start, end, None);
        }
        for field in &entry.fields {
            if let Value::Note(lines) = &field.value
                && let Some(last) = lines.last()
            {
                folds.add(field.at.start as usize, document.line_of(last.end as usize), None);
            }
        }
    }
    if let Some(start) = day {
        folds.add(start, last_line(document, start, document.text().len()), None);
    }
    folds.remarks();
    Some(folds.found)
}

/// The last line of a stretch that is neither empty nor a remark on the next entry.
fn last_line(document: &Document, start: usize, end: usize) -> usize {
    let first = document.line_of(start);
    let mut last = document.line_of(end.saturating_sub(1).max(start));
    let passed = |line: &str| line.trim().is_empty() || line.starts_with('#');
    while last > first && document.line(last).is_none_or(passed) {
        last -= 1;
    }
    last
}

struct Folds<'d> {
    document: &'d Document,
    found: Vec<FoldingRange>,
}

impl Folds<'_> {
    fn add(&mut self, start: usize, last: usize, kind: Option<FoldingRangeKind>) {
        let first = self.document.line_of(start);
        if first < last {
            let range =
                FoldingRange { start_line: first as u32, end_line: last as u32, kind, ..FoldingRange::default() };
            if !self.found.contains(&range) {
                self.found.push(range);
            }
        }
    }

    /// Runs of lines that are remarks.
    fn remarks(&mut self) {
        let is = |number: usize| self.document.line(number).is_some_and(|line| line.trim_start().starts_with('#'));
        let mut runs = Vec::new();
        let mut number = 0;
        while number < self.document.line_count() {
            let first = number;
            while is(number) {
                number += 1;
            }
            if number > first + 1 {
                runs.push((first, number - 1));
            }
            number += 1;
        }
        for (first, last) in runs {
            self.add(self.document.line_start(first), last, Some(FoldingRangeKind::Comment));
        }
    }
}
