//! What could not be understood, as plain facts. The checks find the words.

use chrono::Weekday;

use crate::quantity::{Dimension, NumberTrouble};
use crate::syntax::{EntryWord, FieldWord};
use crate::text::Span;

/// What kind of thing a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NameSort {
    /// A block.
    Block,
    /// A person.
    Person,
    /// A sprayer.
    Rig,
    /// A water.
    Water,
    /// A material.
    Material,
    /// A mix.
    Mix,
    /// A program.
    Program,
    /// A set of limits.
    Limits,
    /// A home-made batch.
    Brew,
    /// A farm.
    Farm,
}

impl NameSort {
    /// All of them.
    pub const ALL: [NameSort; 10] = [
        NameSort::Block,
        NameSort::Person,
        NameSort::Rig,
        NameSort::Water,
        NameSort::Material,
        NameSort::Mix,
        NameSort::Program,
        NameSort::Limits,
        NameSort::Brew,
        NameSort::Farm,
    ];

    /// The word users see.
    pub const fn word(self) -> &'static str {
        match self {
            NameSort::Block => "block",
            NameSort::Person => "person",
            NameSort::Rig => "rig",
            NameSort::Water => "water",
            NameSort::Material => "material",
            NameSort::Mix => "mix",
            NameSort::Program => "program",
            NameSort::Limits => "set of limits",
            NameSort::Brew => "batch",
            NameSort::Farm => "farm",
        }
    }
}

/// Why words are not a day or a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateTrouble {
    /// Not written year-month-day.
    NotADate,
    /// No such day in the calendar, as 2026-02-30.
    NoSuchDay,
    /// No such time, as 25:10.
    NoSuchTime,
}

/// One thing that could not be understood.
#[derive(Clone, Debug, PartialEq)]
pub enum Trouble {
    /// A line that could not be read.
    UnreadableLine {
        /// The line.
        line: Span,
        /// The entry it stands in.
        entry: Option<EntryWord>,
        /// Whether it is the entry's first line.
        head: bool,
    },
    /// A line that stands before any entry.
    HomelessLine {
        /// The line.
        line: Span,
    },
    /// An entry whose word is none of the journal's.
    UnknownEntry {
        /// The word.
        word: Span,
    },
    /// A field word that is known, in an entry that has no such field.
    MisplacedField {
        /// The word.
        at: Span,
        /// Which.
        word: FieldWord,
        /// In which entry.
        entry: EntryWord,
    },
    /// A field that may stand once and stands again.
    RepeatedField {
        /// The first one's word.
        first: Span,
        /// The second one's word.
        again: Span,
        /// Which.
        word: FieldWord,
    },
    /// A name that stands twice in one list.
    NamedTwice {
        /// The first.
        first: Span,
        /// The second.
        again: Span,
    },
    /// Fields without which an entry means nothing.
    MissingFields {
        /// The entry's first line.
        line: Span,
        /// Which entry.
        entry: EntryWord,
        /// Which fields.
        words: Vec<FieldWord>,
    },
    /// An entry that says what was done, and stands under no date.
    UndatedEntry {
        /// Its first line.
        line: Span,
        /// Which entry.
        entry: EntryWord,
    },
    /// An entry that does not say what it is about.
    NamelessEntry {
        /// Its first line.
        line: Span,
        /// Which entry.
        entry: EntryWord,
    },
    /// Something on an entry's first line that the entry has no use for.
    StrayHead {
        /// The words.
        at: Span,
        /// Which entry.
        entry: EntryWord,
    },
    /// A name that nothing declares.
    UnknownName {
        /// The name.
        at: Span,
        /// What it should stand for.
        sort: NameSort,
    },
    /// A name declared twice.
    DuplicateName {
        /// The first.
        first: Span,
        /// The second.
        again: Span,
        /// What it stands for.
        sort: NameSort,
    },
    /// Two names that the eye takes for one another.
    LookAlikeName {
        /// The first.
        first: Span,
        /// The second.
        again: Span,
        /// What they stand for.
        sort: NameSort,
    },
    /// A word where one of a few is expected.
    UnknownChoice {
        /// The word.
        at: Span,
        /// Of which field.
        field: FieldWord,
        /// What it may be.
        allowed: &'static [&'static str],
    },
    /// An amendment of something that no record is.
    UnknownRecord {
        /// The word behind `amend`.
        at: Span,
    },
    /// A unit that nobody knows.
    UnknownUnit {
        /// The unit.
        at: Span,
    },
    /// A number without a unit where one is needed.
    NoUnit {
        /// The quantity.
        at: Span,
        /// Of which field.
        field: FieldWord,
        /// What it should measure.
        wanted: &'static [Dimension],
    },
    /// A unit of another dimension than the field measures.
    WrongDimension {
        /// The unit.
        at: Span,
        /// Of which field.
        field: FieldWord,
        /// What the unit measures.
        found: Dimension,
        /// What it should measure.
        wanted: &'static [Dimension],
    },
    /// A quantity in the right units that the field cannot take: a range where one number is asked for, a `per`
    /// where there is none, or the other way round.
    WrongShape {
        /// The quantity.
        at: Span,
        /// Of which field.
        field: FieldWord,
    },
    /// A quantity that no record of such a thing can have: an area of nothing, a share above the whole.
    Impossible {
        /// The quantity.
        at: Span,
        /// Of which field.
        field: FieldWord,
        /// Why, for the end of a sentence.
        why: &'static str,
    },
    /// A number that is none, or too large to reckon with exactly.
    UnreadableNumber {
        /// The number.
        at: Span,
        /// Why.
        why: NumberTrouble,
    },
    /// A day or a time that is none.
    UnreadableDate {
        /// The words.
        at: Span,
        /// Why.
        why: DateTrouble,
    },
    /// A bare ounce of a material whose form is not known.
    UnsettledOunce {
        /// The quantity.
        at: Span,
        /// The material's name.
        material: Span,
    },
    /// A spoon or a cup of a dry material with no measured weight, or a weight of a liquid with no density.
    WrongForm {
        /// The quantity.
        at: Span,
        /// The material's name.
        material: Span,
        /// Whether the material is dry and was measured by volume; otherwise it is liquid and was weighed.
        dry_by_volume: bool,
    },
    /// A weekday that is not the date's.
    WrongWeekday {
        /// The weekday.
        at: Span,
        /// The date.
        date: Span,
        /// What the date's weekday is.
        is: Weekday,
    },
    /// A time zone that nobody knows.
    UnknownZone {
        /// The zone.
        at: Span,
        /// The nearest known one.
        nearest: Option<&'static str>,
    },
    /// A second farm in one journal.
    SecondFarm {
        /// The first.
        first: Span,
        /// The second.
        again: Span,
    },
    /// A shared folder that is not there.
    MissingFolder {
        /// Its path as written.
        at: Span,
    },
    /// Characters that cannot be seen or that turn the text round, of one file.
    HiddenCharacters {
        /// Where the first few stand.
        first: Vec<Span>,
        /// How many there are in the file.
        count: usize,
    },
}

impl Trouble {
    /// Where it stands: in the entry whose reading met it.
    pub fn place(&self) -> Span {
        match self {
            Trouble::UnreadableLine { line, .. }
            | Trouble::HomelessLine { line, .. }
            | Trouble::MissingFields { line, .. }
            | Trouble::UndatedEntry { line, .. }
            | Trouble::NamelessEntry { line, .. } => *line,
            Trouble::UnknownEntry { word, .. } => *word,
            Trouble::MisplacedField { at, .. }
            | Trouble::StrayHead { at, .. }
            | Trouble::UnknownName { at, .. }
            | Trouble::UnknownChoice { at, .. }
            | Trouble::UnknownRecord { at, .. }
            | Trouble::UnknownUnit { at, .. }
            | Trouble::NoUnit { at, .. }
            | Trouble::WrongDimension { at, .. }
            | Trouble::WrongShape { at, .. }
            | Trouble::Impossible { at, .. }
            | Trouble::UnreadableNumber { at, .. }
            | Trouble::UnreadableDate { at, .. }
            | Trouble::UnsettledOunce { at, .. }
            | Trouble::WrongForm { at, .. }
            | Trouble::WrongWeekday { at, .. }
            | Trouble::UnknownZone { at, .. }
            | Trouble::MissingFolder { at, .. } => *at,
            Trouble::RepeatedField { again, .. }
            | Trouble::NamedTwice { again, .. }
            | Trouble::DuplicateName { again, .. }
            | Trouble::LookAlikeName { again, .. }
            | Trouble::SecondFarm { again, .. } => *again,
            Trouble::HiddenCharacters { first, .. } => first.first().copied().unwrap_or_default(),
        }
    }
}
