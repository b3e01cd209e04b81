//! Which fields an entry may have, in one table: the reader's messages, the language reference and its tests all come
//! from here. Its rows are in [`super::schema_standing`] and [`super::schema_dated`].

use super::words::{EntryWord, FieldWord};
use super::{schema_dated as dated, schema_standing as standing};

/// What an entry is for and what may stand under it.
#[derive(Debug)]
pub struct EntryRule {
    /// Its first word.
    pub word: EntryWord,
    /// How its first line is written.
    pub head: &'static str,
    /// What it is for.
    pub about: &'static str,
    /// Its fields.
    pub fields: &'static [FieldRule],
}

/// What a field is for in an entry.
#[derive(Debug)]
pub struct FieldRule {
    /// Its word.
    pub word: FieldWord,
    /// Whether the entry means nothing without it.
    pub required: bool,
    /// Whether it may stand more than once.
    pub repeats: bool,
    /// What it is for.
    pub about: &'static str,
    /// How it is written.
    pub example: &'static str,
}

pub(super) const fn once(word: FieldWord, about: &'static str, example: &'static str) -> FieldRule {
    FieldRule { word, required: false, repeats: false, about, example }
}

pub(super) const fn many(word: FieldWord, about: &'static str, example: &'static str) -> FieldRule {
    FieldRule { word, required: false, repeats: true, about, example }
}

pub(super) const fn must(word: FieldWord, about: &'static str, example: &'static str) -> FieldRule {
    FieldRule { word, required: true, repeats: false, about, example }
}

pub(super) const fn must_many(word: FieldWord, about: &'static str, example: &'static str) -> FieldRule {
    FieldRule { word, required: true, repeats: true, about, example }
}

/// Every entry may have notes.
pub(super) const NOTE: FieldRule = many(
    FieldWord::Note,
    "Anything else, as Markdown; goes on over every line that is indented more deeply.",
    "note Canopy dry at the start.",
);

/// Every entry may accept findings about itself.
pub(super) const ACCEPT: FieldRule = many(
    FieldWord::Accept,
    "Lets a finding about this entry stand, by its code, with the reason; the reason is printed in the records.",
    "accept weather-outside-limits The gust passed within a minute.",
);

/// The rule of an entry.
pub fn entry_rule(word: EntryWord) -> &'static EntryRule {
    // The table is in the order of the words; the test of the schema holds it so.
    &SCHEMA[word as usize]
}

impl EntryRule {
    /// The rule of one of its fields.
    pub fn field(&self, word: FieldWord) -> Option<&'static FieldRule> {
        self.fields.iter().find(|field| field.word == word)
    }
}

/// Every entry of the language, in the order of the language reference.
pub static SCHEMA: &[EntryRule] = &[
    dated::DAY,
    standing::FARM,
    standing::BLOCK,
    standing::PERSON,
    standing::RIG,
    standing::WATER,
    standing::MATERIAL,
    standing::MIX,
    standing::PROGRAM,
    standing::LIMITS,
    dated::SPRAY,
    dated::SKIP,
    dated::OBSERVE,
    dated::WEATHER,
    dated::FORECAST,
    dated::HARVEST,
    dated::WORK,
    dated::POST,
    dated::RECEIVE,
    dated::BREW,
    dated::CALIBRATE,
    dated::CLEAN,
    dated::AMEND,
    dated::APPROVE,
    dated::TRAIN,
    dated::SAMPLE,
    dated::COUNT,
    dated::DISCARD,
];
