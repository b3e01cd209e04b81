//! One thing that could be typed.

use lsp_types::{
    CompletionItem, CompletionItemKind, CompletionItemLabelDetails, CompletionTextEdit, Documentation,
    InsertTextFormat, InsertTextMode, MarkupContent, MarkupKind, Range, TextEdit,
};

use crate::editor::hover::Page;
use crate::editor::state::Client;

/// One thing that could be typed. Offers are shown in the order in which they are made.
#[derive(Clone, Debug)]
pub(super) struct Offer {
    label: String,
    kind: CompletionItemKind,
    /// A few words behind it.
    about: Option<String>,
    page: Page,
    /// What is typed, with holes where the client can have them.
    with_holes: Option<String>,
    plain: String,
}

impl Offer {
    /// A word that is typed as it stands.
    pub(super) fn new(label: impl Into<String>, kind: CompletionItemKind) -> Self {
        let label = label.into();
        Self { plain: label.clone(), label, kind, about: None, page: Page::default(), with_holes: None }
    }

    /// A few words behind it.
    pub(super) fn about(self, words: impl Into<String>) -> Self {
        Self { about: Some(words.into()), ..self }
    }

    /// What there is to read about it.
    pub(super) fn page(self, page: Page) -> Self {
        Self { page, ..self }
    }

    /// Types something else than its label.
    pub(super) fn types(self, plain: impl Into<String>) -> Self {
        Self { plain: plain.into(), ..self }
    }

    /// Types text with holes to fill in; `plain` where the client has none.
    pub(super) fn holes(self, with_holes: impl Into<String>) -> Self {
        Self { with_holes: Some(with_holes.into()), ..self }
    }

    pub(super) fn item(self, client: &Client, range: Range, place: usize) -> CompletionItem {
        let (text, format) = match self.with_holes.filter(|_| client.snippets) {
            Some(text) => (text, InsertTextFormat::SNIPPET),
            // Of more lines some clients without holes make one.
            None => {
                let first = self.plain.lines().next().unwrap_or_default().to_string();
                (first, InsertTextFormat::PLAIN_TEXT)
            }
        };
        let documentation = (!self.page.is_empty()).then(|| {
            Documentation::MarkupContent(match client.markdown_completion {
                true => MarkupContent { kind: MarkupKind::Markdown, value: self.page.markdown() },
                false => MarkupContent { kind: MarkupKind::PlainText, value: self.page.plain() },
            })
        });
        let details = self.about.clone().filter(|_| client.label_details);
        CompletionItem {
            kind: Some(self.kind),
            label_details: details
                .map(|description| CompletionItemLabelDetails { detail: None, description: Some(description) }),
            detail: self.about.filter(|_| !client.label_details),
            documentation,
            sort_text: Some(format!("{place:05}")),
            filter_text: Some(self.label.clone()),
            insert_text_format: Some(format),
            insert_text_mode: Some(InsertTextMode::AS_IS),
            text_edit: Some(CompletionTextEdit::Edit(TextEdit::new(range, text))),
            label: self.label,
            ..CompletionItem::default()
        }
    }
}

/// Words of the journal as text between holes.
pub(super) fn between_holes(words: &str) -> String {
    words.replace('\\', "\\\\").replace('$', "\\$").replace('}', "\\}")
}
