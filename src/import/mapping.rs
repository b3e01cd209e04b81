//! The mapping file: how a sheet is read. It is proposed from the headings once and then the grower's own.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use serde::Deserialize;

use super::amounts::Decimals;
use super::days::DateOrder;
use super::headings::flat;
use super::role::{ROLES, Role};
use super::sheet::Sheet;
use crate::text::is_hidden;

/// How a sheet is read.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Mapping {
    /// The sheet of a workbook.
    #[serde(default)]
    pub sheet: Option<String>,
    /// The row of the headings, counted from one.
    pub heading_row: usize,
    /// The order of days written in numbers.
    #[serde(default)]
    pub date_order: DateOrder,
    /// The year of days that are written without one.
    #[serde(default)]
    pub year: Option<i32>,
    /// What stands before decimals.
    #[serde(default)]
    pub decimals: Decimals,
    /// What a blank date means.
    #[serde(default)]
    pub blank_date: BlankDate,
    /// The columns.
    #[serde(default, rename = "column")]
    pub columns: Vec<Column>,
    /// Blocks, by what the sheet calls them.
    #[serde(default)]
    pub blocks: BTreeMap<String, String>,
    /// Materials and mixes, by what the sheet calls them.
    #[serde(default)]
    pub materials: BTreeMap<String, String>,
    /// People, by what the sheet calls them.
    #[serde(default)]
    pub people: BTreeMap<String, String>,
    /// Sprayers, by what the sheet calls them.
    #[serde(default)]
    pub rigs: BTreeMap<String, String>,
    /// What the proposal says about itself, by key.
    #[serde(skip)]
    pub why: BTreeMap<&'static str, String>,
}

/// What a blank date cell means.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BlankDate {
    /// The day of the row above.
    AsAbove,
    /// Nobody knows.
    #[default]
    Unsettled,
}

/// One column.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Column {
    /// Its heading.
    #[serde(default)]
    pub heading: String,
    /// Which column of the sheet it is, counted from one: tells columns of the same heading apart.
    #[serde(default)]
    pub at: usize,
    /// What it holds.
    pub is: Role,
    /// The unit of its numbers.
    #[serde(default)]
    pub unit: Option<String>,
    /// Of which ingredient of its row, where a row has several.
    #[serde(default = "one")]
    pub part: u32,
    /// Of which material, where the heading names it.
    #[serde(default)]
    pub of: Option<String>,
    /// How sure the proposal is.
    #[serde(skip)]
    pub sure: Sureness,
}

fn one() -> u32 {
    1
}

/// How sure a proposal is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sureness {
    /// The grower said so, or the heading is a known one.
    #[default]
    Sure,
    /// The heading holds a known one.
    Likely,
    /// The heading is not known, or resembles a known one.
    Guess,
}

impl Column {
    pub(super) fn new(place: usize, heading: String) -> Self {
        let sure = Sureness::Guess;
        Self { heading, at: place + 1, is: Role::Note, unit: None, part: 1, of: None, sure }
    }

    /// Its place in a row.
    pub(super) fn place(&self) -> usize {
        self.at.saturating_sub(1)
    }

    /// What it is called where it is told of.
    pub(super) fn shown(&self) -> String {
        if self.heading.is_empty() { format!("column {}", self.at) } else { self.heading.clone() }
    }
}

impl Mapping {
    /// Reads a mapping file.
    ///
    /// # Errors
    /// A sentence with the line that is wrong.
    pub fn read(text: &str) -> Result<Self, String> {
        let mapping: Mapping = toml::from_str(text).map_err(|error| error.to_string().trim_end().to_string())?;
        if mapping.heading_row == 0 {
            return Err("heading-row is counted from 1".to_string());
        }
        if !mapping.columns.iter().any(|column| column.is == Role::Date) {
            return Err("no column is a date".to_string());
        }
        // A second one would never be looked at.
        let mut seen = BTreeSet::new();
        let counts =
            |column: &&Column| column.of.is_none() && !matches!(column.is, Role::Note | Role::Leave | Role::Unit);
        let part = |column: &Column| if column.is.is_of_ingredient() { column.part } else { 1 };
        match mapping.columns.iter().filter(counts).find(|column| !seen.insert((column.is, part(column)))) {
            Some(column) if column.is.is_of_ingredient() => {
                Err(format!("`{}` is a second {}: tell them apart by part", column.shown(), column.is.word()))
            }
            Some(column) => Err(format!("`{}` is a second {}; a sheet has one", column.shown(), column.is.word())),
            None => Ok(mapping),
        }
    }

    /// Lays the mapping on a sheet: where each column stands now, and those that it does not name, which go into the
    /// note. Gives back what is to be told about that.
    ///
    /// # Errors
    /// A sentence where the column of the dates is not there.
    pub fn lay_on(&mut self, sheet: &Sheet) -> Result<Vec<String>, String> {
        let row = self.heading_row - 1;
        let Some(cells) = sheet.rows.get(row) else {
            return Err(format!("the sheet has no row {}, where the headings should be", self.heading_row));
        };
        let headings: Vec<String> = cells.iter().map(|cell| flat(&cell.words())).collect();
        let mut told = Vec::new();
        let mut taken = vec![false; headings.len()];
        let mut kept = Vec::new();
        for mut column in std::mem::take(&mut self.columns) {
            let wanted = flat(&column.heading);
            // Only ingredients are told apart.
            if !column.is.is_of_ingredient() {
                column.part = 1;
            }
            let is = |place: usize| headings.get(place).is_some_and(|heading| heading.eq_ignore_ascii_case(&wanted));
            let free = |place: &usize| taken.get(*place) == Some(&false) && is(*place);
            let place = column.at.checked_sub(1).filter(free).or_else(|| (0..headings.len()).find(free));
            match place {
                Some(place) => {
                    taken[place] = true;
                    column.at = place + 1;
                    kept.push(column);
                }
                // A column without a heading is known by its place alone.
                None if wanted.is_empty() && column.at > headings.len() => kept.push(column),
                None if column.is == Role::Date => {
                    return Err(format!("row {} has no heading `{}`", self.heading_row, column.heading));
                }
                None => told.push(format!("the sheet has no column `{}`, which the mapping names", column.heading)),
            }
        }
        let width = sheet.rows[row..].iter().map(Vec::len).max().unwrap_or_default();
        for place in 0..width {
            if kept.iter().any(|column| column.place() == place) {
                continue;
            }
            let column = Column::new(place, headings.get(place).cloned().unwrap_or_default());
            if !column.heading.is_empty() {
                told.push(format!("the mapping does not name `{}`; it goes into the note", column.heading));
            }
            kept.push(column);
        }
        kept.sort_by_key(|column| column.at);
        self.columns = kept;
        Ok(told)
    }

    /// The mapping as a file, with what each line is for.
    pub fn file(&self, source: &str) -> String {
        let mut out =
            format!("# How {} is read into the journal. Foliary proposed this from the headings;\n", line(source));
        out.push_str("# from now on it is yours: what you change here holds at the next import.\n");
        out.push_str("# Rows that are in the journal already stay as they are there. To import\n");
        out.push_str("# them again, delete their `# from` remarks together with what they became.\n\n");
        if let Some(sheet) = &self.sheet {
            let _ = writeln!(out, "sheet = {}", quoted(sheet));
        }
        let _ = writeln!(out, "heading-row = {}", self.heading_row);
        self.reason(&mut out, "date-order");
        let _ = writeln!(
            out,
            "date-order = \"{}\"   # month-day-year, day-month-year, year-month-day, unsettled",
            self.date_order.word()
        );
        out.push_str("# year = 2024              # of days that are written without a year\n");
        let _ = writeln!(out, "decimals = \"{}\"          # point, comma, unsettled", self.decimals.word());
        self.reason(&mut out, "blank-date");
        let blank = if self.blank_date == BlankDate::AsAbove { "as-above" } else { "unsettled" };
        let _ = writeln!(out, "blank-date = \"{blank}\"     # as-above, unsettled\n");
        out.push_str("# What each column holds: `is` says it, `unit` is the unit of its numbers where\n");
        out.push_str("# the cell has none (a rate's is like \"oz per gal\"), `part` tells several\n");
        out.push_str("# ingredients of one row apart, `of` names the material that a column is about.\n#\n");
        for text in ROLES {
            let _ = writeln!(out, "#   {:<13} {}", text.word, text.about);
        }
        for column in &self.columns {
            out.push_str("\n[[column]]\n");
            let _ = writeln!(out, "heading = {}\nat = {}", quoted(&column.heading), column.at);
            let doubt = match column.sure {
                Sureness::Sure => "",
                Sureness::Likely => "   # likely",
                Sureness::Guess => "   # settle: a guess",
            };
            let _ = writeln!(out, "is = \"{}\"{doubt}", column.is.word());
            if let Some(unit) = &column.unit {
                let _ = writeln!(out, "unit = {}", quoted(unit));
            }
            if column.part != 1 {
                let _ = writeln!(out, "part = {}", column.part);
            }
            if let Some(of) = &column.of {
                let _ = writeln!(out, "of = {}", quoted(of));
            }
        }
        out.push_str("\n# What the sheet calls things, and their names in the journal. A name that is\n");
        out.push_str("# not listed is looked up in the farm's entries, or becomes a new one. Where\n");
        out.push_str("# it is several blocks, say them all: \"North & south\" = \"north, south\".\n");
        let tables =
            [("blocks", &self.blocks), ("materials", &self.materials), ("people", &self.people), ("rigs", &self.rigs)];
        for (name, table) in tables {
            let _ = writeln!(out, "\n[{name}]");
            for (written, name) in table {
                let _ = writeln!(out, "{} = {}", quoted(written), quoted(name));
            }
        }
        out
    }

    fn reason(&self, out: &mut String, key: &str) {
        if let Some(why) = self.why.get(key).filter(|why| !why.is_empty()) {
            let _ = writeln!(out, "# {}", line(why));
        }
    }
}

/// Words as one line of a remark.
fn line(words: &str) -> String {
    words.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}

/// Words as a string of the file.
fn quoted(words: &str) -> String {
    let mut out = String::with_capacity(words.len() + 2);
    out.push('"');
    for letter in words.chars() {
        match letter {
            '"' | '\\' => {
                out.push('\\');
                out.push(letter);
            }
            letter if letter.is_control() || is_hidden(letter) => {
                let _ = write!(out, "\\U{:08X}", letter as u32);
            }
            letter => out.push(letter),
        }
    }
    out.push('"');
    out
}
