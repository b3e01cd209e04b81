//! Tanks and rows that wait as journal text, and the line at which each stands.

use chrono::NaiveDate;

use super::draft::{Draft, Line};
use super::tanks::Tank;
use crate::text::escape_hidden;

/// The text of an import as it grows.
#[derive(Debug, Default)]
pub(super) struct Text {
    text: String,
    /// Lines so far, those of the file before it included.
    lines: usize,
}

/// The fields of the whole tank, in the order in which they are written; ingredients come after the volume.
const BEFORE: &[&str] = &["volume"];
const BEHIND: &[&str] =
    &["over", "time", "by", "authorised", "rig", "water", "ph", "weather", "stage", "reason", "target"];

impl Text {
    /// A text that is put behind one of so many lines.
    pub(super) fn behind(lines: usize) -> Self {
        Self { text: String::new(), lines }
    }

    /// One line; gives back its number.
    pub(super) fn line(&mut self, line: &str) -> usize {
        let flat: String =
            line.chars().map(|letter| if matches!(letter, '\n' | '\r') { ' ' } else { letter }).collect();
        self.text.push_str(escape_hidden(&flat).trim_end());
        self.text.push('\n');
        self.lines += 1;
        self.lines
    }

    /// Whether nothing is in it yet.
    pub(super) fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// The text.
    pub(super) fn finish(self) -> String {
        self.text
    }

    /// The line of a day.
    pub(super) fn page(&mut self, day: NaiveDate) {
        self.line("");
        self.line(&day.format("%Y-%m-%d %a").to_string());
    }

    /// The entry of a tank, with the remarks of its rows; gives back the number of its first line.
    pub(super) fn tank(&mut self, tank: &Tank, remarks: &[String]) -> usize {
        let draft = &tank.draft;
        self.line("");
        let at = self.line(&draft.head());
        for remark in remarks {
            self.line(&format!("    {remark}"));
        }
        for settle in &draft.settle {
            self.settle(settle);
        }
        if let Some(mix) = &draft.mix {
            let volume = draft.value("volume").map(|volume| format!(", {volume}")).unwrap_or_default();
            self.line(&format!("    mix {mix}{volume}"));
        }
        self.fields(draft, BEFORE);
        for line in draft.ingredients.iter().flat_map(|one| &one.lines) {
            self.field(line);
        }
        self.fields(draft, &["put"]);
        self.fields(draft, BEHIND);
        self.note(&draft.notes);
        at
    }

    fn fields(&mut self, draft: &Draft, words: &[&str]) {
        for word in words {
            for line in draft.lines.iter().filter(|line| line.word == *word) {
                let of_mix = *word == "volume" && draft.mix.is_some();
                let shown = if of_mix { Line { value: String::new(), ..line.clone() } } else { line.clone() };
                self.field(&shown);
            }
        }
    }

    fn field(&mut self, line: &Line) {
        for settle in &line.settle {
            self.settle(settle);
        }
        if !line.value.is_empty() {
            self.line(&format!("    {} {}", line.word, line.value));
        }
    }

    fn settle(&mut self, what: &str) {
        self.line(&format!("    # settle: {what}"));
    }

    fn note(&mut self, notes: &[String]) {
        let lines = notes.iter().flat_map(|note| note.lines()).map(str::trim).filter(|line| !line.is_empty());
        for (at, line) in lines.enumerate() {
            if at == 0 {
                self.line(&format!("    note {line}"));
            } else {
                self.line(&format!("        {line}"));
            }
        }
    }

    /// A row that waits, word for word; gives back the number of its first line.
    pub(super) fn held(&mut self, row: usize, why: &str, remark: &str, cells: &[(String, String)]) -> usize {
        self.line("");
        let at = self.line(&format!("# settle: row {row} is not in the journal yet: {why}"));
        self.line(remark);
        for (heading, words) in cells {
            self.line(&format!("#     {heading}: {words}"));
        }
        at
    }
}
