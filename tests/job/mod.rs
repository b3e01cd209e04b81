//! Jobs that lie ahead: the mix sheet, its loads and amounts, what stops it, and the record it becomes.
#![allow(clippy::unwrap_used, reason = "a helper of tests that cannot go on should stop")]

mod paper;
mod record;
mod refused;
mod sheet;

use std::fs;
use std::process::{Command, Output};

use serde_json::Value;
use tempfile::TempDir;

/// The journal of an invented farm.
const FARM: &str = include_str!("larkspur_bend.spray");

/// A folder with a journal.
fn folder(journal: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("journal.spray"), journal).unwrap();
    folder
}

/// `foliary mix-sheet` on a journal, on 14 May 2026.
fn asked(journal: &str, arguments: &[&str]) -> Output {
    let folder = folder(journal);
    Command::new(env!("CARGO_BIN_EXE_foliary"))
        .current_dir(folder.path())
        .args(["mix-sheet", "--on", "2026-05-14", "--as-of", "2026-05-13"])
        .args(arguments)
        .output()
        .unwrap()
}

/// What it printed, where it printed a sheet.
fn printed(journal: &str, arguments: &[&str]) -> String {
    let output = asked(journal, arguments);
    let said = String::from_utf8(output.stderr).unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(0), "{said}{text}");
    text
}

/// The sheet as JSON.
fn view(journal: &str, arguments: &[&str]) -> Value {
    serde_json::from_str(&printed(journal, &[arguments, &["--as", "json"]].concat())).unwrap()
}

/// The measured amount of an ingredient in a kind of load, as `10 oz wt`.
fn amount(view: &Value, load: &str, ingredient: &str) -> String {
    let steps = view["steps"].as_array().unwrap().iter();
    let mut all = steps.flat_map(|step| step["ingredients"].as_array().unwrap());
    let one = all.find(|one| one["name"] == ingredient).unwrap();
    let quantity = &one[load]["quantity"];
    format!("{} {}", quantity["number"].as_str().unwrap(), quantity["unit"].as_str().unwrap())
}
