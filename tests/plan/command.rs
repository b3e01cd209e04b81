//! `foliary plan` as it is called.

use std::fs;
use std::path::Path;

use crate::robust::run;

use super::{journal, spray};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

const ROUNDS: &str = "    start 2026-05-14\n    rounds 3 to 4, every 7 to 10 days\n";

fn folder(text: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("farm.spray"), text).unwrap();
    folder
}

#[test]
fn the_journal_is_never_written() {
    let text = journal(ROUNDS, &spray("2026-05-15"));
    let folder = folder(&text);
    let place = folder.path().to_str().unwrap();
    for more in [
        &[][..],
        &["--suppose", "program pear-rounds: start 2026-05-20"],
        &["--suppose", "2026-06-01 spray creek-pear: mix leaf-tonic, 60 gal"],
    ] {
        let done = run(root(), &[&["plan", place, "--as-of", "2026-05-18"], more].concat());
        assert_eq!(done.code, 0, "{}", done.err());
        assert_eq!(fs::read_to_string(folder.path().join("farm.spray")).unwrap(), text);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}

#[test]
fn the_terminal_gets_no_more_than_80_columns() {
    for (farm, as_of) in [("home-orchard", "2026-04-20"), ("twenty-acres", "2026-06-01")] {
        let done = run(root(), &["plan", &format!("journal-examples/{farm}"), "--as-of", as_of]);
        assert_ne!(done.code, 2, "{}", done.err());
        for line in done.out().lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

#[test]
fn an_error_that_is_planned_is_an_exit_code_of_one() {
    let text = journal(ROUNDS, "").replace("reentry 4 h\n", "reentry 4 h\n    season at most 2 sprays\n");
    let folder = folder(&text);
    let place = folder.path().to_str().unwrap();
    let done = run(root(), &["plan", place, "--as-of", "2026-05-01"]);
    assert_eq!(done.code, 1, "{}", done.out());
    assert!(done.out().contains("season-count-exceeded"));
    let done = run(root(), &["plan", place, "--as-of", "2026-05-01", "--until", "2026-05-22"]);
    assert_eq!(done.code, 0, "two rounds are within the label: {}", done.out());
}

#[test]
fn programs_and_blocks_are_picked_out_and_unknown_ones_named() {
    let done = run(
        root(),
        &["plan", "journal-examples/twenty-acres", "--as-of", "2026-06-01", "--program", "apple-moth", "--as", "json"],
    );
    let plan: serde_json::Value = serde_json::from_str(&done.out()).unwrap();
    assert_eq!(plan["document"], "plan");
    let now = plan["now"].as_array().unwrap().iter().chain(plan["to_come"].as_array().unwrap());
    let programs: Vec<&str> = now.map(|line| line["program"].as_str().unwrap()).collect();
    assert!(!programs.is_empty() && programs.iter().all(|program| *program == "apple-moth"), "{programs:?}");
    let done = run(root(), &["plan", "journal-examples/twenty-acres", "--program", "apple-mth"]);
    assert_eq!(done.code, 2);
    assert!(done.err().contains("did you mean apple-moth?"), "{}", done.err());
}

#[test]
fn a_plan_is_the_same_each_time() {
    let arguments = ["plan", "journal-examples/twenty-acres", "--as-of", "2026-06-01", "--as", "html"];
    assert_eq!(run(root(), &arguments).out(), run(root(), &arguments).out());
}

#[test]
fn what_later_pages_hold_is_not_known_on_the_day() {
    let early = format!("{}{}", journal(ROUNDS, ""), spray("2026-05-15"));
    let forecast = "\n2026-05-24\n\nforecast\n    reading 06:00 66 F\n";
    let later = format!("{early}{forecast}{}\n2026-05-26\n\nreceive kelp\n    amount 9 gal\n", spray("2026-05-23"));
    let plan = |text: &str| {
        let folder = folder(text);
        let done = run(root(), &["plan", folder.path().to_str().unwrap(), "--as-of", "2026-05-18"]);
        assert_eq!(done.code, 0, "{}", done.err());
        done.out()
    };
    let known = plan(&format!("{early}{forecast}"));
    assert_eq!(plan(&later), known);
    assert!(known.contains("forecast") && !known.contains("Open errors"), "{known}");
}
