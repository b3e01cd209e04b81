//! The bundled journals and the README do what they say.

mod week;

use std::fs;
use std::path::Path;

use crate::robust::run;

/// The day on which the bundled seasons are over.
const AS_OF: &str = "2026-11-20";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap()
}

#[test]
fn a_clean_season_raises_nothing() {
    for farm in ["home-orchard", "twenty-acres", "adviser"] {
        let place = format!("journal-examples/{farm}");
        let done = run(root(), &["check", "--as-of", AS_OF, "--accepted", "--format", "line", &place]);
        assert_eq!((done.code, done.out().as_str()), (0, ""), "{farm}");
    }
}

#[test]
fn the_twenty_acre_season_is_a_whole_one() {
    let mut lines = 0;
    let mut folders = vec![root().join("journal-examples/twenty-acres")];
    let mut text = String::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let file = fs::read_to_string(path).unwrap();
                lines += file.lines().count();
                text.push_str(&file);
                text.push('\n');
            }
        }
    }
    assert!(lines >= 2_500, "{lines}");
    // Pages begin with their date.
    let needless = ["day", "skip", "forecast"];
    // A season is whole without forecasts, and without a round left out on purpose.
    for entry in foliary::syntax::EntryWord::ALL.iter().filter(|entry| !needless.contains(&entry.word())) {
        let word = format!("\n{} ", entry.word());
        assert!(text.contains(&word) || text.contains(&format!("\n{}\n", entry.word())), "no {}", entry.word());
    }
}

#[test]
fn the_journal_of_the_readme_raises_nothing() {
    let readme = read("README.md");
    let journal = readme.split("```spray\n").nth(1).unwrap().split("```").next().unwrap();
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("farm.spray"), journal).unwrap();
    let done = run(folder.path(), &["check", "--as-of", AS_OF]);
    assert_eq!((done.code, done.out().trim()), (0, "no findings"));
}

#[test]
fn the_commands_of_the_readme_are_there() {
    let readme = read("README.md");
    for line in readme.lines().filter(|line| line.starts_with("| `foliary ")) {
        let command = line.trim_start_matches("| `foliary ").split('`').next().unwrap();
        let name = command.split(' ').next().unwrap();
        let done = run(root(), &[name, "--help"]);
        assert_eq!(done.code, 0, "{name}");
        for option in command.split(' ').filter(|word| word.starts_with("--")) {
            assert!(done.out().contains(option), "{name} has no {option}");
        }
    }
    let report = run(root(), &["report", "--help"]).out();
    for option in ["--block", "--from", "--to", "--farm", "--document", "--as", "--out"] {
        assert!(report.contains(option), "{option}");
    }
}

#[test]
fn the_first_command_of_the_readme_opens_the_door_to_the_reports() {
    let readme = read("README.md");
    let command = readme.lines().find(|line| line.starts_with("cargo run --release -- ")).unwrap();
    let out = tempfile::tempdir().unwrap();
    let place = out.path().join("season").display().to_string();
    let arguments: Vec<String> = command
        .trim_start_matches("cargo run --release -- ")
        .split(' ')
        .map(|word| if word.starts_with("target/") { place.clone() } else { word.to_string() })
        .chain(["--as-of".to_string(), AS_OF.to_string()])
        .collect();
    let done = run(root(), &arguments);
    assert_eq!(done.code, 0, "{}", done.err());
    let index = done.out().trim().to_string();
    assert!(index.ends_with("index.html"), "{index}");
    let page = fs::read_to_string(&index).unwrap();
    for link in ["season.html", "records.html", "season.md", "records.md"] {
        assert!(page.contains(link), "{link}");
    }
}
