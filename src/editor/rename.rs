//! Renaming: every place of a name, in every farm that knows it.

use std::collections::BTreeMap;
use std::path::PathBuf;

use lsp_types::{
    DocumentChanges, OneOf, OptionalVersionedTextDocumentIdentifier, PrepareRenameResponse, RenameParams,
    TextDocumentEdit, TextDocumentPositionParams, TextEdit, WorkspaceEdit,
};

use super::Desk;
use super::answer::Refused;
use super::names::{Name, find, knowing, name_at, uses};
use super::state::State;
use crate::journal::{NameSort, pantry};
use crate::syntax::read_entry;

/// Whether what the cursor is on can be renamed, and what is to be edited.
pub fn prepare(state: State<'_>, at: &TextDocumentPositionParams) -> Result<Option<PrepareRenameResponse>, Refused> {
    let Some(cursor) = state.cursor(at) else { return Ok(None) };
    let Some(name) = name_at(&cursor) else { return Ok(None) };
    declared_here(cursor.desk, &name)?;
    let Some(located) = cursor.desk.locate(name.span) else { return Ok(None) };
    let placeholder = cursor.desk.sources().slice(name.span).to_string();
    let range = cursor.document.range(located.range);
    Ok(Some(PrepareRenameResponse::RangeWithPlaceholder { range, placeholder }))
}

/// The edits that give a thing another name everywhere.
pub fn rename(state: State<'_>, params: &RenameParams) -> Result<Option<WorkspaceEdit>, Refused> {
    let Some(cursor) = state.cursor(&params.text_document_position) else { return Ok(None) };
    let Some(name) = name_at(&cursor) else {
        return Err(Refused("there is no name here to change".to_string()));
    };
    declared_here(cursor.desk, &name)?;
    let new = params.new_name.trim();
    if !is_name(new) {
        return Err(Refused(format!(
            "`{}` cannot be a name: it begins with a letter, and holds letters, digits, hyphens, underscores and full stops, no spaces",
            crate::text::escape_hidden(new).replace(['\n', '\r'], " ")
        )));
    }
    no_class(cursor.desk, &name, new)?;
    let farms = knowing(state, cursor.desk, cursor.document.path(), &name);
    for desk in &farms {
        free(state, desk, &name, new)?;
    }
    let mut edits: BTreeMap<PathBuf, Vec<TextEdit>> = BTreeMap::new();
    for desk in farms {
        for (span, _) in uses(state.workspace, desk, &name) {
            let Some(located) = desk.locate(span) else { continue };
            let Some(document) = state.workspace.document(located.path) else { continue };
            let edit = TextEdit::new(document.range(located.range), new.to_string());
            let list = edits.entry(located.path.to_path_buf()).or_default();
            if !list.contains(&edit) {
                list.push(edit);
            }
        }
    }
    Ok(Some(workspace_edit(state, edits)))
}

/// Edits of several files as the client takes them.
pub fn workspace_edit(state: State<'_>, edits: BTreeMap<PathBuf, Vec<TextEdit>>) -> WorkspaceEdit {
    let edits = edits.into_iter().filter_map(|(path, edits)| Some((state.client.uri(&path)?, path, edits)));
    if !state.client.versioned_edits {
        #[expect(clippy::mutable_key_type, reason = "the protocol's own map; an address does not change in it")]
        let changes = edits.map(|(uri, _, edits)| (uri, edits)).collect();
        return WorkspaceEdit { changes: Some(changes), ..WorkspaceEdit::default() };
    }
    let of_file = edits.map(|(uri, path, edits)| TextDocumentEdit {
        text_document: OptionalVersionedTextDocumentIdentifier {
            uri,
            version: state.workspace.document(&path).and_then(|document| document.version),
        },
        edits: edits.into_iter().map(OneOf::Left).collect(),
    });
    WorkspaceEdit { document_changes: Some(DocumentChanges::Edits(of_file.collect())), ..WorkspaceEdit::default() }
}

/// Refuses what the user's own journals do not declare.
fn declared_here(desk: &Desk, name: &Name) -> Result<(), Refused> {
    match find(desk.journal(), name.sort, &name.name) {
        None => Err(Refused(format!("nothing declares the {} `{}`", name.sort.word(), name.name))),
        Some(named) if desk.locate(named.span).is_none() => Err(Refused(format!(
            "`{}` is the name of a material that comes with Foliary and stays as it is",
            name.name
        ))),
        Some(_) => Ok(()),
    }
}

/// Refuses a name that something else has.
fn free(state: State<'_>, desk: &Desk, name: &Name, new: &str) -> Result<(), Refused> {
    let lower = new.to_lowercase();
    if lower == name.name {
        return Ok(());
    }
    if let Some(other) = find(desk.journal(), name.sort, &lower) {
        let place = desk.locate(other.span).and_then(|located| {
            let line = state.workspace.document(located.path)?.line_of(located.range.start) + 1;
            let file = located.path.strip_prefix(&desk.folder).unwrap_or(located.path);
            Some(format!("{}, line {line}", file.display()))
        });
        let place = place.unwrap_or_else(|| "the pantry".to_string());
        return Err(Refused(format!("there is a {} called `{lower}` already, in {place}", name.sort.word())));
    }
    if name.sort == NameSort::Material && pantry().any(|material| material.name == lower) {
        return Err(Refused(format!("`{lower}` is the name of a material that comes with Foliary")));
    }
    Ok(())
}

/// Refuses a material's name that is a class, too: rules that name it are about all of the class, and a new name would
/// change whom they bind.
fn no_class(desk: &Desk, name: &Name, new: &str) -> Result<(), Refused> {
    if name.sort != NameSort::Material {
        return Ok(());
    }
    let classes = || desk.journal().materials.iter().flat_map(|material| &material.classes);
    for word in [&name.name, &new.to_lowercase()] {
        if classes().any(|class| *class.value == **word) {
            return Err(Refused(format!(
                "`{word}` is the name of a class, too, and rules can mean either: change it by hand, rule by rule"
            )));
        }
    }
    Ok(())
}

/// Whether the journal can read words as one name.
fn is_name(words: &str) -> bool {
    let entry = read_entry(&format!("observe {words}, {words}\n"), 0);
    let whole = |span: &crate::text::Span| (span.end - span.start) as usize == words.len();
    entry.strays.is_empty() && entry.head.names.len() == 2 && entry.head.names.iter().all(whole)
}
