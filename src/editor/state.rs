//! What a request is answered from: the farms, what the client can do, and where its cursor stands.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use lsp_types::{ClientCapabilities, Location, MarkupKind, TextDocumentPositionParams, Uri};

use super::parts::{Part, part_at, parts};
use super::{Desk, Document, Located, Workspace, uri};
use crate::syntax::Entry;
use crate::text::Span;

/// What a client can do, as far as it changes an answer, and how it writes addresses.
#[derive(Clone, Debug, Default)]
pub struct Client {
    /// Completions may have holes.
    pub snippets: bool,
    /// Hovers may be Markdown.
    pub markdown_hover: bool,
    /// The documentation of a completion may be Markdown.
    pub markdown_completion: bool,
    /// A completion may carry small print behind its label.
    pub label_details: bool,
    /// A finding may name further places.
    pub related: bool,
    /// A finding's code may be a link.
    pub code_links: bool,
    /// Edits may name the version of the text they are for.
    pub versioned_edits: bool,
    /// An outline may have levels.
    pub nested_symbols: bool,
    /// Code actions may be more than commands.
    pub action_literals: bool,
    /// The client can be asked to watch files.
    pub watches: bool,
    /// Folding ranges are whole lines.
    pub lines_only: bool,
    /// The client asks again for hints when told that they changed.
    pub refreshes_hints: bool,
    /// The client asks again for tokens when told that they changed.
    pub refreshes_tokens: bool,
    /// The addresses that the client gave, by path: the same file is always called by the same one.
    pub uris: BTreeMap<PathBuf, Uri>,
}

impl Client {
    /// By what the client says of itself.
    pub fn new(capabilities: &ClientCapabilities) -> Self {
        let text = capabilities.text_document.clone().unwrap_or_default();
        let workspace = capabilities.workspace.clone().unwrap_or_default();
        let item = text.completion.and_then(|completion| completion.completion_item).unwrap_or_default();
        let hover = text.hover.and_then(|hover| hover.content_format).unwrap_or_default();
        let findings = text.publish_diagnostics.unwrap_or_default();
        let edits = workspace.workspace_edit.unwrap_or_default();
        let watched = workspace.did_change_watched_files.unwrap_or_default();
        Self {
            snippets: item.snippet_support.unwrap_or_default(),
            markdown_hover: hover.contains(&MarkupKind::Markdown),
            markdown_completion: item.documentation_format.unwrap_or_default().contains(&MarkupKind::Markdown),
            label_details: item.label_details_support.unwrap_or_default(),
            related: findings.related_information.unwrap_or_default(),
            code_links: findings.code_description_support.unwrap_or_default(),
            versioned_edits: edits.document_changes.unwrap_or_default(),
            nested_symbols: text
                .document_symbol
                .and_then(|symbols| symbols.hierarchical_document_symbol_support)
                .unwrap_or_default(),
            action_literals: text.code_action.is_some_and(|action| action.code_action_literal_support.is_some()),
            watches: watched.dynamic_registration.unwrap_or_default(),
            lines_only: text.folding_range.and_then(|folding| folding.line_folding_only).unwrap_or_default(),
            refreshes_hints: workspace.inlay_hint.and_then(|hint| hint.refresh_support).unwrap_or_default(),
            refreshes_tokens: workspace.semantic_tokens.and_then(|tokens| tokens.refresh_support).unwrap_or_default(),
            uris: BTreeMap::new(),
        }
    }

    /// The address of a path.
    pub fn uri(&self, path: &Path) -> Option<Uri> {
        self.uris.get(path).cloned().or_else(|| uri::uri(path))
    }
}

/// What a request is answered from.
#[derive(Clone, Copy, Debug)]
pub struct State<'s> {
    /// The farms.
    pub workspace: &'s Workspace,
    /// The client.
    pub client: &'s Client,
    /// The present moment, in seconds of the common time scale.
    pub now: i64,
}

/// Where a client's cursor stands.
#[derive(Debug)]
pub struct Cursor<'s> {
    /// The farm: the first of those that the file belongs to.
    pub desk: &'s Desk,
    /// The file.
    pub document: &'s Document,
    /// The byte of it.
    pub offset: usize,
    /// The same in the address space of the spans.
    pub address: u32,
    /// The entry that it lies in; none before the first.
    pub entry: Option<Entry>,
    /// The parts of that entry.
    pub parts: Vec<Part>,
}

impl Cursor<'_> {
    /// The part of the entry that the cursor is in or at the end of.
    pub fn part(&self) -> Option<Part> {
        part_at(&self.parts, self.address)
    }
}

impl<'s> State<'s> {
    /// A file by its address.
    pub fn document(&self, uri: &Uri) -> Option<&'s Document> {
        self.workspace.document(&uri::path(uri))
    }

    /// The first farm that a file belongs to.
    pub fn desk(&self, path: &'s Path) -> Option<&'s Desk> {
        self.workspace.farms_of(path).next()
    }

    /// Where a client's cursor stands; none in a file that belongs to no farm.
    pub fn cursor(&self, at: &TextDocumentPositionParams) -> Option<Cursor<'s>> {
        let document = self.document(&at.text_document.uri)?;
        self.cursor_at(document, document.offset(at.position))
    }

    /// The cursor on a byte of a file.
    pub fn cursor_at(&self, document: &'s Document, offset: usize) -> Option<Cursor<'s>> {
        let desk = self.desk(document.path())?;
        let address = desk.address(document.path(), offset)?;
        let entry = desk.entry_at(document.path(), offset);
        let parts = entry.as_ref().map(parts).unwrap_or_default();
        Some(Cursor { desk, document, offset, address, entry, parts })
    }

    /// Where a span stands, as the client has it; none for what comes with the program.
    pub fn location(&self, desk: &Desk, span: Span) -> Option<Location> {
        let Located { path, range } = desk.locate(span)?;
        let range = self.workspace.document(path)?.range(range);
        Some(Location { uri: self.client.uri(path)?, range })
    }
}
