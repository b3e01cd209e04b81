//! What each row said when it was imported, in a file beside the journal file: so that a later change is told cell by
//! cell. Journals never depend on it: without it, a change is told all the same, but not what changed.

use std::collections::BTreeSet;

use rustc_hash::FxHashMap;

/// The first line of the file; the version goes up when rows are written otherwise.
const FIRST: &str = "# What rows said when Foliary imported them, version 1. Leave it here.";

/// The cells of a row, each with its heading.
pub(super) type Cells = Vec<(String, String)>;

/// Rows by their marks.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    rows: FxHashMap<String, Cells>,
    /// Whether the file is there.
    begun: bool,
}

impl Kept {
    /// Reads the file. A row that cannot be read is not known.
    ///
    /// # Errors
    /// A sentence where another version wrote it, or it is something else.
    pub fn read(text: &str) -> Result<Self, String> {
        let rest = text
            .strip_prefix(FIRST)
            .ok_or_else(|| "it was not written by this version of Foliary, and is left as it is".to_string())?;
        let reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(rest.as_bytes());
        let mut rows = FxHashMap::default();
        for record in reader.into_records().flatten() {
            let mut fields = record.iter();
            let mark = fields.next().unwrap_or_default().to_string();
            let fields: Vec<&str> = fields.collect();
            let cells = fields.chunks_exact(2).map(|cell| (cell[0].to_string(), cell[1].to_string()));
            rows.insert(mark, cells.collect());
        }
        Ok(Self { rows, begun: true })
    }

    /// What the row with a mark said.
    pub(super) fn of(&self, mark: &str) -> Option<&Cells> {
        self.rows.get(mark)
    }

    /// The text that adds some rows, those left out that are there.
    pub(super) fn added(&self, rows: &[(&str, Cells)]) -> String {
        let mut met = BTreeSet::new();
        let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
        for (mark, cells) in rows.iter().filter(|(mark, _)| !self.rows.contains_key(*mark)) {
            if met.insert(*mark) {
                let fields = cells.iter().flat_map(|(heading, words)| [heading.as_str(), words.as_str()]);
                // Nothing fails that is written to memory.
                let _ = writer.write_record(std::iter::once(*mark).chain(fields));
            }
        }
        let text = writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default();
        if text.is_empty() || self.begun { text } else { format!("{FIRST}\n{text}") }
    }
}

/// What differs between what a row said and what it says, column by column.
pub(super) fn changes(before: &Cells, now: &Cells) -> Vec<String> {
    let mut headings: Vec<&str> = Vec::new();
    for (heading, _) in before.iter().chain(now) {
        if !headings.iter().any(|other| other.eq_ignore_ascii_case(heading)) {
            headings.push(heading);
        }
    }
    let words = |cells: &Cells, heading: &str| {
        let own = cells.iter().filter(|(other, _)| other.eq_ignore_ascii_case(heading));
        let own: Vec<String> = own.map(|(_, words)| format!("`{words}`")).collect();
        if own.is_empty() { "blank".to_string() } else { own.join(", ") }
    };
    let told = |heading: &&str| {
        let (before, now) = (words(before, heading), words(now, heading));
        (before != now).then(|| format!("{heading} was {before}, is {now}"))
    };
    headings.iter().filter_map(told).collect()
}

/// Whether two rows say so much alike that one is the other, changed: half of their cells.
pub(super) fn are_alike(before: &Cells, now: &Cells) -> bool {
    let same = before.iter().filter(|cell| now.contains(cell)).count();
    same * 2 >= before.len().max(now.len())
}
