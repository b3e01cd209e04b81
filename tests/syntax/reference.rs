//! The committed language reference is the one that the program prints, and what it shows is really read.

use std::fs;

use foliary::journal::{Journal, Trouble, compile};
use foliary::quantity::Unit;
use foliary::syntax::{SCHEMA, reference};
use foliary::text::Sources;
use foliary::{Farm, check_farm};

use super::examples::folder;
use super::read;

/// Set to write the reference anew.
const UPDATE: &str = "FOLIARY_UPDATE_REFERENCE";

#[test]
fn the_committed_reference_is_the_printed_one() {
    let path = folder("grammar").join("LANGUAGE.md");
    let printed = reference();
    if std::env::var_os(UPDATE).is_some() {
        fs::write(&path, &printed).unwrap();
    }
    let committed = fs::read_to_string(&path).unwrap();
    assert!(committed == printed, "grammar/LANGUAGE.md is out of date: run the tests once with {UPDATE}=1");
}

fn journal(texts: &[String]) -> (Sources, Journal) {
    let mut sources = Sources::new();
    let files: Vec<_> =
        texts.iter().enumerate().map(|(at, text)| sources.add(format!("{at}.spray"), text.clone()).unwrap()).collect();
    let journal = compile(&sources, &files);
    (sources, journal)
}

/// Troubles that an example has only because it stands alone.
fn stands_alone(trouble: &Trouble) -> bool {
    matches!(trouble, Trouble::UnknownName { .. } | Trouble::MissingFields { .. })
}

#[test]
fn every_example_of_the_schema_is_read() {
    for rule in SCHEMA {
        for field in rule.fields {
            let day = if rule.word.is_standing() || rule.head.starts_with("20") { "" } else { "2026-05-14\n" };
            let text = format!("{day}{}\n    {}\n", rule.head, field.example);
            let entries = read(&text, 0);
            assert!(entries.iter().all(|entry| entry.strays.is_empty()), "{text}");
            let (_, journal) = journal(std::slice::from_ref(&text));
            let troubles: Vec<&Trouble> = journal.troubles.iter().filter(|trouble| !stands_alone(trouble)).collect();
            assert!(troubles.is_empty(), "{text}\n{troubles:#?}");
        }
    }
}

/// The journals shown in the reference.
fn shown() -> Vec<String> {
    let text = reference();
    let mut blocks = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        if line == "```spray" {
            blocks.push(lines.by_ref().take_while(|line| *line != "```").map(|line| format!("{line}\n")).collect());
        }
    }
    blocks
}

#[test]
fn the_journals_of_the_reference_are_one_farm_without_a_slip() {
    let blocks = shown();
    assert!(blocks.len() > 10);
    let (sources, journal) = journal(&blocks);
    assert!(sources.len() == blocks.len() && journal.troubles.is_empty(), "{:#?}", journal.troubles);
    assert!(journal.sprays.len() > 5 && journal.blocks.len() >= 3 && journal.farm.is_some());
}

#[test]
fn the_journals_of_the_reference_raise_no_finding_that_they_do_not_accept() {
    let mut sources = Sources::new();
    let files: Vec<_> =
        shown().into_iter().enumerate().map(|(at, text)| sources.add(format!("{at}.spray"), text).unwrap()).collect();
    let farm = Farm { files: &files, missing: &[] };
    let found = check_farm(&sources, farm, chrono::NaiveDate::from_ymd_opt(2026, 12, 31));
    // The example of accepting is held by the test of that check.
    let found: Vec<_> = found.iter().filter(|one| one.accepted.is_none() && one.code != "accept-of-nothing").collect();
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn every_unit_of_the_table_is_read_in_a_journal() {
    let text = reference();
    let rows: Vec<&str> = text.lines().filter(|line| line.starts_with("| `")).take(Unit::all().count()).collect();
    assert_eq!(rows.len(), Unit::all().count());
    for (row, unit) in rows.into_iter().zip(Unit::all()) {
        let cells: Vec<&str> = row.split(" | ").collect();
        assert_eq!(cells[0], format!("| `{}`", unit.word()));
        let names = format!("{}, {}", cells[0].trim_start_matches("| "), cells[2]);
        for name in names.split(", ").map(|name| name.trim_matches('`')).filter(|name| !name.is_empty()) {
            assert_eq!(Unit::named(name), Some(unit), "{name}");
            // The number of `amount` takes any unit; what it measures is another question.
            let page = format!("2026-05-14\nharvest x\n    amount 3 {name}\n");
            let (sources, journal) = journal(std::slice::from_ref(&page));
            for trouble in &journal.troubles {
                match trouble {
                    Trouble::UnknownName { .. } => {}
                    Trouble::WrongDimension { at, found, .. } => {
                        assert_eq!(sources.slice(*at), name);
                        assert_eq!(*found, unit.dimension());
                    }
                    other => panic!("{page}{other:?}"),
                }
            }
        }
    }
}

#[test]
fn every_entry_and_field_is_in_the_reference() {
    let text = reference();
    assert!(!text.contains("<!--"), "every place that asks for a table has got it");
    for rule in SCHEMA {
        let chapter = text.split_once(&format!("\n### {}\n", rule.word.word())).expect("a chapter of its own").1;
        let chapter = chapter.split("\n### ").next().unwrap();
        assert!(chapter.contains(rule.about) && chapter.contains(rule.head));
        for field in rule.fields {
            let row = chapter.lines().find(|line| line.starts_with(&format!("| `{}` |", field.word.word())));
            let row = row.unwrap_or_else(|| panic!("{} {}", rule.word.word(), field.word.word()));
            assert!(row.contains(field.about) && row.contains(&format!("`{}`", field.example)));
            assert_eq!(row.contains("**Needed"), field.required, "{row}");
            assert_eq!(row.to_lowercase().contains("may be repeated"), field.repeats, "{row}");
        }
    }
}
