//! What can be done about findings at a key press: the spelling of a name, a keyword or a unit; lines to fill in; the
//! layout. Never a date, an amount, an area or a person.

use std::collections::BTreeMap;

use lsp_types::{
    CodeAction, CodeActionKind, CodeActionOrCommand, CodeActionParams, CodeActionResponse, CodeActionTriggerKind,
    TextEdit,
};

use super::findings::{diagnostic, marked, open, place};
use super::links::Links;
use super::names::declaring;
use super::parts::{Sort, part_at, parts};
use super::rename::workspace_edit;
use super::state::State;
use super::{Desk, Document, format};
use crate::checks::{NEVER_ACCEPTED, never_accepted_ahead};
use crate::finding::Finding;
use crate::journal::{NameSort, Trouble};
use crate::syntax::EntryWord;
use crate::text::Span;

/// The kind of the action that lays the whole file out.
pub const LAYOUT: &str = "source.fixAll.foliary";

/// What can be done about a part of a file.
pub fn actions(state: State<'_>, params: &CodeActionParams) -> Option<CodeActionResponse> {
    if !state.client.action_literals {
        return None;
    }
    let document = state.document(&params.text_document.uri)?;
    let asked = document.bytes(params.range);
    let mut found: Vec<CodeAction> = Vec::new();
    for desk in state.workspace.farms_of(document.path()) {
        let here = open(desk).filter(|finding| {
            place(desk, finding).is_some_and(|(path, range)| {
                let range = marked(document, range);
                path == document.path() && range.start <= asked.end && asked.start <= range.end
            })
        });
        for finding in here {
            let told = Actions { state, desk, document, finding };
            let offered = [told.spelling(), told.declare(), told.missing(), told.accept()];
            for action in offered.into_iter().flatten() {
                if !found.iter().any(|known| known.title == action.title && known.edit == action.edit) {
                    found.push(action);
                }
            }
        }
    }
    // One certain way out is the one to take; of several nobody but the writer knows.
    let mut fixes: Vec<&mut CodeAction> = found.iter_mut().filter(|action| action.is_preferred == Some(true)).collect();
    if fixes.len() > 1 {
        fixes.iter_mut().for_each(|action| action.is_preferred = Some(false));
    }
    // Laying out a file takes its time: not each time that the cursor moves.
    if params.context.only.is_some() || params.context.trigger_kind != Some(CodeActionTriggerKind::AUTOMATIC) {
        found.extend(layout(state, document));
    }
    let wanted = |action: &CodeAction| {
        params.context.only.as_ref().is_none_or(|only| {
            let kind = action.kind.as_ref().map_or("", CodeActionKind::as_str);
            only.iter().any(|wanted| {
                let wanted = wanted.as_str();
                kind == wanted
                    || wanted.is_empty()
                    || kind.strip_prefix(wanted).is_some_and(|rest| rest.starts_with('.'))
            })
        })
    };
    Some(found.into_iter().filter(wanted).map(CodeActionOrCommand::CodeAction).collect())
}

/// The layout of the whole file.
fn layout(state: State<'_>, document: &Document) -> Option<CodeAction> {
    let edits = format::edits(document, 0..document.text().len(), crate::syntax::laid_out(document.text()));
    (!edits.is_empty()).then(|| CodeAction {
        title: "Tidy the layout of the file".to_string(),
        kind: Some(CodeActionKind::new(LAYOUT)),
        edit: Some(workspace_edit(state, BTreeMap::from([(document.path().to_path_buf(), edits)]))),
        ..CodeAction::default()
    })
}

struct Actions<'a> {
    state: State<'a>,
    desk: &'a Desk,
    document: &'a Document,
    finding: &'a Finding,
}

impl Actions<'_> {
    fn action(&self, title: String, preferred: bool, document: &Document, edit: TextEdit) -> CodeAction {
        let diagnostic = diagnostic(self.state, self.desk, self.finding, &mut Links::default());
        CodeAction {
            title,
            kind: Some(CodeActionKind::QUICKFIX),
            diagnostics: diagnostic.map(|diagnostic| vec![diagnostic]),
            edit: Some(workspace_edit(self.state, BTreeMap::from([(document.path().to_path_buf(), vec![edit])]))),
            is_preferred: Some(preferred),
            ..CodeAction::default()
        }
    }

    /// The spelling that the finding offers, where it is none of a fact.
    fn spelling(&self) -> Option<CodeAction> {
        let edit = self.finding.edit.as_ref().filter(|edit| !self.is_fact(edit.span))?;
        let located = self.desk.locate(edit.span)?;
        let document = self.state.workspace.document(located.path)?;
        let old = self.desk.sources().slice(edit.span);
        let title = format!("Write `{}` for `{}`", edit.with, crate::text::escape_hidden(old));
        let change = TextEdit::new(document.range(located.range), edit.with.clone());
        // What may be another unit is to be chosen, not taken at a key press.
        Some(self.action(title, self.finding.code != "unknown-unit", document, change))
    }

    /// Whether a span is a date, a number, or the name of a person.
    fn is_fact(&self, span: Span) -> bool {
        let part = || {
            let located = self.desk.locate(span)?;
            let entry = self.desk.entry_at(located.path, located.range.start)?;
            part_at(&parts(&entry), span.start)
        };
        matches!(
            part().map(|part| part.sort),
            Some(
                Sort::Date
                    | Sort::Number
                    | Sort::Clock
                    | Sort::Used(NameSort::Person)
                    | Sort::Declared(NameSort::Person)
            )
        )
    }

    /// An entry that declares the name: its first line, which asks for the rest.
    fn declare(&self) -> Option<CodeAction> {
        if self.finding.code != "unknown-name" {
            return None;
        }
        let at = self.finding.span();
        let sort = self.desk.journal().troubles.iter().find_map(|trouble| match *trouble {
            Trouble::UnknownName { at: unknown, sort } if unknown == at => Some(sort),
            _ => None,
        })?;
        // A batch belongs under a day, of which only the writer knows.
        if matches!(sort, NameSort::Brew | NameSort::Farm) {
            return None;
        }
        let name = self.desk.sources().slice(at);
        let word = declaring(sort);
        // Behind the last of its sort, or else at the end of the file.
        let last = self
            .desk
            .journal()
            .declared(sort)
            .into_iter()
            .filter_map(|named| self.desk.locate(named.entry))
            .filter(|located| self.is_own(located.path))
            .max_by_key(|located| {
                (located.path == self.document.path(), located.path.to_path_buf(), located.range.end)
            });
        let (document, offset) = match last {
            Some(located) => (self.state.workspace.document(located.path)?, located.range.end),
            None => (self.document, self.document.text().len()),
        };
        let edit = between(document, offset, &format!("{} {name}", word.word()));
        Some(self.action(format!("Declare the {} `{name}`", sort.word()), false, document, edit))
    }

    /// Whether a file lies in the farm's own folder.
    fn is_own(&self, path: &std::path::Path) -> bool {
        path.starts_with(&self.desk.folder)
    }

    /// The words of the fields that an entry means nothing without, each with nothing behind it yet.
    fn missing(&self) -> Option<CodeAction> {
        let words = self.desk.journal().troubles.iter().find_map(|trouble| match trouble {
            Trouble::MissingFields { line, words, .. } if *line == self.finding.span() => Some(words),
            _ => None,
        });
        let words = words.filter(|_| self.finding.code == "missing-field")?;
        let lines: Vec<String> = words.iter().map(|word| word.word().to_string()).collect();
        let named: Vec<String> = words.iter().map(|word| format!("`{}`", word.word())).collect();
        let edit = self.behind_entry(self.finding.span(), &lines)?;
        Some(self.action(format!("Begin the line {}", named.join(", ")), false, self.document, edit))
    }

    /// A line that accepts the finding, as soon as the reason is written behind it.
    fn accept(&self) -> Option<CodeAction> {
        let code = self.finding.code;
        let at = self.finding.span();
        let located = self.desk.locate(at).filter(|located| located.path == self.document.path())?;
        let entry = self.desk.entry_at(located.path, located.range.start)?;
        let takes = entry
            .kind
            .is_some_and(|kind| crate::syntax::entry_rule(kind).field(crate::syntax::FieldWord::Accept).is_some());
        // Of a spray that is not done such a finding cannot be accepted.
        if code == NEVER_ACCEPTED || !takes || (never_accepted_ahead(code) && entry.kind != Some(EntryWord::Spray)) {
            return None;
        }
        let by = self.finding.accept_by.as_ref().map(|words| format!(" {words}")).unwrap_or_default();
        let edit = self.behind_entry(at, &[format!("accept {code}{by} ")])?;
        Some(self.action(format!("Accept `{code}`: the reason is yours to write"), false, self.document, edit))
    }

    /// Lines behind the last of the entry that a place lies in.
    fn behind_entry(&self, at: Span, lines: &[String]) -> Option<TextEdit> {
        let located = self.desk.locate(at).filter(|located| located.path == self.document.path())?;
        let entry = self.desk.entry_at(located.path, located.range.start)?;
        let range = self.desk.locate(entry.span)?.range;
        let whole = &self.document.text()[range.clone()];
        let mut end = range.start;
        let mut passed = range.start;
        // A remark at the margin is more likely about what follows.
        for line in whole.split_inclusive('\n') {
            passed += line.len();
            if !line.trim().is_empty() && !line.starts_with('#') {
                end = passed - (line.len() - line.trim_end_matches(['\n', '\r']).len());
            }
        }
        let newline = newline(self.document);
        let position = self.document.position(end);
        // As deep as the entry's own lines: deeper, they would go on with a note.
        let own = whole.lines().skip(1).find(|line| !line.trim().is_empty() && line.starts_with([' ', '\t']));
        let indent = own.map_or("    ", |line| &line[..line.len() - line.trim_start_matches([' ', '\t']).len()]);
        let lines: String = lines.iter().map(|line| format!("{newline}{indent}{line}")).collect();
        Some(TextEdit::new(lsp_types::Range::new(position, position), lines))
    }
}

/// How lines of a file end.
fn newline(document: &Document) -> &'static str {
    if document.text().contains("\r\n") { "\r\n" } else { "\n" }
}

/// An entry of its own behind the words before an offset, with an empty line on either side.
fn between(document: &Document, offset: usize, entry: &str) -> TextEdit {
    let newline = newline(document);
    let before = document.text()[..offset].trim_end();
    let rest = &document.text()[before.len()..];
    let position = document.position(before.len());
    let lead = if before.is_empty() { String::new() } else { newline.repeat(2) };
    let blanks = rest.len() - rest.trim_start().len();
    let ends = rest[..blanks].matches('\n').count();
    let tail = if ends > 1 || (ends == 1 && blanks == rest.len()) { "" } else { newline };
    TextEdit::new(lsp_types::Range::new(position, position), format!("{lead}{entry}{tail}"))
}
