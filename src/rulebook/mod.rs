//! Law and schemes as dated data: one file a rulebook, each rule with its citation, when it is in force and how well it
//! is known. No rule of law stands in code; code only knows the kinds of things that a rule can ask for.

mod demand;
mod element;
mod read;
mod shelf;
mod words;

pub use demand::{Demand, Keep, KeepFrom, LabelLimit, TimeSpan, UseLimit, When};
pub use element::Element;
pub use read::RulebookTrouble;
pub use shelf::{Came, Shelf};

use chrono::NaiveDate;

/// One regime: a law, a scheme or a guide.
#[derive(Clone, Debug, PartialEq)]
pub struct Rulebook {
    /// The name that a farm adopts it by.
    pub name: String,
    /// The title to print.
    pub title: String,
    /// Where it holds.
    pub place: String,
    /// What sort of thing it is: law, scheme or guide.
    pub sort: Sort,
    /// Who makes or enforces it.
    pub authority: String,
    /// Where it is published.
    pub citation: String,
    /// What it is about and whom it binds, in our own words.
    pub about: String,
    /// The day on which the marks of its rules were set down.
    pub set_down: NaiveDate,
    /// Its rules, in the order of the file, which is the order of its records.
    pub rules: Vec<Rule>,
    /// What an extra caution on its documents says, in our own words.
    pub cautions: Vec<String>,
    /// Whether it is a file of the farm's own rather than one that comes with the program.
    pub own: bool,
}

/// What a rulebook is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// Statute or regulation.
    Law,
    /// A certifier's or a buyer's scheme.
    Scheme,
    /// Guidance or good practice.
    Guide,
}

impl Sort {
    /// The word users see.
    pub const fn word(self) -> &'static str {
        match self {
            Sort::Law => "law",
            Sort::Scheme => "scheme",
            Sort::Guide => "guide",
        }
    }
}

/// One requirement.
#[derive(Clone, Debug, PartialEq)]
pub struct Rule {
    /// Its name inside the rulebook.
    pub id: String,
    /// What it asks for.
    pub demand: Demand,
    /// Which sprays it holds for; all where nothing is said.
    pub when: When,
    /// The section.
    pub citation: String,
    /// The first day it is in force; `None` for longer than anyone's records.
    pub from: Option<NaiveDate>,
    /// The last day it is in force; `None` where no end is known.
    pub until: Option<NaiveDate>,
    /// How it is known.
    pub known: Known,
    /// The day on which the text was read, where that is known.
    pub known_on: Option<String>,
    /// The requirement in our own words.
    pub says: String,
}

impl Rule {
    /// Whether it is in force on a day.
    pub fn in_force(&self, day: NaiveDate) -> bool {
        self.from.is_none_or(|from| from <= day) && self.until.is_none_or(|until| day <= until)
    }
}

/// How well a rule is known. Only what was read at the source or in official guidance may raise errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Known {
    /// The text of the rule was read.
    Text,
    /// Official guidance, an extension service or another account of it was read.
    Guidance,
    /// From memory; neither text nor guidance was seen.
    Memory,
}

impl Known {
    /// The words users see.
    pub const fn words(self) -> &'static str {
        match self {
            Known::Text => "text read",
            Known::Guidance => "guidance read",
            Known::Memory => "from memory, not verified",
        }
    }
}
