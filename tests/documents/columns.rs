//! Files for other programs: their columns are written down, and what is in the files is what the columns say.

use std::fs;
use std::path::PathBuf;

use foliary::documents::{Column, FORMAT_VERSION, Kind, Scope, input_columns, monthly_columns, record_columns};
use foliary::render::{DOCUMENTS, Press, Templates};
use foliary::text::{Sources, is_hidden};
use serde_json::{Map, Value, json};

use super::{Found, with_book};
use crate::report::schemas::{assert_valid, validator, with, without};

pub(super) const JOURNAL: &str = include_str!("alder_bend.spray");

/// A file of the repository that is written by a test: `FOLIARY_UPDATE_REFERENCE=1` writes it anew.
fn assert_written(name: &str, text: &str) {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("src/documents").join(name);
    if std::env::var_os("FOLIARY_UPDATE_REFERENCE").is_some() {
        fs::write(&path, text).unwrap();
    }
    let written = fs::read_to_string(&path).unwrap_or_default();
    assert!(written == text, "src/documents/{name} is out of date: run again with FOLIARY_UPDATE_REFERENCE=1");
}

/// The pattern of the cells of a column in JSON.
fn pattern(kind: Kind) -> Value {
    let text = |pattern: &str| json!({ "type": ["string", "null"], "pattern": pattern });
    match kind {
        Kind::Text => json!({ "type": ["string", "null"], "minLength": 1 }),
        Kind::Day => json!({ "type": ["string", "null"], "format": "date" }),
        Kind::Month => text("^[0-9]{4}-(0[1-9]|1[0-2])$"),
        Kind::Time => text("^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-2][0-9]:[0-5][0-9]:[0-5][0-9]([+-][0-2][0-9]:[0-5][0-9])?$"),
        Kind::Decimal => text("^-?[0-9]+([.][0-9]+)?$"),
        Kind::Whole => json!({ "type": ["integer", "null"], "minimum": 0 }),
        Kind::YesNo => json!({ "type": ["boolean", "null"] }),
    }
}

fn schema() -> String {
    let columns = record_columns();
    let mut properties = Map::new();
    for column in &columns {
        let mut one = pattern(column.kind);
        one.as_object_mut().unwrap().insert("description".into(), column.about.into());
        properties.insert(column.name.into(), one);
    }
    let names: Vec<&str> = columns.iter().map(|column| column.name).collect();
    let words = json!({ "type": "string", "minLength": 1 });
    let schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Application records of a farm under a rulebook, one row for each spray, product and block",
        "type": "object",
        "additionalProperties": false,
        "required": ["format", "format_version", "made_by", "compiled_for", "journal", "rows"],
        "properties": {
            "format": { "const": "foliary-records" },
            "format_version": { "const": FORMAT_VERSION },
            "made_by": words,
            "compiled_for": { "type": ["string", "null"], "format": "date" },
            "journal": {
                "type": "object",
                "additionalProperties": false,
                "required": ["sha256", "files"],
                "properties": {
                    "sha256": { "type": "string", "pattern": "^[0-9a-f]{64}$" },
                    "files": { "type": "array", "items": words },
                },
            },
            "rows": {
                "type": "array",
                "items": {
                    "type": "object",
                    "additionalProperties": false,
                    "required": names,
                    "properties": properties,
                },
            },
        },
    });
    format!("{}\n", serde_json::to_string_pretty(&schema).unwrap())
}

fn reference() -> String {
    let mut text = format!(
        "# Columns of the files for other programs\n\n\
         Format version {FORMAT_VERSION}. A column that goes, or that means something else, raises it; a new one at the end does\n\
         not, so read columns by their names. This file is written by a test.\n\n\
         CSV is as RFC 4180 has it: UTF-8, a row of names first, commas, CR LF at the ends of lines. A cell that is empty is\n\
         something that is not recorded, which is never filled in. Text that begins with `=`, `+`, `-` or `@` has an apostrophe\n\
         before it, so that no spreadsheet runs it as a formula; JSON has the text alone. Characters that cannot be seen are\n\
         written out as `\\u{{...}}` in both.\n\n\
         | kind | in CSV | in JSON |\n|---|---|---|\n\
         | text | words | string |\n\
         | day | `2026-05-14` | string |\n\
         | month | `2026-05` | string |\n\
         | time | `2026-05-14T07:20:00-07:00`; without the offset where the farm has no time zone | string |\n\
         | decimal | as many digits as it has, up to eighteen; twelve figures where its decimals do not end | string |\n\
         | whole | digits | number |\n\
         | yes/no | `yes` or `no` | true or false |\n\n\
         Amounts stand in the unit that the journal or the farm's documents say them in, and again in a metric one.\n"
    );
    let mut table = |heading: &str, columns: &[Column]| {
        text.push_str(&format!("\n## {heading}\n\n| column | kind | what it holds |\n|---|---|---|\n"));
        for column in columns {
            text.push_str(&format!("| `{}` | {} | {} |\n", column.name, column.kind.word(), column.about));
        }
    };
    table("Application records: `record-<rulebook>.csv` and `.json`", &record_columns());
    table("Monthly use: `monthly-use.csv`", &monthly_columns());
    table("Input list: `inputs.csv`", &input_columns());
    text.push_str("\nThe JSON follows `records.schema.json` beside this file.\n");
    text
}

/// The files for other programs of a journal: their names, and their text.
pub(super) fn files(text: &str) -> Vec<(String, String)> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let templates = Templates::new(Vec::new()).unwrap();
    let press = Press { templates: &templates, forms: &[] };
    with_book(&sources, &[file], &Scope::default(), &Found::Nothing, |book| {
        let sheets = DOCUMENTS.iter().flat_map(|kind| (kind.print)(book, &press).unwrap());
        let forms = sheets.flat_map(|sheet| {
            let name = sheet.name;
            sheet.forms.into_iter().map(move |(ending, text)| (format!("{name}.{ending}"), text))
        });
        forms.collect()
    })
}

pub(super) fn file(text: &str, name: &str) -> String {
    files(text).into_iter().find(|(known, _)| known == name).unwrap_or_else(|| panic!("no {name}")).1
}

/// The rows of a CSV file, a column's name before each cell.
pub(super) fn rows(csv: &str) -> Vec<Vec<(String, String)>> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let names: Vec<String> = reader.headers().unwrap().iter().map(str::to_string).collect();
    let row = |row: Result<csv::StringRecord, csv::Error>| {
        names.iter().cloned().zip(row.unwrap().iter().map(str::to_string)).collect()
    };
    reader.records().map(row).collect()
}

pub(super) fn cell<'r>(row: &'r [(String, String)], name: &str) -> &'r str {
    &row.iter().find(|(known, _)| known == name).unwrap_or_else(|| panic!("no column {name}")).1
}

#[test]
fn the_columns_are_written_down() {
    assert_written("columns.md", &reference());
    assert_written("records.schema.json", &schema());
    for columns in [record_columns(), monthly_columns(), input_columns()] {
        let mut names: Vec<&str> = columns.iter().map(|column| column.name).collect();
        assert_eq!(names[0], "format_version");
        names.sort_unstable();
        let all = names.len();
        names.dedup();
        assert_eq!(names.len(), all, "two columns have one name");
    }
}

#[test]
fn json_follows_its_schema_and_the_schema_can_refuse() {
    let validator = validator(&schema());
    let page: Value = serde_json::from_str(&file(JOURNAL, "record-us-washington.json")).unwrap();
    assert_valid(&validator, &page);
    assert_eq!(page["rows"].as_array().unwrap().len(), 2 + 6, "rows for sprays, products and blocks");
    for broken in [
        with(&page, "/format_version", json!(FORMAT_VERSION + 1)),
        with(&page, "/rows/0/date", json!("12 April 2026")),
        with(&page, "/rows/0/start", json!("06:10")),
        with(&page, "/rows/0/spray_amount", json!(12)),
        with(&page, "/rows/0/leftover", json!("no")),
        without(&page, "/rows/0", "keep_until"),
    ] {
        assert!(!validator.is_valid(&broken));
    }
}

#[test]
fn csv_reads_back_as_what_json_says() {
    for name in ["record-us-washington", "record-us-worker-protection"] {
        let csv = file(JOURNAL, &format!("{name}.csv"));
        assert!(csv.lines().count() > 2 && csv.matches('\n').count() == csv.matches("\r\n").count());
        let page: Value = serde_json::from_str(&file(JOURNAL, &format!("{name}.json"))).unwrap();
        let expected = page["rows"].as_array().unwrap();
        let rows = rows(&csv);
        assert_eq!(rows.len(), expected.len());
        for (row, expected) in rows.iter().zip(expected) {
            for (name, cell) in row {
                let expected = match &expected[name] {
                    Value::Null => String::new(),
                    Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_string(),
                    Value::Number(number) => number.to_string(),
                    Value::String(text) => text.clone(),
                    other => panic!("{name} is {other}"),
                };
                assert_eq!(*cell, expected, "{name}");
            }
        }
    }
}

#[test]
fn figures_are_exact_and_the_blocks_add_up() {
    let rows = rows(&file(JOURNAL, "record-us-washington.csv"));
    let first = &rows[0];
    for (name, value) in [
        ("date", "2026-04-12"),
        ("start", "2026-04-12T06:10:00-07:00"),
        ("end", "2026-04-12T08:40:00-07:00"),
        ("product", "wettable"),
        ("asked_about", "yes"),
        // 6 lb in 100 gal, and 200 gal: 12 lb of 0.45359237 kg (NIST Handbook 44, appendix C).
        ("spray_amount", "12"),
        ("spray_amount_unit", "lb"),
        ("spray_amount_metric", "5.44310844"),
        ("spray_amount_metric_unit", "kg"),
        // 2 acres of 4046.8564224 m2.
        ("area_treated_m2", "8093.7128448"),
        ("bbch", "67"),
        ("wind_m_s", "1.34112"),
        ("reentry_ends", "2026-04-13T08:40:00-07:00"),
        ("entered_at", "2026-04-12T19:30:00-07:00"),
        ("signed_by", "Ines Farrow"),
        ("record_due", "2026-04-12"),
        ("keep_until", "2036-04-12"),
        ("not_recorded", ""),
    ] {
        assert_eq!(cell(first, name), value, "{name}");
    }
    // The spray of 20 April went on two blocks: 2 and 1.5 acres share 3.5 pt of Bark Guard.
    let guard: Vec<(&str, &str, &str)> = rows
        .iter()
        .filter(|row| cell(row, "product") == "guard")
        .map(|row| (cell(row, "block"), cell(row, "block_amount"), cell(row, "spray_amount")))
        .collect();
    assert_eq!(guard, [("creek", "2", "3.5"), ("hill", "1.5", "3.5")]);
}

#[test]
fn what_was_left_on_the_same_block_is_a_row_of_its_own() {
    let text = "farm f\n    rulebook us-organic\nblock b\n    area 1 acre\n    certified organic\nmaterial m\n    form liquid\n2026-05-01\n\
                spray b\n    put m 1 gal per 100 gal\n    volume 100 gal\n    leftover 25 gal on b\n    over 1 acre\n";
    let rows = rows(&file(text, "record-us-organic.csv"));
    let said: Vec<(&str, &str)> = rows.iter().map(|row| (cell(row, "leftover"), cell(row, "block_amount"))).collect();
    assert_eq!(said, [("no", "0.75"), ("yes", "0.25")]);
}

#[test]
fn no_cell_is_run_as_a_formula_or_reads_backwards() {
    for start in ["=", "+", "-", "@"] {
        let hostile = format!("{start}cmd|' /C calc'!A0, \"x\"; \u{202e}y");
        let text = JOURNAL
            .replace("powdery mildew", &hostile)
            .replace("48 F", "-4 F")
            .replace("along the creek, north of the bridge", &hostile);
        let csv = file(&text, "record-us-washington.csv");
        assert_eq!(csv.chars().find(|&letter| is_hidden(letter)), None);
        let rows = rows(&csv);
        let shown = hostile.replace('\u{202e}', "\\u{202e}");
        assert_eq!(cell(&rows[0], "reason"), format!("'{shown}"));
        assert_eq!(cell(&rows[0], "location"), format!("'{shown}"));
        // A number below zero is no formula.
        assert_eq!(cell(&rows[0], "temperature"), "-4");
        for (name, cell) in rows.iter().flatten() {
            let number = cell.parse::<f64>().is_ok();
            assert!(number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{name}: {cell}");
        }
        let json = file(&text, "record-us-washington.json");
        let page: Value = serde_json::from_str(&json).unwrap();
        assert_eq!(page["rows"][0]["reason"], shown);
        assert_valid(&validator(&schema()), &page);
    }
}
