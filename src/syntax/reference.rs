//! The language reference: chapters written by hand, with the units and the schema laid out where they ask for them.

use std::fmt::Write as _;

use super::read::read_entry;
use super::schema::{EntryRule, FieldRule, SCHEMA};
use super::tree::{Measure, Value};
use crate::quantity::{Dimension, Exact, Unit};

/// The chapters written by hand.
const GUIDE: &str = include_str!("../../grammar/guide.md");
/// Where in them the units stand.
const UNITS: &str = "<!-- units -->\n";
/// Where in them the entries stand.
const ENTRIES: &str = "<!-- entries -->\n";

/// The whole reference, as Markdown.
pub fn reference() -> String {
    GUIDE.replacen(UNITS, &units(), 1).replacen(ENTRIES, &entries(), 1)
}

/// The unit table: every unit with its other names and its exact size.
fn units() -> String {
    let mut out = String::from("| unit | measures | also written | size |\n|---|---|---|---|\n");
    for unit in Unit::all() {
        let names = unit.aliases().iter().filter(|name| is_read(name));
        let names: Vec<String> = names.map(|name| code(name)).collect();
        let word = code(unit.word());
        let measures = unit.dimension().word();
        // Writing to a String cannot fail.
        let _ = writeln!(out, "| {word} | {measures} | {} | {} |", names.join(", "), size(unit));
    }
    out
}

/// Whether a unit so named can stand in a field. The table of units knows a few names that only other documents use.
fn is_read(name: &str) -> bool {
    let text = format!("harvest x\n    amount 1 {name}\n");
    let entry = read_entry(&text, 0);
    let Some(Value::Measure(Measure { unit: Some(unit), per: None, .. })) =
        entry.fields.first().map(|field| &field.value)
    else {
        return false;
    };
    text[unit.start as usize..unit.end as usize] == *name
}

/// One of the unit in the metric unit of what it measures; empty where there is nothing to say.
fn size(unit: Unit) -> String {
    let base = match unit.dimension() {
        Dimension::Volume => "mL",
        Dimension::Mass => "g",
        Dimension::Area => "m2",
        Dimension::Length => "m",
        Dimension::Time => "s",
        Dimension::Pressure => "kPa",
        Dimension::Speed => "m/s",
        Dimension::Ounce => return "by the material's form".to_owned(),
        Dimension::Temperature | Dimension::Share | Dimension::Acidity | Dimension::Count => return String::new(),
    };
    if unit.word() == base {
        return String::new();
    }
    let size = unit.to_base();
    let written = size.decimal(10);
    let about = if Exact::parse(&written) == Ok(size) { "" } else { "about " };
    format!("{about}{written} {base}")
}

/// Every entry and every field.
fn entries() -> String {
    let mut out = String::from("## Entries and fields\n\n");
    let (standing, dated): (Vec<_>, Vec<_>) = SCHEMA.iter().partition(|rule| rule.word.is_standing());
    for (about, rules) in [("What is so, needing no date", &standing), ("What stands under a date", &dated)] {
        let list: Vec<String> = rules.iter().map(|rule| link(rule)).collect();
        let _ = writeln!(out, "{about}: {}.\n", list.join(", "));
    }
    for rule in SCHEMA {
        entry(&mut out, rule);
    }
    // One line end at the end of the file.
    out.truncate(out.trim_end().len() + 1);
    out
}

fn entry(out: &mut String, rule: &EntryRule) {
    let (word, head) = (rule.word.word(), rule.head);
    let _ = writeln!(out, "### {word}\n\n{}\n\n```\n{head}\n```\n", rule.about);
    let _ = writeln!(out, "| field | for | example |\n|---|---|---|");
    for field in rule.fields {
        let about = [field.about, times(field)].join(" ");
        let _ = writeln!(out, "| {} | {} | {} |", code(field.word.word()), about.trim_end(), code(field.example));
    }
    out.push('\n');
}

/// How often a field may stand.
fn times(field: &FieldRule) -> &'static str {
    match (field.required, field.repeats) {
        (true, true) => "**Needed**; may be repeated.",
        (true, false) => "**Needed.**",
        (false, true) => "May be repeated.",
        (false, false) => "",
    }
}

fn link(rule: &EntryRule) -> String {
    let word = rule.word.word();
    format!("[`{word}`](#{word})")
}

fn code(words: &str) -> String {
    format!("`{words}`")
}
