//! Tables for the terminal. The only place that knows of the library that lays them out.

use comfy_table::{ContentArrangement, Table, presets};

use crate::text::escape_hidden;

/// How wide a terminal is taken to be.
const WIDTH: u16 = 80;

/// Rows in columns at most 80 characters wide, headings first; long cells go on in the next line of their column.
pub fn columns(headings: &[&str], rows: &[Vec<String>]) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING).set_content_arrangement(ContentArrangement::Dynamic).set_width(WIDTH);
    table.set_header(headings.iter().copied());
    for row in rows {
        table.add_row(row.iter().map(|cell| escape_hidden(cell).into_owned()));
    }
    let mut text = String::new();
    for line in table.lines() {
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}
