//! The blocks of a row, and which rows of them.

use std::collections::BTreeSet;

use super::draft::{Draft, head_reads};
use super::headings::flat;
use super::mapping::Mapping;
use super::names::{Known, made_name};
use super::role::Role;
use super::rows::Rows;
use super::sheet::Sheet;
use crate::syntax::EntryWord;

/// What a cell says of blocks.
struct Said {
    names: Vec<String>,
    rows: Option<String>,
    /// Whether it may be one block as well as several.
    doubtful: bool,
}

/// The names that stand alone in a cell of the sheet: each is a block of its own.
pub(super) fn alone(sheet: &Sheet, mapping: &Mapping) -> BTreeSet<String> {
    let Some(column) = mapping.columns.iter().find(|column| column.is == Role::Block) else { return BTreeSet::new() };
    let data = mapping.heading_row..sheet.rows.len();
    let cells = data.flat_map(|row| pieces(&sheet.cell(row, column.place()).words()));
    let names = cells.filter(|words| parts(words).len() == 1).map(|words| made_name(without_rows(&words).0, ""));
    names.filter(|name| !name.is_empty()).collect()
}

impl Rows<'_> {
    pub(super) fn blocks(&mut self, row: usize, draft: &mut Draft) {
        if let Some((_, cell)) = self.cell(row, Role::Block, 1) {
            let words = cell.words();
            let said = self.said(&words);
            if said.doubtful {
                draft.settle.push(format!("`{}`: one block or several?", flat(&words)));
            }
            for name in said.names {
                let name = self.find("block", &name).name().to_string();
                if !draft.blocks.contains(&name) {
                    draft.blocks.push(name);
                }
            }
            // Rows behind several blocks would be those of each.
            match said.rows {
                Some(_) if draft.blocks.len() > 1 => {
                    draft.settle.push(format!("`{}`: which rows of which block?", flat(&words)));
                }
                rows => draft.rows = rows.and_then(|rows| rows_words(&rows, &mut draft.settle)),
            }
        }
        if let Some((_, cell)) = self.cell(row, Role::Rows, 1) {
            draft.rows = rows_words(&flat(&cell.words()), &mut draft.settle);
        }
        if let Some((_, cell)) = self.cell(row, Role::Crop, 1) {
            let (words, mut said) = (flat(&cell.words()), false);
            for block in draft.blocks.clone() {
                if self.proposals.has("block", &block) {
                    self.proposals.fact("block", &block, "crop", words.to_lowercase(), row + 1);
                    said = true;
                }
            }
            if !said {
                draft.notes.push(format!("Crop: {words}"));
            }
        }
    }

    /// What a cell says. A line and a `;` divide blocks; other marks may be part of a name.
    fn said(&self, words: &str) -> Said {
        let whole = flat(words);
        if is_settled(&whole, self.mapping, self.known) {
            return Said { names: self.mapped(&whole), rows: None, doubtful: false };
        }
        let pieces = pieces(words);
        let mut said = Said { names: Vec::new(), rows: None, doubtful: false };
        let mut rows: Vec<String> = Vec::new();
        for piece in &pieces {
            let is_whole = is_settled(piece, self.mapping, self.known);
            let (name, own) = if is_whole { (piece.as_str(), None) } else { without_rows(piece) };
            rows.extend(own.map(str::to_string));
            let parts = parts(name);
            if parts.len() < 2 || is_settled(name, self.mapping, self.known) {
                said.names.extend(self.mapped(name));
                continue;
            }
            let known = parts.iter().filter(|part| self.is_block(part)).count();
            said.doubtful |= known < parts.len();
            if known == 0 {
                said.names.push(name.to_string());
            } else {
                said.names.extend(parts.iter().flat_map(|part| self.mapped(part)));
            }
        }
        said.rows = rows.pop();
        said
    }

    /// The names that the mapping has for some words, or the words: it may have several, `hill, dale`.
    fn mapped(&self, words: &str) -> Vec<String> {
        match self.mapping.blocks.get(words).filter(|names| names.contains(',')) {
            Some(names) => {
                names.split(',').map(|name| name.trim().to_string()).filter(|name| !name.is_empty()).collect()
            }
            None => vec![words.to_string()],
        }
    }

    fn is_block(&self, words: &str) -> bool {
        is_settled(words, self.mapping, self.known) || self.alone.contains(&made_name(words, ""))
    }
}

/// Whether some words are a block of the farm, or the grower's mapping says what they are. A mapping that says what
/// would be proposed settles nothing: it may be the proposal itself.
fn is_settled(words: &str, mapping: &Mapping, known: &Known) -> bool {
    known.blocks.known(words).is_some()
        || mapping
            .blocks
            .get(words)
            .is_some_and(|name| known.blocks.known(name).is_some() || *name != made_name(words, "block"))
}

/// The lines of a cell and what a `;` divides; rows that stand in a line of their own belong to the block above.
fn pieces(words: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    for piece in words.split(['\n', '\r', ';']).map(flat).filter(|piece| !piece.is_empty()) {
        let is_rows = without_rows(&format!("x {piece}")).0 == "x";
        match pieces.last_mut().filter(|_| is_rows) {
            Some(above) => above.push_str(&format!(" {piece}")),
            None => pieces.push(piece),
        }
    }
    pieces
}

/// What may be several names: `North, Creek`, `North & Creek`, `North / Creek`.
fn parts(words: &str) -> Vec<&str> {
    let mut parts = vec![words];
    for mark in [",", "/", "&", "+", " and ", " AND ", " And "] {
        parts = parts.into_iter().flat_map(|part| part.split(mark)).map(str::trim).collect();
    }
    parts.retain(|part| !part.is_empty());
    parts
}

/// `North rows 1-9`: the name, and the rows.
fn without_rows(words: &str) -> (&str, Option<&str>) {
    let lower = words.to_ascii_lowercase();
    for mark in [" rows ", " row ", ", rows ", " (rows ", " (row "] {
        if let Some(at) = lower.find(mark) {
            let name = words[..at].trim_end_matches([',', ' ']);
            return (name, Some(words[at + mark.len()..].trim_end_matches(')')));
        }
    }
    (words, None)
}

/// `1-9, 12` as `rows 1 to 9, 12`.
fn rows_words(words: &str, settle: &mut Vec<String>) -> Option<String> {
    let lower = words.to_lowercase();
    let bare = lower.trim_start_matches("rows").trim_start_matches("row").trim();
    let plain = bare
        .replace(['-', '\u{2013}'], " to ")
        .replace(" through ", " to ")
        .replace(" & ", ", ")
        .replace(" and ", ", ");
    let plain = flat(&plain);
    let rows = match plain.as_str() {
        "all" | "" => return None,
        "odd" | "even" | "alternate" => format!("{plain} rows"),
        _ => format!("rows {plain}"),
    };
    if head_reads(&format!("spray x {rows}"), EntryWord::Spray) {
        return Some(rows);
    }
    settle.push(format!("rows `{words}` are not understood"));
    None
}
