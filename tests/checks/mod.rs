//! Every check's Markdown is its documentation and its test: each journal marked `wrong` raises that finding and no
//! other, each marked `right` raises nothing at all. The wrong ones stand in `journal-examples/mistakes/` too.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod edits;
mod folders;
mod follow_on;
mod mistakes;

use std::fs;
use std::path::Path;

use chrono::NaiveDate;
use foliary::checks::{CHECKS, Check};
use foliary::finding::Finding;
use foliary::report::{Format, Options, render};
use foliary::text::Sources;
use foliary::{Farm, check_farm};

/// A journal of a check's documentation.
struct Example {
    wrong: bool,
    as_of: Option<NaiveDate>,
    text: String,
}

/// The fenced journals of a check: ```` ```spray wrong ````, ```` ```spray right as-of=2026-05-01 ````.
fn examples(check: &Check) -> Vec<Example> {
    let mut examples = Vec::new();
    let mut lines = check.explain.lines();
    while let Some(line) = lines.next() {
        let Some(marks) = line.strip_prefix("```spray") else { continue };
        let marks: Vec<&str> = marks.split_whitespace().collect();
        let wrong = match marks.first() {
            Some(&"wrong") => true,
            Some(&"right") => false,
            other => panic!("{}: a journal is marked wrong or right, not {other:?}", check.code),
        };
        let as_of = marks.iter().find_map(|mark| mark.strip_prefix("as-of=")).map(|day| day.parse().unwrap());
        let text: String = lines.by_ref().take_while(|line| *line != "```").map(|line| format!("{line}\n")).collect();
        examples.push(Example { wrong, as_of, text });
    }
    examples
}

fn findings(example: &Example) -> (Sources, Vec<Finding>) {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", example.text.clone()).unwrap();
    let as_of = example.as_of.or(NaiveDate::from_ymd_opt(2026, 12, 31));
    let findings = check_farm(&sources, Farm { files: &[file], missing: &[] }, as_of);
    (sources, findings)
}

fn shown(sources: &Sources, findings: &[Finding]) -> String {
    render(Format::Page, findings, sources, Options::default())
}

/// Checks whose finding needs more than one file or folder; each has a test of its own.
const NEED_FOLDERS: &[&str] = &["missing-folder"];

#[test]
fn wrong_examples_raise_exactly_their_finding_and_right_ones_none() {
    for check in CHECKS {
        let examples = examples(check);
        assert!(examples.iter().any(|example| !example.wrong), "{} shows nothing right", check.code);
        assert!(examples.iter().any(|example| example.wrong), "{} shows nothing wrong", check.code);
        if NEED_FOLDERS.contains(&check.code) {
            continue;
        }
        for example in examples {
            let (sources, findings) = findings(&example);
            let codes: Vec<&str> = findings.iter().map(|finding| finding.code).collect();
            let wanted = if example.wrong { vec![check.code] } else { vec![] };
            assert_eq!(codes, wanted, "{}:\n{}\n{}", check.code, example.text, shown(&sources, &findings));
        }
    }
}

#[test]
fn every_check_has_its_parts() {
    for (at, check) in CHECKS.iter().enumerate() {
        let text = check.explain;
        assert!(text.starts_with(&format!("# {}\n", check.code)), "{} starts with its name", check.code);
        for heading in ["## Why", "## Wrong", "## Right", "## Source"] {
            assert!(text.contains(&format!("\n{heading}\n")), "{} has no part `{heading}`", check.code);
        }
        assert!(!CHECKS[..at].iter().any(|other| other.code == check.code), "{} stands twice", check.code);
    }
}

#[test]
fn every_file_of_the_folder_is_registered() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/checks");
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "md") {
            let code = path.file_stem().unwrap().to_str().unwrap().replace('_', "-");
            assert!(CHECKS.iter().any(|check| check.code == code), "{code} is not registered");
        }
    }
}

#[test]
fn the_findings_read_like_this() {
    for check in CHECKS.iter().filter(|check| !NEED_FOLDERS.contains(&check.code)) {
        for (number, example) in examples(check).iter().filter(|example| example.wrong).enumerate() {
            let (sources, findings) = findings(example);
            let page = format!("{}\n=====\n{}", example.text, shown(&sources, &findings));
            insta::assert_snapshot!(format!("{}-{}", check.code, number + 1), page);
        }
    }
}
