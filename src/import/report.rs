//! What became of every row, in words.

use std::fmt::Write as _;

use super::mapping::{Mapping, Sureness};

/// What became of one row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fate {
    /// Nothing is in it.
    Empty,
    /// It stands above the headings; its words.
    Above(String),
    /// It holds the headings, the first time or again.
    Heading,
    /// It sums up other rows; its words.
    Total(String),
    /// It became an entry, at that line.
    Entry(usize),
    /// It is part of the tank of another row, at that line.
    Joined(usize, usize),
    /// It waits as a remark, at that line, and why.
    Held(usize, String),
    /// It was there before, at that place.
    Had(String),
    /// It waited there before and still does, and why.
    StillHeld(String, String),
    /// The journal, at that place, has what it said before it was changed; what changed, where that is known.
    Changed(String, Vec<String>),
}

/// One row with its fate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowFate {
    /// Its number, counted from one.
    pub row: usize,
    /// What became of it.
    pub fate: Fate,
    /// What the grower should settle.
    pub doubts: Vec<String>,
}

/// What an import did.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// The file, and the sheet in brackets.
    pub source: String,
    /// The journal file that is written.
    pub journal: String,
    /// Every row, in order.
    pub rows: Vec<RowFate>,
    /// What is to be told besides.
    pub told: Vec<String>,
}

/// How many rows met each fate.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "as in `Fate`")]
pub struct Counts {
    pub empty: usize,
    pub above: usize,
    pub heading: usize,
    pub total: usize,
    pub entries: usize,
    pub joined: usize,
    pub held: usize,
    pub had: usize,
    pub changed: usize,
    /// Of the entries and the joined, those with something to settle.
    pub doubtful: usize,
}

impl Counts {
    /// All rows.
    pub fn sum(&self) -> usize {
        self.empty
            + self.above
            + self.heading
            + self.total
            + self.entries
            + self.joined
            + self.held
            + self.had
            + self.changed
    }
}

/// Columns that a line should fit.
const WIDTH: usize = 80;

impl Report {
    /// How many rows met each fate.
    pub fn counts(&self) -> Counts {
        let mut counts = Counts::default();
        for row in &self.rows {
            let count = match row.fate {
                Fate::Empty => &mut counts.empty,
                Fate::Above(_) => &mut counts.above,
                Fate::Heading => &mut counts.heading,
                Fate::Total(_) => &mut counts.total,
                Fate::Entry(_) => &mut counts.entries,
                Fate::Joined(..) => &mut counts.joined,
                Fate::Held(..) | Fate::StillHeld(..) => &mut counts.held,
                Fate::Had(_) => &mut counts.had,
                Fate::Changed(..) => &mut counts.changed,
            };
            *count += 1;
            counts.doubtful += usize::from(!row.doubts.is_empty());
        }
        assert_eq!(counts.sum(), self.rows.len(), "every row has one fate");
        counts
    }

    /// Whether the grower has something to settle.
    pub fn is_open(&self) -> bool {
        let counts = self.counts();
        counts.doubtful + counts.held + counts.changed > 0
    }

    /// The counts, a line each, those of nothing left out.
    pub fn summary(&self) -> String {
        let counts = self.counts();
        let mut out = format!("{}: {} rows\n", self.source, self.rows.len());
        let lines = [
            (counts.entries, "an entry each"),
            (counts.joined, "in the tank of another row"),
            (counts.held, "waiting as remarks: not understood well enough for an entry"),
            (counts.had, "there before"),
            (counts.changed, "changed in the sheet since; the journal keeps what it has"),
            (counts.total, "sums of other rows"),
            (counts.heading, "headings"),
            (counts.above, "above the headings"),
            (counts.empty, "empty"),
        ];
        for (count, what) in lines.into_iter().filter(|(count, _)| *count > 0) {
            let _ = writeln!(out, "{count:>7}  {what}");
        }
        if counts.doubtful > 0 {
            let _ = writeln!(out, "Something to settle in rows that are entries: {}", counts.doubtful);
        }
        for told in &self.told {
            out.push_str(&wrapped(told, "", ""));
        }
        out
    }

    /// The rows that need the grower, at most so many.
    pub fn open_rows(&self, most: usize) -> String {
        let open: Vec<&RowFate> = self
            .rows
            .iter()
            .filter(|row| {
                !row.doubts.is_empty() || matches!(row.fate, Fate::Held(..) | Fate::StillHeld(..) | Fate::Changed(..))
            })
            .collect();
        let mut out: String = open.iter().take(most).map(|row| self.line(row)).collect();
        if open.len() > most {
            let _ = writeln!(out, "and {} rows more; --report FILE writes them all", open.len() - most);
        }
        out
    }

    /// Every row; a run of empty ones in one line.
    pub fn all_rows(&self) -> String {
        let mut out = String::new();
        for run in self.rows.chunk_by(|one, other| one.fate == Fate::Empty && other.fate == Fate::Empty) {
            match run {
                [first, .., last] => {
                    let _ = writeln!(out, "rows {} to {}: empty", first.row, last.row);
                }
                run => out.extend(run.iter().map(|row| self.line(row))),
            }
        }
        out
    }

    fn line(&self, row: &RowFate) -> String {
        let journal = &self.journal;
        let fate = match &row.fate {
            Fate::Empty => "empty".to_string(),
            Fate::Above(words) => format!("above the headings: {words}"),
            Fate::Heading => "headings".to_string(),
            Fate::Total(words) => format!("sums up other rows: {words}"),
            Fate::Entry(line) => format!("an entry, {journal}:{line}"),
            Fate::Joined(other, line) => format!("in the tank of row {other}, {journal}:{line}"),
            Fate::Held(line, why) => format!("waits as a remark, {journal}:{line}: {why}"),
            Fate::Had(place) => format!("was there before, {place}"),
            Fate::StillHeld(place, why) => format!("still waits as a remark, {place}: {why}"),
            Fate::Changed(place, changes) => {
                let changes = match changes.is_empty() {
                    true => "what it said then is not kept".to_string(),
                    false => changes.join("; "),
                };
                format!("was changed in the sheet since it was imported, see {place}: {changes}")
            }
        };
        let mut out = wrapped(&format!("row {}: {fate}", row.row), "", "    ");
        for doubt in &row.doubts {
            out.push_str(&wrapped(&format!("settle: {doubt}"), "    ", "        "));
        }
        out
    }
}

/// The columns, as they were understood, in a table for the terminal.
pub fn columns(mapping: &Mapping) -> String {
    let mut rows: Vec<[String; 3]> = Vec::new();
    for column in &mapping.columns {
        let mut is = column.is.word().to_string();
        if let Some(of) = &column.of {
            let _ = write!(is, " of {of}");
        }
        if column.part > 1 {
            let _ = write!(is, " {}", column.part);
        }
        if let Some(unit) = &column.unit {
            let _ = write!(is, ", in {unit}");
        }
        let sure = match column.sure {
            Sureness::Sure => "",
            Sureness::Likely => "likely",
            Sureness::Guess => "a guess",
        };
        rows.push([column.shown(), is, sure.to_string()]);
    }
    let width = |at: usize| rows.iter().map(|row| row[at].chars().count()).max().unwrap_or_default().min(34);
    let (heading, is) = (width(0), width(1));
    rows.iter()
        .map(|row| format!("  {:<heading$}  {:<is$}  {}", row[0], row[1], row[2]).trim_end().to_string() + "\n")
        .collect()
}

/// Words in lines that fit the terminal.
fn wrapped(words: &str, first: &str, next: &str) -> String {
    // Paths stay whole, to be copied.
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(next)
        .break_words(false)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    textwrap::fill(words, options) + "\n"
}
