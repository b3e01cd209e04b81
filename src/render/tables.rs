//! Tables to CSV and JSON, for other programs to read.

use serde::ser::{Error as _, SerializeMap as _};
use serde::{Serialize, Serializer};

use super::TemplateTrouble;
use crate::documents::{Column, FORMAT_VERSION, Head, Kind, Table};
use crate::text::escape_hidden;

/// A table as RFC 4180 has it: a row of names first, CR LF behind each row, cells with commas, quotes or line ends in
/// double quotes. Hidden characters are written out.
///
/// # Errors
/// A [`TemplateTrouble`] where the writer fails, which it does for rows of unequal length alone.
pub(super) fn csv(name: &str, table: &Table) -> Result<String, TemplateTrouble> {
    let failed = |why: String| TemplateTrouble { template: format!("{name}.csv"), line: None, asked: None, why };
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(table.columns.iter().map(|column| column.name)).map_err(|error| failed(error.to_string()))?;
    for row in &table.rows {
        let cells = table.columns.iter().zip(row).map(|(column, cell)| harmless(*column, cell.as_deref()));
        writer.write_record(cells).map_err(|error| failed(error.to_string()))?;
    }
    let bytes = writer.into_inner().map_err(|error| failed(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| failed(error.to_string()))
}

/// A cell that no spreadsheet takes for a formula: words that begin like one have an apostrophe before them. Numbers and
/// days stay as they are.
fn harmless(column: Column, cell: Option<&str>) -> String {
    let Some(cell) = cell else { return String::new() };
    let shown = escape_hidden(cell);
    let formula = column.kind == Kind::Text && shown.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if formula { format!("'{shown}") } else { shown.into_owned() }
}

/// What stands around the rows in JSON.
#[derive(Serialize)]
struct Page<'t> {
    format: &'t str,
    format_version: u32,
    made_by: &'t str,
    compiled_for: Option<String>,
    journal: JournalText<'t>,
    rows: Vec<Row<'t>>,
}

#[derive(Serialize)]
struct JournalText<'t> {
    sha256: &'t str,
    files: &'t [String],
}

/// One row as an object, in the order of the columns.
struct Row<'t> {
    columns: &'t [Column],
    cells: &'t [Option<String>],
}

impl Serialize for Row<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let mut map = out.serialize_map(Some(self.columns.len()))?;
        for (column, cell) in self.columns.iter().zip(self.cells) {
            match (column.kind, cell.as_deref()) {
                (_, None) => map.serialize_entry(column.name, &())?,
                (Kind::YesNo, Some(cell)) => map.serialize_entry(column.name, &(cell == "yes"))?,
                (Kind::Whole, Some(cell)) => {
                    let whole: u64 = cell.parse().map_err(|_| S::Error::custom("a cell is no whole number"))?;
                    map.serialize_entry(column.name, &whole)?;
                }
                // A decimal as words, since a JSON number would be rounded by many who read it.
                (_, Some(cell)) => map.serialize_entry(column.name, &escape_hidden(cell))?,
            }
        }
        map.end()
    }
}

/// A table as JSON, by `src/documents/records.schema.json`.
///
/// # Errors
/// A [`TemplateTrouble`] where the writer fails.
pub(super) fn json(name: &str, head: &Head, table: &Table) -> Result<String, TemplateTrouble> {
    let failed = |why: String| TemplateTrouble { template: format!("{name}.json"), line: None, asked: None, why };
    let page = Page {
        format: "foliary-records",
        format_version: FORMAT_VERSION,
        made_by: head.made_by,
        compiled_for: head.compiled_on.map(|day| day.to_string()),
        journal: JournalText { sha256: &head.digest.long, files: &head.digest.files },
        rows: table.rows.iter().map(|cells| Row { columns: &table.columns, cells }).collect(),
    };
    let mut text = serde_json::to_string_pretty(&page).map_err(|error| failed(error.to_string()))?;
    text.push('\n');
    Ok(text)
}
