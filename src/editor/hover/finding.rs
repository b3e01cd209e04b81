//! Findings under the cursor, and what a finding's name means.

use std::ops::Range;

use super::words::Page;
use crate::checks::{Check, check_named};
use crate::editor::findings::{headline, marked, open, place};
use crate::editor::state::Cursor;

/// Why each finding that is marked under the cursor is one, and what is marked.
pub(super) fn here(cursor: &Cursor<'_>) -> Vec<(Page, Range<usize>)> {
    let mut told: Vec<(Page, Range<usize>)> = Vec::new();
    for finding in open(cursor.desk) {
        let Some((path, range)) = place(cursor.desk, finding) else { continue };
        let range = marked(cursor.document, range);
        if path != cursor.document.path() || cursor.offset < range.start || range.end < cursor.offset {
            continue;
        }
        let Some(check) = check_named(finding.code) else { continue };
        let page = Page::default().title(format!("{}: {}", finding.level.word(), headline(finding)));
        let page = page.text(format!("`{}`: {}", check.code, check.summary)).markdown_text(why(check));
        if told.iter().all(|(other, _)| *other != page) {
            told.push((page, range));
        }
    }
    told
}

/// What a finding of that name means.
pub(super) fn code(name: &str) -> Option<Page> {
    Some(Page::default().markdown_text(check_named(name)?.explain))
}

/// The chapter that says why it matters.
fn why(check: &Check) -> String {
    let chapter = check.explain.split("\n## ").find_map(|chapter| chapter.strip_prefix("Why\n"));
    chapter.unwrap_or_default().trim().to_string()
}
