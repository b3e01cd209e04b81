//! Where names are declared and used.

use std::path::Path;

use lsp_types::{
    DocumentHighlight, DocumentHighlightKind, GotoDefinitionResponse, Location, ReferenceParams,
    TextDocumentPositionParams,
};

use super::parts::{Sort, declares, parts};
use super::state::{Cursor, State};
use super::{Desk, Document, Workspace};
use crate::journal::{Journal, NameSort, Named};
use crate::syntax::EntryWord;
use crate::text::Span;

/// A name, and of which sort of thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Name {
    /// Of what.
    pub sort: NameSort,
    /// As it is compared: in lower case.
    pub name: String,
    /// Where the cursor met it.
    pub span: Span,
}

/// The thing of that name.
pub fn find<'j>(journal: &'j Journal, sort: NameSort, name: &str) -> Option<&'j Named> {
    journal.declared(sort).into_iter().find(|named| *named.name == *name)
}

/// The name under the cursor. A class is none, but what may be a class or a material is a material's name where there is
/// such a material.
pub fn name_at(cursor: &Cursor<'_>) -> Option<Name> {
    let part = cursor.part()?;
    name_of(cursor.desk, part.sort, part.span)
}

fn name_of(desk: &Desk, sort: Sort, span: Span) -> Option<Name> {
    let name = desk.sources().slice(span).to_lowercase();
    let sort = match sort {
        Sort::Declared(sort) | Sort::Used(sort) => sort,
        Sort::MaterialOrClass => {
            find(desk.journal(), NameSort::Material, &name)?;
            NameSort::Material
        }
        _ => return None,
    };
    Some(Name { sort, name, span })
}

/// Where the name under the cursor is declared.
pub fn definition(state: State<'_>, at: &TextDocumentPositionParams) -> Option<GotoDefinitionResponse> {
    let cursor = state.cursor(at)?;
    let name = name_at(&cursor)?;
    // A name that stands twice is declared at every place of it.
    let places =
        uses(state.workspace, cursor.desk, &name).into_iter().filter(|(_, declares)| *declares).map(|(span, _)| span);
    let mut places: Vec<Location> = places.filter_map(|span| state.location(cursor.desk, span)).collect();
    match places.len() {
        0 => None,
        1 => places.pop().map(GotoDefinitionResponse::Scalar),
        _ => Some(GotoDefinitionResponse::Array(places)),
    }
}

/// Where the name under the cursor stands, in every farm that the file belongs to.
pub fn references(state: State<'_>, params: &ReferenceParams) -> Option<Vec<Location>> {
    let cursor = state.cursor(&params.text_document_position)?;
    let name = name_at(&cursor)?;
    let mut places: Vec<Location> = Vec::new();
    for desk in knowing(state, cursor.desk, cursor.document.path(), &name) {
        for (span, declares) in uses(state.workspace, desk, &name) {
            let place = state.location(desk, span).filter(|_| !declares || params.context.include_declaration);
            places.extend(place.filter(|place| !places.contains(place)));
        }
    }
    Some(places)
}

/// Every farm that knows a name by the same declaration as one farm does in one of its files.
pub fn knowing<'s>(state: State<'s>, desk: &'s Desk, file: &'s Path, name: &Name) -> Vec<&'s Desk> {
    let declared = find(desk.journal(), name.sort, &name.name).and_then(|named| desk.locate(named.span));
    let known = |other: &&Desk| other.has(file) || declared.as_ref().is_some_and(|located| other.has(located.path));
    state.workspace.farms().iter().filter(known).collect()
}

/// Where the name under the cursor stands in its file.
pub fn highlights(state: State<'_>, at: &TextDocumentPositionParams) -> Option<Vec<DocumentHighlight>> {
    let cursor = state.cursor(at)?;
    let name = name_at(&cursor)?;
    let here = uses_in(state.workspace, cursor.desk, cursor.document.path(), &name);
    let highlight = |(span, declares): (Span, bool)| {
        let located = cursor.desk.locate(span)?;
        let kind = if declares { DocumentHighlightKind::WRITE } else { DocumentHighlightKind::READ };
        Some(DocumentHighlight { range: cursor.document.range(located.range), kind: Some(kind) })
    };
    Some(here.into_iter().filter_map(highlight).collect())
}

/// Every place of a name in a farm, and whether it is declared there.
pub fn uses(workspace: &Workspace, desk: &Desk, name: &Name) -> Vec<(Span, bool)> {
    desk.paths().flat_map(|path| uses_in(workspace, desk, path, name)).collect()
}

fn uses_in(workspace: &Workspace, desk: &Desk, path: &Path, name: &Name) -> Vec<(Span, bool)> {
    let text = workspace.document(path).map_or("", Document::text);
    let mut found = Vec::new();
    for range in desk.entries(path) {
        // Reading an entry takes longer than looking for the name in it.
        if !text.get(range.clone()).is_some_and(|words| mentions(words, &name.name)) {
            continue;
        }
        let Some(entry) = desk.entry_at(path, range.start) else { continue };
        for part in parts(&entry) {
            let is = name_of(desk, part.sort, part.span)
                .is_some_and(|other| other.sort == name.sort && other.name == name.name);
            if is {
                found.push((part.span, part.sort == Sort::Declared(name.sort)));
            }
        }
    }
    found
}

/// Whether a name stands anywhere in words, in whatever case.
fn mentions(words: &str, name: &str) -> bool {
    if !name.is_ascii() {
        return words.to_lowercase().contains(name);
    }
    let (first, length) = (name.as_bytes()[0], name.len());
    let bytes = words.as_bytes();
    memchr::memchr2_iter(first, first.to_ascii_uppercase(), bytes)
        .any(|at| bytes.get(at..at + length).is_some_and(|found| found.eq_ignore_ascii_case(name.as_bytes())))
}

/// The entry word that declares a sort of thing.
pub fn declaring(sort: NameSort) -> EntryWord {
    EntryWord::ALL.iter().copied().find(|&word| declares(word) == Some(sort)).unwrap_or(EntryWord::Material)
}
