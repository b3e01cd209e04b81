//! How a line is told apart, said once for every editor: patterns of parts, each part with what it is.

/// What a stretch of a journal is to the eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The first word of an entry.
    Entry,
    /// The first word of a field.
    Field,
    /// A name, where it is given or used.
    Name,
    /// A number.
    Number,
    /// A unit of the table.
    Unit,
    /// A day, a weekday or a time.
    Date,
    /// A word of the language between two things: `to`, `per`, `at most`.
    Joiner,
    /// A title in quotes.
    Title,
    /// What stands behind a `#`.
    Remark,
    /// The words of a note.
    Note,
}

impl Kind {
    /// Every kind.
    pub const ALL: &'static [Kind] = &[
        Kind::Entry,
        Kind::Field,
        Kind::Name,
        Kind::Number,
        Kind::Unit,
        Kind::Date,
        Kind::Joiner,
        Kind::Title,
        Kind::Remark,
        Kind::Note,
    ];
}

/// A regular expression that every editor can be given in its own spelling. Letters stand for both cases.
#[derive(Clone, Debug, PartialEq)]
pub enum Re {
    /// These characters.
    Words(String),
    /// One character of a set, or none of it.
    One(Set),
    /// One after the other.
    Seq(Vec<Re>),
    /// The first of these that fits.
    AnyOf(Vec<Re>),
    /// There or not.
    Maybe(Box<Re>),
    /// Once or more.
    Some(Box<Re>),
    /// Nothing, where a word ends.
    WordEnd,
}

/// A set of characters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Set {
    /// Whether it is all others that are meant.
    pub others: bool,
    /// Characters and ranges of ASCII, as between brackets; a hyphen stands last.
    pub ascii: &'static str,
    /// And everything that is not ASCII.
    pub beyond: bool,
}

/// One part of a pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What it is; nothing for words that are only passed over.
    pub kind: Option<Kind>,
    /// How it is written.
    pub re: Re,
    /// What stands between it and the part before.
    pub gap: Gap,
    /// Whether it may be missing, with its gap.
    pub optional: bool,
}

/// Blanks before a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gap {
    /// None.
    No,
    /// Any number, or none.
    Any,
    /// One or more.
    Blank,
}

/// Parts in a row. Patterns are tried in their order wherever the one before has ended.
pub type Pattern = Vec<Part>;

/// A spelling of regular expressions.
pub trait Spelling {
    /// These characters, as they are.
    fn words(&self, words: &str) -> String;
    /// One character of a set.
    fn set(&self, set: Set) -> String;
    /// Where a word ends.
    fn word_end(&self) -> String;

    /// A group that is not remembered.
    fn group(&self, inner: &str) -> String {
        format!("(?:{inner})")
    }

    /// Between two ways.
    fn or(&self) -> &'static str {
        "|"
    }

    /// Behind what may be missing.
    fn maybe(&self) -> &'static str {
        "?"
    }

    /// Behind what may be repeated.
    fn some(&self) -> &'static str {
        "+"
    }

    /// A whole expression.
    fn spell(&self, re: &Re) -> String {
        match re {
            Re::Words(words) => self.words(words),
            Re::One(set) => self.set(*set),
            Re::Seq(parts) => parts.iter().map(|part| self.spell(part)).collect(),
            Re::AnyOf(ways) => {
                let ways: Vec<String> = ways.iter().map(|way| self.spell(way)).collect();
                self.group(&ways.join(self.or()))
            }
            Re::Maybe(inner) => format!("{}{}", self.group(&self.spell(inner)), self.maybe()),
            Re::Some(inner) => match **inner {
                // A set of one pair of brackets needs no group.
                Re::One(Set { beyond: false, .. }) => format!("{}{}", self.spell(inner), self.some()),
                _ => format!("{}{}", self.group(&self.spell(inner)), self.some()),
            },
            Re::WordEnd => self.word_end(),
        }
    }

    /// The blanks before a part.
    fn gap(&self, gap: Gap) -> String {
        match gap {
            Gap::No => String::new(),
            Gap::Any => self.spell(&maybe(blanks())),
            Gap::Blank => self.spell(&blanks()),
        }
    }

    /// A pattern in one expression, each part as `part` writes it.
    fn whole(&self, pattern: &[Part], part: &dyn Fn(usize, String) -> String) -> String {
        let mut out = String::new();
        for (at, one) in pattern.iter().enumerate() {
            let spelt = format!("{}{}", self.gap(one.gap), part(at, self.spell(&one.re)));
            if one.optional {
                out.push_str(&self.group(&spelt));
                out.push_str(self.maybe());
            } else {
                out.push_str(&spelt);
            }
        }
        out
    }
}

pub fn words(words: impl Into<String>) -> Re {
    Re::Words(words.into())
}

pub fn one(ascii: &'static str) -> Re {
    Re::One(Set { others: false, ascii, beyond: false })
}

pub fn none_of(ascii: &'static str) -> Re {
    Re::One(Set { others: true, ascii, beyond: false })
}

pub fn some(re: Re) -> Re {
    Re::Some(Box::new(re))
}

pub fn maybe(re: Re) -> Re {
    Re::Maybe(Box::new(re))
}

pub fn blanks() -> Re {
    some(one(" \t"))
}

/// Any of these words, the longer first, up to where a word ends.
pub fn any_word<'w>(all: impl IntoIterator<Item = &'w str>) -> Re {
    let mut all: Vec<&str> = all.into_iter().collect();
    all.sort_by(|a, b| b.len().cmp(&a.len()).then(a.cmp(b)));
    Re::Seq(vec![Re::AnyOf(all.into_iter().map(words).collect()), Re::WordEnd])
}

impl Part {
    /// A part that stands first, or right behind the one before.
    pub fn new(kind: Kind, re: Re) -> Part {
        Part { kind: Some(kind), re, gap: Gap::No, optional: false }
    }

    /// A part that is only passed over.
    pub fn passed(re: Re) -> Part {
        Part { kind: None, re, gap: Gap::No, optional: false }
    }

    /// After blanks, or right behind.
    pub fn any_gap(self) -> Part {
        Part { gap: Gap::Any, ..self }
    }

    /// After blanks.
    pub fn after_blank(self) -> Part {
        Part { gap: Gap::Blank, ..self }
    }

    /// There or not.
    pub fn optional(self) -> Part {
        Part { optional: true, ..self }
    }
}
