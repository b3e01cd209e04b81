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
            adoptions.map(|adoption| time(adoption.adopted.from, adoption.adopted.until, "always")).collect();
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
    /// When it is in force, where it is not always.
    pub in_force: Option<String>,
}

impl RuleView {
    pub(super) fn new(rule: &Rule) -> Self {
        let bounded = rule.from.is_some() || rule.until.is_some();
        Self {
            says: rule.says.trim().to_string(),
            citation: rule.citation.clone(),
            known: rule.known.words(),
            from_memory: rule.known == Known::Memory,
            in_force: bounded.then(|| time(rule.from, rule.until, "")),
        }
    }
}

/// `from 1 January 2026 on`, `up to 31 December 2025`.
fn time(from: Option<NaiveDate>, until: Option<NaiveDate>, always: &str) -> String {
    match (from, until) {
        (Some(from), Some(until)) => format!("from {} to {}", day(from), day(until)),
        (Some(from), None) => format!("from {} on", day(from)),
        (None, Some(until)) => format!("up to {}", day(until)),
        (None, None) => always.to_string(),
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

/// What every document that quotes law says besides its facts: the general cautions, then the rulebooks' own.
pub(super) fn law_cautions<'r>(book: &Book<'_>, rulebooks: impl Iterator<Item = &'r Rulebook>) -> Vec<String> {
    let mut lines: Vec<String> = cautions(book).into_iter().map(str::to_string).collect();
    for rulebook in rulebooks {
        let from_memory = rulebook.rules.iter().filter(|rule| rule.known == Known::Memory).count();
        lines.push(format!(
            "{} is held here as set down on {}, in words of our own: what was changed since is not in it, and the text of the {} holds.",
            rulebook.title,
            day(rulebook.set_down),
            rulebook.sort.word(),
        ));
        if from_memory > 0 {
            lines.push(format!(
                "{}: {} set down from memory and marked so; look them up before you rely on them.",
                rulebook.title,
                count(from_memory, "rule was", "rules were"),
            ));
        }
        lines.extend(rulebook.cautions.iter().map(|caution| format!("{}: {}", rulebook.title, caution.trim())));
    }
    lines
}
