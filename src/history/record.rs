//! The records of a text, and what makes two of them the same.

use crate::syntax::{EntryWord, first_word, is_date_line, laid_out, split_entries};

/// What a record says: the day of its page and its own words, without remarks and with blanks evened out.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Wording {
    /// The day of the page, as written.
    pub day: Box<str>,
    /// The record's lines, the first one naming it.
    pub text: Box<str>,
}

impl Wording {
    /// Its lines.
    pub fn lines(&self) -> impl Iterator<Item = &str> {
        self.text.lines()
    }

    /// Its first line.
    pub fn head(&self) -> &str {
        self.text.lines().next().unwrap_or_default()
    }

    /// What kind of record it is; nothing where its first word is none of the language's.
    pub fn kind(&self) -> Option<EntryWord> {
        EntryWord::named(&self.text[..first_word(&self.text)])
    }

    /// The record in the journal's usual layout and spelling: two wordings that share it say the same.
    pub(super) fn laid_out(&self) -> String {
        laid_out(&self.text.replace('\n', "\n    "))
    }

    /// Its first line in the usual layout and spelling.
    pub(super) fn laid_out_head(&self) -> String {
        laid_out(self.head()).trim_end().to_string()
    }

    /// Whether another wording says the same: the same day, and nothing changed but what tidying changes.
    pub fn says_the_same(&self, other: &Wording) -> bool {
        self.day == other.day && self.laid_out() == other.laid_out()
    }

    /// Its lines that sign it off.
    pub fn signatures(&self) -> impl Iterator<Item = &str> {
        self.lines().skip(1).filter(|line| word(line).eq_ignore_ascii_case("signed"))
    }
}

/// The first word of a line.
pub(super) fn word(line: &str) -> &str {
    &line[..first_word(line)]
}

/// The record of each entry that is one, with where the entry starts in the text. `day` is the day that holds at the
/// start of the text.
pub(super) fn records(text: &str, day: Option<&str>) -> Vec<(usize, Wording)> {
    let mut day = day;
    let mut records = Vec::new();
    for range in split_entries(text) {
        let entry = &text[range.clone()];
        if is_date_line(entry) {
            day = Some(day_of(entry));
            continue;
        }
        let Some(day) = day else { continue };
        // What stands before the first entry, and entries that say what is so, not what was done.
        let name = word(entry);
        if name.is_empty() || EntryWord::named(name).is_some_and(EntryWord::is_standing) {
            continue;
        }
        records.push((range.start, Wording { day: day.into(), text: evened(entry).into() }));
    }
    records
}

/// The day of a date line, without the weekday and anything else behind it.
pub(super) fn day_of(entry: &str) -> &str {
    entry.split_whitespace().next().unwrap_or_default()
}

/// The lines of an entry without remarks and empty lines, each with single blanks only.
fn evened(entry: &str) -> String {
    let mut out = String::with_capacity(entry.len());
    // How deep the note stands whose further lines are being passed: in a note, nothing is a remark.
    let mut note: Option<usize> = None;
    for line in entry.lines() {
        let words = line.trim_start();
        let depth = line.len() - words.len();
        if words.is_empty() {
            continue;
        }
        let said = if note.is_some_and(|noted| depth > noted) {
            words
        } else {
            let is_note = depth > 0 && word(words).eq_ignore_ascii_case("note");
            note = is_note.then_some(depth);
            if is_note { words } else { without_remark(words) }
        };
        let before = out.len();
        for word in said.split_whitespace() {
            if out.len() > before {
                out.push(' ');
            }
            out.push_str(word);
        }
        if out.len() > before {
            out.push('\n');
        }
    }
    out.truncate(out.trim_end().len());
    out
}

/// A line up to a `#` that begins it or follows a blank, unless that stands between quotation marks.
fn without_remark(line: &str) -> &str {
    let (mut quoted, mut after_blank) = (false, true);
    for (at, byte) in line.bytes().enumerate() {
        match byte {
            b'"' => quoted = !quoted,
            b'#' if after_blank && !quoted => return &line[..at],
            _ => {}
        }
        after_blank = matches!(byte, b' ' | b'\t');
    }
    line
}
