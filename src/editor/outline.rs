//! The outline of a file, by day and entry, and finding entries by name across farms.

use std::ops::Range;

use lsp_types::{
    DocumentSymbol, DocumentSymbolParams, DocumentSymbolResponse, SymbolInformation, SymbolKind, WorkspaceSymbolParams,
    WorkspaceSymbolResponse,
};

use super::state::State;
use super::{Desk, Document};
use crate::journal::NameSort;
use crate::syntax::{Entry, EntryWord, FieldWord, read_entry, split_entries};
use crate::text::Span;

/// How many places an answer names at most: more is no answer.
const MOST: usize = 500;

/// The outline of a file: days with what was done on them, and what is so.
pub fn outline(state: State<'_>, params: &DocumentSymbolParams) -> Option<DocumentSymbolResponse> {
    let document = state.document(&params.text_document.uri)?;
    let mut top: Vec<DocumentSymbol> = Vec::new();
    for range in split_entries(document.text()) {
        let entry = read_entry(&document.text()[range.clone()], range.start as u32);
        let Some(symbol) = symbol(document, &entry, range) else { continue };
        let dated = entry.kind.is_none_or(|kind| !kind.is_standing() && kind != EntryWord::Day);
        match top.last_mut().filter(|day| dated && day.kind == SymbolKind::NAMESPACE) {
            Some(day) => {
                day.range.end = symbol.range.end;
                day.children.get_or_insert_default().push(symbol);
            }
            None => top.push(symbol),
        }
    }
    if state.client.nested_symbols {
        return Some(DocumentSymbolResponse::Nested(top));
    }
    let uri = params.text_document.uri.clone();
    let mut flat = Vec::new();
    for mut symbol in top {
        let children = symbol.children.take().unwrap_or_default();
        let day = symbol.name.clone();
        flat.push((symbol, None));
        flat.extend(children.into_iter().map(|child| (child, Some(day.clone()))));
    }
    let one = |(symbol, within): (DocumentSymbol, Option<String>)| {
        information(symbol.name, symbol.kind, lsp_types::Location { uri: uri.clone(), range: symbol.range }, within)
    };
    Some(DocumentSymbolResponse::Flat(flat.into_iter().map(one).collect()))
}

#[expect(deprecated, reason = "the protocol's struct has a field that nobody is to fill any more")]
fn information(
    name: String,
    kind: SymbolKind,
    location: lsp_types::Location,
    container_name: Option<String>,
) -> SymbolInformation {
    SymbolInformation { name, kind, tags: None, deprecated: None, location, container_name }
}

/// An entry; none for what stands before the first one.
#[expect(deprecated, reason = "the protocol's struct has a field that nobody is to fill any more")]
fn symbol(document: &Document, entry: &Entry, range: Range<usize>) -> Option<DocumentSymbol> {
    let words = |span: Span| &document.text()[span.start as usize..span.end as usize];
    let head = &entry.head;
    if head.line.is_empty() && head.word.is_empty() {
        return None;
    }
    let line = words(head.line).split('"').next().unwrap_or_default().trim();
    let (end, line_end) = (document.text()[range.clone()].trim_end().len() + range.start, head.line.end as usize);
    Some(DocumentSymbol {
        name: if line.is_empty() { "?".to_string() } else { line.to_string() },
        detail: detail(document, entry),
        kind: kind(entry.kind),
        tags: None,
        deprecated: None,
        range: document.range(range.start..end.max(line_end)),
        selection_range: document.range(head.line.start as usize..line_end),
        children: None,
    })
}

/// The title of what has one; of a spray its mix and volume, and of others what they are chiefly about.
fn detail(document: &Document, entry: &Entry) -> Option<String> {
    let words = |span: Span| &document.text()[span.start as usize..span.end as usize];
    if let Some(title) = entry.head.title {
        return Some(words(title).trim_matches('"').to_string());
    }
    let chief =
        [FieldWord::Mix, FieldWord::Volume, FieldWord::Stage, FieldWord::Amount, FieldWord::Task, FieldWord::Crop];
    let found = chief.iter().find_map(|word| entry.fields.iter().find(|field| field.word == *word));
    found.map(|field| words(field.span).trim().to_string())
}

fn kind(kind: Option<EntryWord>) -> SymbolKind {
    match kind {
        Some(EntryWord::Day) => SymbolKind::NAMESPACE,
        Some(EntryWord::Farm) => SymbolKind::MODULE,
        Some(EntryWord::Block) => SymbolKind::CLASS,
        Some(EntryWord::Person) => SymbolKind::INTERFACE,
        Some(EntryWord::Rig | EntryWord::Water) => SymbolKind::STRUCT,
        Some(EntryWord::Material) => SymbolKind::VARIABLE,
        Some(EntryWord::Mix) => SymbolKind::FUNCTION,
        Some(EntryWord::Program) => SymbolKind::METHOD,
        Some(EntryWord::Limits) => SymbolKind::CONSTANT,
        _ => SymbolKind::EVENT,
    }
}

/// Entries of every farm whose line holds the letters asked for, in that order: what is declared by its name, what was done
/// by its day.
pub fn search(state: State<'_>, params: &WorkspaceSymbolParams) -> Option<WorkspaceSymbolResponse> {
    let query = params.query.to_lowercase();
    let mut found: Vec<(usize, SymbolInformation)> = Vec::new();
    for desk in state.workspace.farms() {
        let farm = desk.journal().farm.as_ref().map(|farm| farm.named.shown().to_string());
        for (name, kind, span) in entries(desk) {
            let Some(rank) = rank(&name, &query) else { continue };
            let Some(location) = state.location(desk, span) else { continue };
            if found.iter().all(|(_, known)| known.location != location) {
                found.push((rank, information(name, kind, location, farm.clone())));
            }
            if found.len() >= MOST * 4 {
                break;
            }
        }
    }
    found.sort_by_key(|(rank, _)| *rank);
    Some(WorkspaceSymbolResponse::Flat(found.into_iter().take(MOST).map(|(_, symbol)| symbol).collect()))
}

fn entries(desk: &Desk) -> Vec<(String, SymbolKind, Span)> {
    let journal = desk.journal();
    let standing = NameSort::ALL.into_iter().flat_map(|sort| {
        let word = super::names::declaring(sort);
        journal.declared(sort).into_iter().map(move |named| {
            let title = named.title.as_deref().map(|title| format!(" {title}")).unwrap_or_default();
            (format!("{} {}{title}", word.word(), named.name), kind(Some(word)), named.span)
        })
    });
    let dated = journal
        .sprays
        .iter()
        .map(|entry| entry.at)
        .chain(journal.observations.iter().map(|entry| entry.at))
        .chain(journal.harvests.iter().map(|entry| entry.at))
        .chain(journal.works.iter().map(|entry| entry.at))
        .chain(journal.receipts.iter().map(|entry| entry.at))
        .chain(journal.calibrations.iter().map(|entry| entry.at));
    let dated =
        dated.map(|at| (format!("{} {}", at.day, desk.sources().slice(at.line).trim()), SymbolKind::EVENT, at.line));
    standing.chain(dated).collect()
}

/// How well a name fits: the fewer letters lie between those asked for, the better; none where they are not all there.
fn rank(name: &str, query: &str) -> Option<usize> {
    let lower = name.to_lowercase();
    if let Some(at) = lower.find(query) {
        return Some(at);
    }
    let wanted: Vec<char> = query.chars().filter(|letter| !letter.is_whitespace()).collect();
    let from = |start: usize| {
        let mut letters = lower[start..].char_indices();
        let mut last = 0;
        for letter in &wanted {
            (last, _) = letters.by_ref().find(|(_, found)| found == letter)?;
        }
        Some(1000 + last)
    };
    let first = wanted.first()?;
    lower.match_indices(*first).filter_map(|(start, _)| from(start)).min()
}
