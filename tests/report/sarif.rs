use foliary::finding::{Finding, Level};
use foliary::report::{RuleText, sarif};
use foliary::text::{Sources, Span};
use serde_json::{Value, json};
use sha2::Digest as _;

use super::schemas::{assert_valid, validator, with, without};
use super::{at, findings};

const SCHEMA: &str = include_str!("sarif-schema-2.1.0.json");

const RULES: [RuleText<'static>; 2] = [
    RuleText {
        code: "re-entry-shorter-than-label",
        summary: "A re-entry interval is shorter than the material's own",
        explain: "# Re-entry shorter\n\nCompares two intervals.\n\nThe longer one counts.",
        level: Level::Warning,
    },
    RuleText {
        code: "rate-over-limit",
        summary: "A rate is above a limit",
        explain: "Compares a rate with {limits}, see [rates](https://example.org/rates).",
        level: Level::Error,
    },
];

fn text() -> String {
    let (sources, findings) = findings();
    sarif::render(&findings, &sources, &RULES)
}

fn log() -> Value {
    serde_json::from_str(&text()).expect("the output is JSON")
}

fn fingerprint(result: &Value) -> &str {
    result["partialFingerprints"]["foliaryLabelText/v1"].as_str().expect("every result has one")
}

#[test]
fn sarif() {
    let version = format!("\"semanticVersion\": \"{}\"", env!("CARGO_PKG_VERSION"));
    assert!(text().contains(&version));
    insta::assert_snapshot!(text().replace(&version, "\"semanticVersion\": \"VERSION\""));
}

#[test]
fn the_schema_is_the_one_its_note_describes() {
    let hash: String = sha2::Sha256::digest(SCHEMA).iter().map(|byte| format!("{byte:02x}")).collect();
    assert!(include_str!("sarif-schema.md").contains(&hash), "{hash}");
}

#[test]
fn the_output_is_valid_by_the_published_schema_and_a_broken_one_is_not() {
    // The published pattern for a run's language has a stray bracket that a strict regular expression refuses. The
    // output names no language, so reading the bracket as itself takes nothing away from the check.
    let readable = SCHEMA.replace("{2}]?$", "{2}\\\\]?$");
    assert_ne!(readable, SCHEMA);
    let validator = validator(&readable);
    let good = log();
    assert_valid(&validator, &good);
    let empty = serde_json::from_str(&sarif::render(&[], &Sources::new(), &[])).expect("the output is JSON");
    assert_valid(&validator, &empty);
    let broken = [
        with(&good, "/version", json!("2.0.0")),
        with(&good, "/runs/0/columnKind", json!("bytes")),
        with(&good, "/runs/0/results/0/level", json!("fatal")),
        with(&good, "/runs/0/results/0/locations/0/physicalLocation/region/startLine", json!(0)),
        with(&good, "/runs/0/results/0/locations/0/physicalLocation/artifactLocation/uri", json!("a b")),
        with(&good, "/runs/0/results/3/suppressions/0/kind", json!("journal")),
        without(&good, "/runs/0/results/0", "message"),
        without(&good, "/runs/0/tool", "driver"),
    ];
    for document in broken {
        assert!(!validator.is_valid(&document), "accepted: {document:#}");
    }
}

#[test]
fn columns_count_utf16_units_from_one_and_ends_are_exclusive() {
    let log = log();
    assert_eq!(log["runs"][0]["columnKind"], "utf16CodeUnits");
    let region = |result: usize| &log["runs"][0]["results"][result]["locations"][0]["physicalLocation"]["region"];
    // `spray block-é by Zoë 🍐 ` is 23 characters, and the pear is two units: `crew` begins at unit 25.
    assert_eq!(region(1), &json!({"startLine": 2, "startColumn": 25, "endLine": 2, "endColumn": 29}));
    // After a tab.
    assert_eq!(region(0), &json!({"startLine": 3, "startColumn": 7, "endLine": 3, "endColumn": 22}));
    // An empty region at the end of a file without a last line end, after lines with carriage returns.
    assert_eq!(region(4), &json!({"startLine": 4, "startColumn": 23, "endLine": 4, "endColumn": 23}));
    assert_eq!(region(5), &json!({"startLine": 1, "startColumn": 1, "endLine": 1, "endColumn": 1}));
}

#[test]
fn rule_indexes_point_at_their_rule_and_are_left_out_for_others() {
    let log = log();
    let run = &log["runs"][0];
    let mut pointed = 0;
    for result in run["results"].as_array().expect("results") {
        match result["ruleIndex"].as_u64() {
            Some(index) => {
                assert_eq!(run["tool"]["driver"]["rules"][index as usize]["id"], result["ruleId"]);
                pointed += 1;
            }
            None => assert!(RULES.iter().all(|rule| rule.code != result["ruleId"])),
        }
    }
    assert_eq!(pointed, 3);
}

#[test]
fn links_in_an_explanation_stay_links() {
    let help = &log()["runs"][0]["tool"]["driver"]["rules"][1]["help"];
    assert_eq!(help["markdown"], "Compares a rate with {{limits}}, see [rates](https://example.org/rates).");
}

#[test]
fn an_offered_spelling_is_a_fix() {
    let change = &log()["runs"][0]["results"][1]["fixes"][0]["artifactChanges"][0];
    assert_eq!(change["artifactLocation"]["uri"], "2026/may.spray");
    assert_eq!(change["replacements"][0]["deletedRegion"]["startColumn"], 25);
    assert_eq!(change["replacements"][0]["insertedContent"]["text"], "crews");
}

#[test]
fn an_accepted_finding_is_a_suppressed_result_with_its_reason() {
    let log = log();
    let results = log["runs"][0]["results"].as_array().expect("results");
    for (index, result) in results.iter().enumerate() {
        assert_eq!(result["suppressions"].as_array().expect("on every result").len(), usize::from(index == 3));
    }
    let suppression = &results[3]["suppressions"][0];
    assert_eq!(suppression["justification"], "only the gate row was sprayed; nobody works there");
    assert_eq!(suppression["location"]["physicalLocation"]["region"]["startLine"], 2);
}

/// A spray with a rate that is found to be wrong, after some other text.
fn spray_after(before: &str, rate: &str) -> (Sources, Vec<Finding>) {
    let mut sources = Sources::new();
    let id = sources.add("a.spray", format!("{before}spray x\n    {rate}\n")).expect("it fits");
    let finding = Finding::new("rate-over-limit", Level::Error, at(&sources, id, rate), "High");
    (sources, vec![finding])
}

#[test]
fn fingerprints_stay_when_lines_move_and_change_with_the_words_or_the_code() {
    let print = |(sources, findings): (Sources, Vec<Finding>)| {
        let log: Value = serde_json::from_str(&sarif::render(&findings, &sources, &RULES)).expect("JSON");
        fingerprint(&log["runs"][0]["results"][0]).to_owned()
    };
    let first = print(spray_after("", "rate 3 kg"));
    assert_eq!(first, print(spray_after("# a new first line\n\n", "rate 3 kg")), "lines moved");
    assert_eq!(first, print(spray_after("", "rate   3 kg")), "blanks laid out anew");
    assert_ne!(first, print(spray_after("", "rate 4 kg")), "other words");
    let (sources, mut findings) = spray_after("", "rate 3 kg");
    findings[0].code = "rate-unusual";
    assert_ne!(first, print((sources, findings)), "another code");
}

#[test]
fn fingerprints_do_not_run_the_words_of_two_labels_together() {
    let mut sources = Sources::new();
    sources.add("a.spray", "ab c\n".to_owned()).expect("it fits");
    let finding = |first: Span, second: Span| Finding::new("x", Level::Note, first, "X").label(second, "");
    let findings = [finding(Span::new(0, 1), Span::new(1, 2)), finding(Span::new(0, 2), Span::new(2, 2))];
    let log: Value = serde_json::from_str(&sarif::render(&findings, &sources, &[])).expect("JSON");
    let results = &log["runs"][0]["results"];
    assert_ne!(fingerprint(&results[0]), fingerprint(&results[1]));
}

#[test]
fn results_alike_in_code_and_words_are_told_apart() {
    let (sources, mut findings) = spray_after("", "rate 3 kg");
    findings.push(findings[0].clone());
    let log: Value = serde_json::from_str(&sarif::render(&findings, &sources, &RULES)).expect("JSON");
    let results = &log["runs"][0]["results"];
    assert_ne!(fingerprint(&results[0]), fingerprint(&results[1]));
}

#[test]
fn the_journal_cannot_slip_a_link_or_a_placeholder_into_a_message() {
    let mut sources = Sources::new();
    sources.add("a b.spray", "x".to_owned()).expect("it fits");
    let finding = Finding::new("x", Level::Note, Span::new(0, 1), "[here](https://example.org) {0}");
    let log: Value = serde_json::from_str(&sarif::render(&[finding], &sources, &[])).expect("JSON");
    let result = &log["runs"][0]["results"][0];
    assert_eq!(result["message"]["text"], "[here\\](https://example.org) {{0}}.");
    assert_eq!(result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"], "a%20b.spray");
}
