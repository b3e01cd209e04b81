use foliary::report::json;
use foliary::text::Sources;
use serde_json::{Value, json};

use super::findings;
use super::schemas::{assert_valid, validator, with, without};

fn document() -> Value {
    let (sources, findings) = findings();
    serde_json::from_str(&json::render(&findings, &sources)).expect("the output is JSON")
}

#[test]
fn json() {
    let (sources, findings) = findings();
    insta::assert_snapshot!(json::render(&findings, &sources));
}

#[test]
fn the_schema_is_valid_and_so_is_the_output() {
    let schema: Value = serde_json::from_str(json::SCHEMA).expect("the schema is JSON");
    assert!(jsonschema::draft202012::meta::is_valid(&schema));
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    let validator = validator(json::SCHEMA);
    assert_valid(&validator, &document());
    let empty = serde_json::from_str(&json::render(&[], &Sources::new())).expect("the output is JSON");
    assert_valid(&validator, &empty);
}

#[test]
fn a_broken_document_is_refused() {
    let validator = validator(json::SCHEMA);
    let good = document();
    let broken = [
        with(&good, "/schema", json!("foliary-findings/2")),
        with(&good, "/findings/0/level", json!("fatal")),
        with(&good, "/findings/0/code", json!("Rate Over Limit")),
        with(&good, "/findings/0/labels", json!([])),
        with(&good, "/findings/0/start/line", json!(0)),
        with(&good, "/findings/0/labels/1/end/column", json!("7")),
        with(&good, "/findings/0/working/0", json!(25)),
        with(&good, "/findings/1/edit", json!({"with": "crews"})),
        with(&good, "/findings/3/accepted", json!("because")),
        with(&good, "/counts/errors", json!(-1)),
        without(&good, "/findings/0", "help"),
        without(&good, "/findings/0", "file"),
        without(&good, "/findings/0/end", "offset"),
        without(&good, "", "counts"),
    ];
    for document in broken {
        assert!(!validator.is_valid(&document), "accepted: {document:#}");
    }
}

/// Written by a build before `format_version` came in. What other programs have stored stays readable.
#[test]
fn what_earlier_builds_wrote_is_still_valid() {
    let stored = serde_json::from_str(include_str!("findings-1-first.json")).expect("it is JSON");
    let validator = validator(json::SCHEMA);
    assert_valid(&validator, &stored);
    assert!(!validator.is_valid(&without(&stored, "/findings/0", "level")), "and it is looked at");
}

#[test]
fn the_version_is_the_same_wherever_it_stands() {
    let version = json::FORMAT_VERSION;
    assert_eq!(json::SCHEMA_NAME, format!("foliary-findings/{version}"));
    let schema: Value = serde_json::from_str(json::SCHEMA).expect("the schema is JSON");
    assert_eq!(schema["$id"], format!("urn:foliary:findings:{version}"));
    assert_eq!(schema["properties"]["schema"]["const"], json::SCHEMA_NAME);
    assert_eq!(schema["properties"]["format_version"]["const"], version);
    let document = document();
    assert_eq!((&document["schema"], &document["format_version"]), (&json!(json::SCHEMA_NAME), &json!(version)));
}

/// Fails for a key that the schema declares without saying what it is.
fn described(schema: &Value, place: &str) -> usize {
    let mut keys = 0;
    match schema {
        Value::Object(members) => {
            for (name, member) in members {
                keys += described(member, &format!("{place}/{name}"));
            }
            for (key, declared) in members.get("properties").and_then(Value::as_object).into_iter().flatten() {
                let words = declared["description"].as_str().unwrap_or_default();
                assert!(words.len() > 5, "{place}/{key} says what it is");
                keys += 1;
            }
        }
        Value::Array(members) => keys += members.iter().map(|member| described(member, place)).sum::<usize>(),
        _ => {}
    }
    keys
}

#[test]
fn every_key_says_what_it_is_and_every_key_written_is_in_the_schema() {
    let schema: Value = serde_json::from_str(json::SCHEMA).expect("the schema is JSON");
    assert!(described(&schema, "") > 20);
    fn keys(value: &Value, found: &mut std::collections::BTreeSet<String>) {
        match value {
            Value::Object(members) => members.iter().for_each(|(key, member)| {
                found.insert(key.clone());
                keys(member, found);
            }),
            Value::Array(members) => members.iter().for_each(|member| keys(member, found)),
            _ => {}
        }
    }
    let mut written = std::collections::BTreeSet::new();
    keys(&document(), &mut written);
    for key in written {
        assert!(json::SCHEMA.contains(&format!("\"{key}\": {{")), "{key} is in the schema");
    }
}

#[test]
fn positions_are_characters_from_one_and_bytes_from_zero() {
    let document = document();
    // `2026-05-14 Thu` and its line end are 15 bytes; `spray block-é by Zoë 🍐 ` is 23 characters in 28 bytes.
    let crew = &document["findings"][1];
    assert_eq!(crew["file"], "2026/may.spray");
    assert_eq!(crew["start"], json!({"line": 2, "column": 24, "offset": 43}));
    assert_eq!(crew["end"], json!({"line": 2, "column": 28, "offset": 47}));
    // Lines of 16, 18 and 18 bytes with their carriage returns stand before; then 22 bytes to the end of the file.
    let end = &document["findings"][4];
    assert_eq!(end["start"], json!({"line": 4, "column": 23, "offset": 74}));
    assert_eq!(end["start"], end["end"]);
    // In the third file the offset is that of the file, not of all files together.
    let limit = &document["findings"][0]["labels"][2];
    assert_eq!(limit["file"], "materials.spray");
    assert_eq!(limit["start"], json!({"line": 2, "column": 19, "offset": 53}));
}
