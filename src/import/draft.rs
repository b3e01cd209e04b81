//! One row of a sheet, understood as far as it can be: lines of the journal, with what the grower should settle.

use chrono::NaiveDate;

use crate::syntax::{EntryWord, FieldWord, read_entry};

/// One line of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Line {
    /// The field's word; `note` for what has no field.
    pub(super) word: &'static str,
    /// What stands behind it; empty where only the remarks are known.
    pub(super) value: String,
    /// What is doubtful about it.
    pub(super) settle: Vec<String>,
}

impl Line {
    /// A line as the journal reads it; a remark in its place where the journal could not.
    pub(super) fn new(word: &'static str, value: String, settle: Vec<String>) -> Self {
        if reads(word, &value) {
            return Self { word, value, settle };
        }
        let mut all = settle;
        all.push(format!("{word} `{value}` cannot be written as it is"));
        Self { word, value: String::new(), settle: all }
    }

    /// A remark in the place of a line.
    pub(super) fn unknown(word: &'static str, why: String) -> Self {
        Self { word, value: String::new(), settle: vec![why] }
    }
}

/// Whether the journal reads a field with that value, whole.
pub(super) fn reads(word: &str, value: &str) -> bool {
    let text = format!("spray x\n    {word} {value}\n");
    let entry = read_entry(&text, 0);
    let [field] = &entry.fields[..] else { return false };
    !value.contains('\n')
        && entry.strays.is_empty()
        && entry.comments.is_empty()
        && Some(field.word) == FieldWord::named(word)
}

/// Whether the journal reads the first line of an entry.
pub(super) fn head_reads(head: &str, kind: EntryWord) -> bool {
    let entry = read_entry(head, 0);
    !head.contains('\n') && entry.strays.is_empty() && entry.comments.is_empty() && entry.kind == Some(kind)
}

/// One thing that went into the tank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Ingredient {
    pub(super) name: String,
    pub(super) lines: Vec<Line>,
}

/// One row, as far as it is understood.
#[derive(Clone, Debug)]
pub(super) struct Draft {
    /// Its number, counted from one.
    pub(super) row: usize,
    /// The day, or why it is not known.
    pub(super) day: Result<NaiveDate, String>,
    /// The names of its blocks.
    pub(super) blocks: Vec<String>,
    /// Which rows of them: `rows 1 to 9`.
    pub(super) rows: Option<String>,
    /// The mix.
    pub(super) mix: Option<String>,
    /// What went in besides.
    pub(super) ingredients: Vec<Ingredient>,
    /// What holds for the whole tank.
    pub(super) lines: Vec<Line>,
    /// Words for the reader.
    pub(super) notes: Vec<String>,
    /// What is doubtful about the row as a whole.
    pub(super) settle: Vec<String>,
}

impl Draft {
    pub(super) fn new(row: usize, day: Result<NaiveDate, String>) -> Self {
        Self {
            row,
            day,
            blocks: Vec::new(),
            rows: None,
            mix: None,
            ingredients: Vec::new(),
            lines: Vec::new(),
            notes: Vec::new(),
            settle: Vec::new(),
        }
    }

    /// The value of a field of the whole tank.
    pub(super) fn value(&self, word: &str) -> Option<&str> {
        self.lines.iter().find(|line| line.word == word && !line.value.is_empty()).map(|line| line.value.as_str())
    }

    /// All that is to be settled.
    pub(super) fn doubts(&self) -> Vec<&str> {
        let of_ingredients = self.ingredients.iter().flat_map(|one| &one.lines);
        let of_lines = self.lines.iter().chain(of_ingredients).flat_map(|line| &line.settle);
        self.settle.iter().chain(of_lines).map(String::as_str).collect()
    }

    /// The first line of its entry.
    pub(super) fn head(&self) -> String {
        let rows = self.rows.as_ref().map(|rows| format!(" {rows}")).unwrap_or_default();
        format!("spray {}{rows}", self.blocks.join(", "))
    }

    /// Why it cannot become an entry; nothing where it can.
    pub(super) fn lacks(&self) -> Option<String> {
        if let Err(why) = &self.day {
            return Some(why.clone());
        }
        if self.blocks.is_empty() {
            return Some("no block".to_string());
        }
        if self.mix.is_none() && self.ingredients.is_empty() {
            return Some("nothing that went into the tank".to_string());
        }
        let head = self.head();
        (!head_reads(&head, EntryWord::Spray)).then(|| format!("`{head}` cannot be written as it is"))
    }
}
