//! What other programs are given: the manifest for the pre-commit framework and the sample workflow.

use std::fs;

use super::{shell, there};
use crate::robust::{folder, run};
use crate::syntax::examples;

/// A farm with a slip at error level.
const SLIP: &[(&str, &[u8])] = &[("journal.spray", b"2026-05-14 Thu\n\nspray nowhere\n    reason because\n")];

/// The lines of a file that begin with a key, without it.
fn values(text: &str, key: &str) -> Vec<String> {
    let line = |line: &str| line.trim_start_matches([' ', '-']).strip_prefix(key).map(|rest| rest.trim().to_string());
    text.lines().filter_map(line).collect()
}

#[test]
fn the_manifest_for_pre_commit_runs_commands_that_are_there() {
    let path = examples::folder(".pre-commit-hooks.yaml");
    let text = fs::read_to_string(&path).unwrap();
    assert_eq!(values(&text, "id:"), ["foliary-check", "foliary-check-installed"]);
    assert_eq!(values(&text, "language:"), ["rust", "system"]);
    // A check of single files would not see what other files declare.
    assert_eq!(values(&text, "pass_filenames:"), ["false", "false"]);
    let farm = folder(SLIP);
    for entry in values(&text, "entry:") {
        let output = shell(farm.path(), &entry).output().unwrap();
        assert_eq!(output.status.code(), Some(1), "{entry}");
    }
    if there("pre-commit") {
        let line = format!("pre-commit validate-manifest '{}'", path.display());
        let output = shell(farm.path(), &line).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stdout));
    }
}

#[test]
#[cfg(unix)]
fn the_sample_workflow_runs_and_hands_on_what_it_finds() {
    let path = examples::folder("kit/ci/github.yml");
    let text = fs::read_to_string(&path).unwrap();
    let commands: Vec<String> = values(&text, "run:").into_iter().filter(|line| line.starts_with("foliary")).collect();
    assert_eq!(commands.len(), 2);
    let farm = folder(SLIP);
    for command in &commands {
        // A slip at error level fails the job; the findings are there all the same.
        assert_eq!(shell(farm.path(), command).output().unwrap().status.code(), Some(1), "{command}");
    }
    let file = values(&text, "sarif_file:").remove(0);
    let log: serde_json::Value = serde_json::from_str(&fs::read_to_string(farm.path().join(file)).unwrap()).unwrap();
    let result = &log["runs"][0]["results"][0];
    assert_eq!(result["ruleId"], "unknown-name");
    assert_eq!(result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"], "journal.spray");
    if there("check-jsonschema") {
        let line = format!("check-jsonschema --builtin-schema vendor.github-workflows '{}'", path.display());
        let output = shell(farm.path(), &line).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stdout));
    }
}

#[test]
fn every_json_has_its_version_by_the_same_key() {
    let farm = examples::folder("journal-examples/spring-week");
    let day = ["--as-of", "2026-05-20"];
    for arguments in [
        vec!["check", "--format", "json"],
        vec!["plan", "--as", "json"],
        vec!["stock", "--as", "json"],
        vec!["clearance", "--as", "json"],
        vec!["calendar", "--as", "json"],
    ] {
        let done = run(&farm, &[&arguments[..], &day].concat());
        let json: serde_json::Value = serde_json::from_str(&done.out()).unwrap();
        assert_eq!(json["format_version"], 1, "{arguments:?}");
    }
}
