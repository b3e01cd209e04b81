//! What a journal says, before anyone asks what it means: entries and fields, each with its span; comments and
//! unreadable lines kept.

use super::words::{EntryWord, FieldWord};
use crate::text::Span;

/// One entry with everything under it.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// What kind of entry; `None` for a word that is none of the journal's.
    pub kind: Option<EntryWord>,
    /// From the first byte of its first line to the last byte before the next entry.
    pub span: Span,
    /// Its first line.
    pub head: Head,
    /// Its fields in the order written.
    pub fields: Vec<Field>,
    /// Lines that could not be read.
    pub strays: Vec<Stray>,
    /// Remarks behind `#`.
    pub comments: Vec<Span>,
}

/// The first line of an entry.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Head {
    /// The words of the line, without the end of line.
    pub line: Span,
    /// The first word.
    pub word: Span,
    /// What the entry is about.
    pub names: Vec<Span>,
    /// What a brew is of, or what an amendment is about.
    pub of: Option<Span>,
    /// Which rows.
    pub rows: Option<RowPick>,
    /// A day on the line itself: the day of a page, or of the record that an amendment is about.
    pub date: Option<Span>,
    /// The weekday behind a page's date.
    pub weekday: Option<Span>,
    /// The title in quotes, without them.
    pub title: Option<Span>,
}

/// One field: its word and its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Which field.
    pub word: FieldWord,
    /// Where the word stands.
    pub at: Span,
    /// What stands behind it.
    pub value: Value,
    /// Where the value stands.
    pub span: Span,
}

/// A line that could not be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stray {
    /// The line without its indentation and end.
    pub line: Span,
    /// Whether it stands at the margin (an entry's first line), else it is a field's.
    pub head: bool,
}

/// The value of a field, by the shape its word asks for. Names, numbers and units are spans: what they mean is the
/// journal's business.
#[derive(Clone, Debug, PartialEq)]
#[expect(missing_docs, reason = "each variant shows the words that its parts are")]
pub enum Value {
    /// `crop pear`, `by t-marsh, r-vale`.
    Names(Vec<Span>),
    /// Words to the end of the line.
    Text(Span),
    /// A note: its lines, without indentation.
    Note(Vec<Span>),
    /// `over 0.8 acre`.
    Measure(Measure),
    /// `total oil at most 0.5 % v/v`.
    Limit { class: Option<Span>, most: Measure },
    /// `put magnesium-sulfate 0.4 oz wt`, with `, lot 7` if you like.
    Portion { portion: Portion, lot: Option<Span> },
    /// `mix leaf-tonic, 60 gal`.
    MixUse { mix: Span, into_water: bool, volume: Option<Measure> },
    /// `contains Mg 9.86 %, S 13.01 %`.
    Contents(Vec<Portion>),
    /// `weather 52 F, wind 3 mph NW`.
    Reading { clock: Option<Span>, items: Vec<ReadingItem> },
    /// `load 2 of 500 gal, sulfur 20 lb`.
    Load { count: Option<Span>, volume: Measure, portions: Vec<Portion> },
    /// `rows 1 to 14, 16 ft apart`.
    Layout { rows: Vec<RowRun>, items: Vec<LayoutItem> },
    /// `time 05:50 to 07:20`.
    Times { start: Moment, end: Option<Moment> },
    /// `ready 2026-05-20`.
    Day(Span),
    /// `start 2026-04-20`.
    StartDay(Span),
    /// `start stage petal fall`.
    StartStage(Span),
    /// `start BBCH 67`.
    StartBbch(Span),
    /// `start severity leaf-curl over 4 %`.
    StartSight { severity: bool, what: Span, percent: Span },
    /// `rounds 3 to 4, every 7 to 10 days`.
    Rounds { fewest: Option<Span>, most: Option<Span>, every: Option<Measure> },
    /// `leftover 8 gal on creek-pear rows 10 to 11`.
    Leftover { left: Measure, rows: Option<RowPick>, text: Option<Span> },
    /// `entered 2026-05-15 07:30 by r-vale`.
    Entered { date: Span, clock: Option<Span>, by: Vec<Span> },
    /// `signed by r-vale on 2026-05-15 08:00`.
    Signed { by: Vec<Span>, date: Span, clock: Option<Span> },
    /// `incidence leaf-spot 7 of 100 leaves`.
    Incidence { what: Span, count: Count },
    /// `fruit-set 40 of 120 flowers`.
    Count(Count),
    /// `severity leaf-spot 4 % of leaf area`.
    Severity { what: Span, percent: Span, text: Option<Span> },
    /// `brix 11.5 of 10 leaves at 10:00`.
    Sample { number: Span, unit: Option<Span>, of: Option<Span>, what: Option<Span>, clock: Option<Span> },
    /// `apart 14 days from oil`.
    Apart { what: Option<Span>, number: Span, unit: Span, from: Vec<Span> },
    /// `never with acid`.
    Never { what: Option<Span>, with: Vec<Span> },
    /// `up sheet at 05:30`.
    Posting { what: Vec<Span>, at: Option<Moment> },
    /// `accept round-late rain all week`.
    Accept { code: Span, reason: Span },
    /// `licence PA-2207 until 2027-12-31`.
    Licence { number: Span, until: Option<Span> },
    /// `rulebook us-organic from 2024-01-01 until 2026-12-31`.
    Rulebooks { names: Vec<Span>, from: Option<Span>, until: Option<Span> },
    /// `keep 5 years`.
    Years(Span),
    /// `history from 2026-03-01`; no day for `none`.
    History { from: Option<Span> },
    /// `picking 2026-09-10 to 2026-10-01`.
    Days { first: Span, last: Option<Span> },
    /// `canopy 10 ft high, 8 ft wide from 2026-06-01`.
    Canopy { height: Box<Measure>, width: Box<Measure>, from: Option<Span> },
    /// `measures 1 cup, 1 tbsp`.
    Amounts(Vec<Measure>),
    /// `renew after 2 in of rain`.
    AfterRain { number: Span, unit: Span },
    /// `recalibrate every 90 days`.
    Every(Measure),
    /// `window BBCH 59 to 75`.
    Window { low: Span, high: Span },
    /// `concentrate 4 times`.
    Fold(Span),
    /// `course 340 ft in 58 s`.
    Drive { length: Box<Measure>, time: Option<Box<Measure>> },
    /// `plot 18.5 ft by 18.5 ft in 75 s`.
    Plot { side: Box<Measure>, other: Option<Box<Measure>>, time: Option<Box<Measure>> },
    /// `caught 22 fl oz, 21.5 fl oz in 58 s`.
    Caught { amounts: Vec<Measure>, time: Option<Box<Measure>> },
    /// `rated 0.4 gal in 1 min at 40 psi`.
    Rated { amount: Box<Measure>, time: Box<Measure>, pressure: Option<Box<Measure>> },
    /// `open 24 nozzles`.
    Whole(Span),
}

/// A quantity as written, with its limits and its basis.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measure {
    /// All of it.
    pub span: Span,
    /// `none stated`.
    pub none_stated: bool,
    /// `at most`, `at least`, `up to`.
    pub bound: Option<Bound>,
    /// The number, or the lower of two.
    pub number: Span,
    /// Whether the number is written `1:500`.
    pub one_in: bool,
    /// The higher of two numbers.
    pub high: Option<Span>,
    /// The unit.
    pub unit: Option<Span>,
    /// `of copper`.
    pub of: Option<Span>,
    /// `per 100 gal`.
    pub per: Option<Per>,
    /// `on pear`.
    pub on: Vec<Span>,
    /// `from 2024-03-01`.
    pub from: Option<Span>,
}

/// On which side a number limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// `at most`.
    AtMost,
    /// `at least`.
    AtLeast,
    /// `up to`: made up to that volume.
    UpTo,
}

/// What an amount is counted by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Per {
    /// How many of the unit; one when absent.
    pub number: Option<Span>,
    /// The unit.
    pub unit: Span,
}

/// A name and a quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Portion {
    /// The name.
    pub name: Span,
    /// The quantity.
    pub measure: Measure,
}

/// One thing about the weather.
#[derive(Clone, Debug, PartialEq)]
#[expect(missing_docs, reason = "each variant shows the words that its parts are")]
pub enum ReadingItem {
    /// `wind 3 mph NW`; a temperature may stand without its name.
    Measured { name: Option<Span>, measure: Measure, compass: Option<Span> },
    /// `clear`.
    Remark(Span),
}

/// `16 ft apart`, `trees 12 ft apart`, `300 ft long`.
#[derive(Clone, Debug, PartialEq)]
pub struct LayoutItem {
    /// The distance.
    pub measure: Measure,
    /// Which distance.
    pub kind: LayoutKind,
}

/// Which distance of a block's layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LayoutKind {
    /// From row to row.
    RowsApart,
    /// From tree to tree in the row.
    TreesApart,
    /// The length of a row.
    RowLength,
}

/// `7 of 100 leaves`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Count {
    /// How many had it.
    pub found: Span,
    /// How many were looked at.
    pub of: Span,
    /// What was looked at.
    pub text: Option<Span>,
}

/// A time of day, with its day where it is not the page's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// All of it.
    pub span: Span,
    /// Its own day.
    pub date: Option<Span>,
    /// The time of day.
    pub clock: Span,
    /// `next day`.
    pub next_day: bool,
    /// `first` or `second` of an hour that the clock change repeats.
    pub which: Option<Which>,
}

/// Which of two equal clock times.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// Before the clocks go back.
    First,
    /// After.
    Second,
}

/// Which rows of a block.
#[derive(Clone, Debug, PartialEq)]
pub struct RowPick {
    /// All of it.
    pub span: Span,
    /// The rows, or every other row.
    pub rows: Rows,
}

/// Rows by number, or every other one.
#[derive(Clone, Debug, PartialEq)]
pub enum Rows {
    /// `rows 1 to 9, 12`.
    Listed(Vec<RowRun>),
    /// `alternate rows`: every other alley driven.
    Alternate,
    /// `odd rows`.
    Odd,
    /// `even rows`.
    Even,
}

/// A run of rows, or one row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RowRun {
    /// The first row.
    pub first: Span,
    /// The last, where it is a run.
    pub last: Option<Span>,
}
