//! The bundled journals and the README do what they say.

mod week;

use std::fs;
use std::path::Path;

use crate::robust::run;

/// The day on which the bundled seasons are over.
const AS_OF: &str = "2026-11-20";

/// The Wednesday of the farm in mid-season.
const SPRING: &str = "2026-05-20";

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
fn a_farm_in_the_middle_of_its_spring_raises_nothing() {
    let done = run(root(), &["check", "--as-of", SPRING, "--format", "line", "journal-examples/spring-week"]);
    assert_eq!((done.code, done.out().as_str()), (0, ""));
}

/// The lines of a table in the terminal, each row of several lines taken together: those that name all of the words.
fn row_with(text: &str, words: &[&str]) -> bool {
    let lines: Vec<&str> = text.lines().collect();
    lines.iter().enumerate().any(|(at, line)| {
        let row = lines[at..].iter().take(4).copied().collect::<Vec<_>>().join("\n");
        words.first().is_some_and(|first| line.contains(first)) && words.iter().all(|word| row.contains(word))
    })
}

#[test]
fn the_plan_of_the_spring_shows_every_state_and_obstacle() {
    let done = run(root(), &["plan", "--as-of", SPRING, "journal-examples/spring-week"]);
    let plan = done.out();
    for row in [
        ["Bench apples", "Kelp on", "overdue"],
        ["Gate apples", "Kelp on", "due"],
        ["Grapes", "Kelp on", "blocked"],
        ["Long pears", "Leaf round", "batch"],
        ["Bench apples", "Oil on", "close"],
        ["Bench apples", "Sulfur on", "done"],
    ] {
        assert!(row_with(&plan, &row), "{row:?}\n{plan}");
    }
    for code in
        ["[re-entry]", "[kept-too-close]", "[harvest-in-interval]", "[stock]", "[batch]", "[weather-outside-limits]"]
    {
        assert!(plan.contains(code), "{code}\n{plan}");
    }
}

#[test]
fn the_commands_in_the_hand_do_as_the_readme_says() {
    let readme = read("README.md");
    let section = readme.split("## In the hand\n").nth(1).unwrap().split("\n## ").next().unwrap();
    let out = tempfile::tempdir().unwrap();
    let calendar = out.path().join("spring-week.ics").display().to_string();
    let said = |name: &str| {
        let line = section.lines().find(|line| line.starts_with(&format!("foliary {name} "))).unwrap();
        // Every other part of a line is one argument in quotes.
        let parts = line.trim_start_matches("foliary ").split('"').enumerate();
        let arguments: Vec<String> = parts
            .flat_map(|(at, part)| if at % 2 == 1 { vec![part] } else { part.split_whitespace().collect() })
            .map(|word| if word.starts_with("target/") { calendar.clone() } else { word.to_string() })
            .collect();
        let done = run(root(), &arguments.iter().map(String::as_str).collect::<Vec<_>>());
        (done.code, done.out(), done.err())
    };
    assert_eq!(section.lines().filter(|line| line.starts_with("foliary ")).count(), 5);
    let (code, text, trouble) = said("mix-sheet");
    assert_eq!(code, 0, "{trouble}");
    assert!(text.contains("Long pears") && text.contains("cup"), "{text}");
    assert!(text.contains("\nspray long-pear\n    mix pear-leaf, 112.5 gal\n"), "{text}");
    let (code, text, trouble) = said("clearance");
    assert_eq!(code, 0, "{trouble}");
    assert!(row_with(&text, &["Grapes on the steps", "CLOSED", "Thu 21 May, 18:10"]), "{text}");
    let (code, text, trouble) = said("stock");
    assert_eq!(code, 0, "{trouble}");
    assert!(row_with(&text, &["lot S-7", "2.4 lb"]) && row_with(&text, &["batch whey-1", "PAST"]), "{text}");
    let (code, _, trouble) = said("calendar");
    assert_eq!(code, 0, "{trouble}");
    assert!(fs::read_to_string(&calendar).unwrap().contains("BEGIN:VEVENT"));
    // Something at error level is planned: the oil too soon after the sulfur.
    let (code, text, trouble) = said("plan");
    assert_eq!(code, 1, "{trouble}");
    assert!(text.starts_with("Plover Steps, 20 May 2026\n"), "{text}");
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
    let needless = ["day", "forecast"];
    // A season that is over is whole without forecasts.
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
