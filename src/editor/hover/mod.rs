//! What stands under the cursor, explained.

mod day;
mod finding;
mod quantity;
mod things;
mod words;

use lsp_types::{Hover, HoverContents, MarkupContent, MarkupKind, TextDocumentPositionParams};

use super::names::name_at;
use super::parts::Sort;
use super::state::{Cursor, State};
use crate::text::Span;

pub use things::{brief, thing};
pub use words::{Page, entry as entry_page, field_page};

/// What stands under the cursor.
pub fn hover(state: State<'_>, at: &TextDocumentPositionParams) -> Option<Hover> {
    let cursor = state.cursor(at)?;
    let mut page = Page::default();
    let mut range = None;
    if let Some((span, about)) = of_part(state, &cursor) {
        range = cursor.desk.locate(span).map(|located| cursor.document.range(located.range));
        page.append(about);
    }
    for (finding, marked) in finding::here(&cursor) {
        range = range.or_else(|| Some(cursor.document.range(marked)));
        page.append(finding);
    }
    if page.is_empty() {
        return None;
    }
    let (kind, value) = match state.client.markdown_hover {
        true => (MarkupKind::Markdown, page.markdown()),
        false => (MarkupKind::PlainText, page.plain()),
    };
    Some(Hover { contents: HoverContents::Markup(MarkupContent { kind, value }), range })
}

fn of_part(state: State<'_>, cursor: &Cursor<'_>) -> Option<(Span, Page)> {
    let part = cursor.part()?;
    let entry = cursor.entry.as_ref()?;
    let words = cursor.desk.sources().slice(part.span);
    let page = match part.sort {
        Sort::EntryWord => words::entry(entry.kind?),
        Sort::FieldWord => words::field(entry.kind?, entry.fields[part.field?].word)?,
        Sort::Declared(_) | Sort::Used(_) | Sort::MaterialOrClass => {
            let name = name_at(cursor)?;
            thing(state, cursor.desk, name.sort, &name.name)?
        }
        Sort::Number | Sort::Unit => return quantity::quantity(cursor, &entry.fields[part.field?], part.span),
        Sort::Date | Sort::Weekday => day::day(cursor, entry, part.span)?,
        Sort::Code => finding::code(&words.to_lowercase())?,
        Sort::Rulebook => things::rulebook(cursor.desk, &words.to_lowercase())?,
        _ => return None,
    };
    Some((part.span, page))
}
