//! Rules and rulebooks as documents say them.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::cautions::cautions;
use super::words::{count, day};
use crate::duty::Duties;
use crate::rulebook::{Known, Rule, Rulebook};

/// A rulebook, for the top of a document.
#[derive(Clone, Debug, Serialize)]
pub struct RulebookView {
    /// The name that the farm adopted it by.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Where it holds.
    pub place: String,
    /// Law, scheme or guide.
    pub sort: &'static str,
    /// Who makes or enforces it.
    pub authority: String,
    /// Where it is published.
    pub citation: String,
    /// What it is about and whom it binds.
    pub about: String,
    /// The day on which its rules were set down here.
    pub set_down: String,
    /// When the farm works under it.
    pub adopted: String,
}

impl RulebookView {
    pub(super) fn new(duties: &Duties<'_>, rulebook: &Rulebook) -> Self {
        let adoptions = duties.adoptions.iter().filter(|adoption| adoption.book.name == rulebook.name);
        let adopted: Vec<String> =
            adoptions.map(|adoption| time(adoption.adopted.from, adoption.adopted.until)).collect();
        Self {
            name: rulebook.name.clone(),
            title: rulebook.title.clone(),
            place: rulebook.place.clone(),
            sort: rulebook.sort.word(),
            authority: rulebook.authority.clone(),
            citation: rulebook.citation.clone(),
            about: rulebook.about.clone(),
            set_down: day(rulebook.set_down),
            adopted: adopted.join("; "),
        }
    }
}

/// A rule.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RuleView {
    /// The requirement.
    pub says: String,
    /// The section.
    pub citation: String,
    /// How it is known.
    pub known: &'static str,
    /// Whether it is known from memory alone.
    pub from_memory: bool,
    /// When it is in force.
    pub in_force: String,
    /// For which sprays it holds, where that is not all.
    pub holds: Option<String>,
}

impl RuleView {
    pub(super) fn new(rule: &Rule) -> Self {
        Self {
            says: rule.says.trim().to_string(),
            citation: rule.citation.clone(),
            known: rule.known.words(),
            from_memory: rule.known == Known::Memory,
            in_force: rule.in_force_words(),
            holds: rule.when.words(),
        }
    }
}

/// `from 1 January 2026 on`, `up to 31 December 2025`.
fn time(from: Option<NaiveDate>, until: Option<NaiveDate>) -> String {
    match (from, until) {
        (Some(from), Some(until)) => format!("from {} to {}", day(from), day(until)),
        (Some(from), None) => format!("from {} on", day(from)),
        (None, Some(until)) => format!("up to {}", day(until)),
        (None, None) => "always".to_string(),
    }
}

/// The rulebooks that the farm has adopted, each once, in the order of its lines.
pub(super) fn rulebooks<'s>(duties: &Duties<'s>) -> Vec<&'s Rulebook> {
    let mut books: Vec<&Rulebook> = Vec::new();
    for adoption in &duties.adoptions {
        if books.iter().all(|known| known.name != adoption.book.name) {
            books.push(adoption.book);
        }
    }
    books
}

/// The cautions of a document about a rulebook: those of every document, and how many of its rules are from memory.
pub(super) fn law_cautions<'r>(book: &Book<'_>, rulebooks: impl Iterator<Item = &'r Rulebook>) -> Vec<String> {
    let mut lines = cautions(book);
    for rulebook in rulebooks {
        let from_memory = rulebook.rules.iter().filter(|rule| rule.known == Known::Memory).count();
        if from_memory > 0 {
            lines.push(format!(
                "{}: {} set down from memory and marked so; look them up before you rely on them.",
                rulebook.title,
                count(from_memory, "rule was", "rules were"),
            ));
        }
    }
    lines
}
