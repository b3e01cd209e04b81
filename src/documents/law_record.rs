//! One application as one rulebook asks for it.

use serde::Serialize;

use super::amended::{Amended, amendments};
use super::book::Book;
use super::digest::{Digest, entry_lines};
use super::element_values::{Said, said};
use super::evidence::signatures;
use super::keeping::{KeptView, kept_longest, kept_under};
use super::record::written;
use super::words::{self, day, list, moment};
use crate::duty::{Due, Duties, Made, concerned, due, made};
use crate::journal::MaterialId;
use crate::rulebook::{Demand, Element, Rule, TimeSpan};
use crate::season::SprayFacts;

/// One application as one rulebook asks for it.
#[derive(Clone, Debug, Serialize)]
pub struct LawRecord {
    /// Its number among those shown.
    pub number: usize,
    /// How many are shown.
    pub of: usize,
    /// The day it was done.
    pub date: String,
    /// Which ground, in a line.
    pub ground: String,
    /// What was in the tank.
    pub tank: String,
    /// What the rules ask for, in their order: neighbours that the same rules ask for together.
    pub groups: Vec<Group>,
    /// What is missing, in words; absent where nothing is.
    pub missing: Option<String>,
    /// The elements that are missing something.
    #[serde(skip)]
    pub lacking: Vec<Element>,
    /// What was in the tank and none of these rules asks about.
    pub also: Option<String>,
    /// When it was written down.
    pub entered: Option<String>,
    /// Who signed it, and when.
    pub signed: Option<String>,
    /// By when it had to be, and whether it was.
    pub deadlines: Vec<Deadline>,
    /// Until when it is kept, by the longest of all rulebooks and the farm itself.
    pub kept: Option<KeptView>,
    /// Until when this rulebook wants it kept.
    pub kept_here: Option<KeptView>,
    /// Corrections.
    pub amendments: Vec<Amended>,
    /// Where the entry is.
    pub lines: String,
    /// What identifies the entry's text.
    pub digest: Digest,
}

/// Elements that the same rules ask for.
#[derive(Clone, Debug, Serialize)]
pub struct Group {
    /// The sections, each with how it is known.
    pub asked_by: String,
    /// The elements.
    pub rows: Vec<Row>,
}

/// An element and what the record says of it.
#[derive(Clone, Debug, Serialize)]
pub struct Row {
    /// What it is.
    pub what: String,
    /// What the record says.
    pub said: Vec<Said>,
}

/// By when something had to be done.
#[derive(Clone, Debug, Serialize)]
pub struct Deadline {
    /// What: `Record made` or `Readable by machines`.
    pub what: &'static str,
    /// By when.
    pub by: String,
    /// Whether it was.
    pub met: Option<&'static str>,
    /// The section, and how it is known.
    pub source: String,
    /// By when, for machines.
    #[serde(skip)]
    pub due: Due,
}

/// The rules of one rulebook that ask for elements of a spray's record.
pub(super) fn asking<'s>(duties: &Duties<'s>, facts: &SprayFacts, name: &str) -> Vec<(&'s Rule, &'s [Element])> {
    let elements = |demand: &'s Demand| match demand {
        Demand::Elements(elements) => Some(elements.as_slice()),
        _ => None,
    };
    let asked = duties.of_spray(facts, elements).filter(|(asked, _)| asked.adoption.book.name == name);
    let mut rules: Vec<(&Rule, &[Element])> = Vec::new();
    for (asked, elements) in asked {
        // A rulebook adopted twice for overlapping times asks once.
        if rules.iter().all(|(known, _)| known.id != asked.rule.id) {
            rules.push((asked.rule, elements));
        }
    }
    rules
}

/// The record of a spray under a rulebook, whose rules that ask for elements of it are given.
pub(super) fn law_record(
    book: &Book<'_>,
    duties: &Duties<'_>,
    facts: &SprayFacts,
    name: &str,
    rules: &[(&Rule, &[Element])],
) -> LawRecord {
    let spray = facts.spray(book.journal());
    let about = |material: MaterialId| rules.iter().any(|(rule, _)| concerned(book.season, material, &rule.when));
    let also: Vec<&str> =
        facts.doses.iter().filter(|dose| !about(dose.material)).map(|dose| book.material(dose.material)).collect();
    let rows = rows(book, facts, rules);
    let lacking: Vec<Element> =
        rows.iter().filter(|(_, _, row)| row.said.iter().any(|said| said.text.is_none())).map(|row| row.0).collect();
    let missing: Vec<&str> = lacking.iter().map(|element| element.words()).collect();
    let lines = entry_lines(book.season.sources, spray.at.entry);
    LawRecord {
        number: 0,
        of: 0,
        date: spray.at.day.format("%A %-d %B %Y").to_string(),
        ground: book.ground(&spray.ground),
        tank: tank(book, facts),
        missing: (!missing.is_empty()).then(|| words::sentence(&list(&missing))),
        lacking,
        groups: grouped(rows),
        also: (!also.is_empty()).then(|| list(&also)),
        entered: spray.entered.as_ref().map(|entered| {
            let written = written(book, entered, spray.at.day);
            let by = written.by.map(|by| format!(", by {by}")).unwrap_or_default();
            format!("{}, {}{by}", written.on, written.after)
        }),
        signed: signatures(book, &spray.signed),
        deadlines: deadlines(book, duties, facts, name),
        kept: kept_longest(book, duties, facts),
        kept_here: kept_under(duties, facts, name),
        amendments: amendments(book, spray),
        lines: book.lines(lines),
        digest: Digest::of_lines(book.season.sources, lines),
    }
}

/// What was in the tank, in a line.
pub(super) fn tank(book: &Book<'_>, facts: &SprayFacts) -> String {
    let names: Vec<&str> = facts.doses.iter().map(|dose| book.material(dose.material)).collect();
    if names.is_empty() { "nothing that the journal describes".to_string() } else { names.join(", ") }
}

/// Each element once, where it is first asked for, with every rule that asks for it: what two rules ask about different
/// products stands together.
fn rows(book: &Book<'_>, facts: &SprayFacts, rules: &[(&Rule, &[Element])]) -> Vec<(Element, String, Row)> {
    let mut order: Vec<Element> = Vec::new();
    for &element in rules.iter().flat_map(|(_, elements)| *elements) {
        if !order.contains(&element) {
            order.push(element);
        }
    }
    let row = |element: Element| {
        let asking = || rules.iter().filter(move |(_, elements)| elements.contains(&element)).map(|(rule, _)| *rule);
        let about = |material: MaterialId| asking().any(|rule| concerned(book.season, material, &rule.when));
        let sources: Vec<String> = asking().map(|rule| format!("{}; {}", rule.citation, rule.known.words())).collect();
        let row = Row { what: words::sentence(element.words()), said: said(book, facts, element, &about) };
        (element, sources.join(". "), row)
    };
    order.into_iter().map(row).collect()
}

fn grouped(rows: Vec<(Element, String, Row)>) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for (_, asked_by, row) in rows {
        match groups.last_mut() {
            Some(group) if group.asked_by == asked_by => group.rows.push(row),
            _ => groups.push(Group { asked_by, rows: vec![row] }),
        }
    }
    groups
}

fn deadlines(book: &Book<'_>, duties: &Duties<'_>, facts: &SprayFacts, name: &str) -> Vec<Deadline> {
    let entered = facts.spray(book.journal()).entered.as_ref();
    let spans = |demand: &Demand| -> Option<(&'static str, TimeSpan)> {
        match demand {
            Demand::Deadline(within) => Some(("Record made", *within)),
            Demand::MachineReadable(within) => Some(("Readable by machines", *within)),
            _ => None,
        }
    };
    let own = duties.of_spray(facts, spans).filter(|(asked, _)| asked.adoption.book.name == name);
    let one = |(asked, (what, within)): (crate::duty::Asked<'_>, (&'static str, TimeSpan))| {
        let due = due(book.season, facts, within)?;
        // When files for machines were made is not for the journal to say.
        let entered = entered.filter(|_| what == "Record made");
        let met = entered.and_then(|entered| match (made(book.season, entered, due), due) {
            (Made::InTime, _) => Some("made in time"),
            // An end that is only taken as so makes nobody late.
            (Made::Late, Due::At(_)) if facts.end_assumed => None,
            (Made::Late, _) => Some("made after that"),
            (Made::Unclear, _) => Some("made on that day, at a time that is not recorded"),
        });
        let by = match due {
            Due::Day(last) => day(last),
            Due::At(last) => moment(last),
        };
        let source = format!("{}; {}", asked.rule.citation, asked.rule.known.words());
        Some(Deadline { what, by, met, source, due })
    };
    let mut deadlines: Vec<Deadline> = own.filter_map(one).collect();
    deadlines.dedup_by(|one, other| one.source == other.source && one.what == other.what);
    deadlines
}
