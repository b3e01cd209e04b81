//! A spreadsheet, whatever file it came from: sheets of rows of cells.

use chrono::{NaiveDate, NaiveTime, Timelike};

/// One sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Its name; empty for a file of plain text.
    pub name: String,
    /// Its rows from the first on, empty ones included, so that a place in the list is the row's number less one.
    pub rows: Vec<Vec<Cell>>,
    /// The mark between the cells of a plain text; none for a workbook.
    pub delimiter: Option<char>,
}

/// One cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    /// What it holds.
    pub value: Value,
    /// The first and the last row, counted from one, of the merged cell that it is a part of, where that has several.
    pub merged: Option<(usize, usize)>,
}

/// What a cell holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Value {
    /// Nothing.
    #[default]
    Empty,
    /// Words, or whatever a plain text has there.
    Text(String),
    /// A number that the spreadsheet keeps as one, with a decimal point.
    Number(String),
    /// A day.
    Day(NaiveDate),
    /// A time of day.
    Clock(NaiveTime),
    /// A day and a time of it.
    Moment(NaiveDate, NaiveTime),
    /// What a spreadsheet shows where a formula failed: `#REF!`.
    Failed(String),
}

impl Cell {
    /// A cell of words; empty where there are none.
    pub fn text(words: &str) -> Self {
        let words = words.trim();
        let value = if words.is_empty() { Value::Empty } else { Value::Text(words.to_string()) };
        Self { value, merged: None }
    }

    /// Whether nothing is in it.
    pub fn is_empty(&self) -> bool {
        self.value == Value::Empty
    }

    /// What it holds, in words.
    pub fn words(&self) -> String {
        match &self.value {
            Value::Empty => String::new(),
            Value::Text(words) | Value::Number(words) | Value::Failed(words) => words.clone(),
            Value::Day(day) => day.to_string(),
            Value::Clock(clock) => clock_words(*clock),
            Value::Moment(day, clock) => format!("{day} {}", clock_words(*clock)),
        }
    }
}

/// A time of day as the journal writes it.
pub(super) fn clock_words(clock: NaiveTime) -> String {
    format!("{:02}:{:02}", clock.hour(), clock.minute())
}

impl Sheet {
    /// Whether any cell of a row holds something.
    pub fn is_blank(&self, row: usize) -> bool {
        self.rows[row].iter().all(Cell::is_empty)
    }

    /// How many rows hold something.
    pub fn filled(&self) -> usize {
        (0..self.rows.len()).filter(|&row| !self.is_blank(row)).count()
    }

    /// A cell; an empty one beyond the end of its row.
    pub fn cell(&self, row: usize, column: usize) -> &Cell {
        const NOTHING: &Cell = &Cell { value: Value::Empty, merged: None };
        self.rows[row].get(column).unwrap_or(NOTHING)
    }
}
