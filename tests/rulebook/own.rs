//! A farm's own rulebooks: a certifier's or a buyer's scheme, a state that is not shipped.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use foliary::rulebook::Shelf;

const SCHEME: &str = r#"
name = "alder-growers"
title = "Alder growers' scheme"
place = "Alder County"
sort = "scheme"
authority = "Alder growers' association"
citation = "scheme book, second edition"
set-down = 2026-01-15
about = "Asks members for the weather at each spray."

[[rule]]
id = "humidity"
asks = "elements"
elements = ["humidity"]
citation = "chapter 3"
from = 2026-01-01
known = "text"
says = "The humidity at each spray."
"#;

const JOURNAL: &str = "farm larkspur-bend\n    timezone America/Boise\n    rulebook alder-growers\n\n\
    block creek-pear\n    crop pear\n    area 1.2 acre\n\n\
    material wash\n    form dry\n    status fertiliser\n\n\
    2026-05-14\n\nspray creek-pear\n    measured wash 3 lb\n    volume 100 gal\n    time 06:00 to 07:15\n    \
    weather 52 F, wind 3 mph NW\n";

fn farm(scheme: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("rulebooks")).unwrap();
    fs::write(folder.path().join("rulebooks/alder.toml"), scheme).unwrap();
    fs::write(folder.path().join("farm.spray"), JOURNAL).unwrap();
    folder
}

fn check(folder: &Path) -> Output {
    let program = env!("CARGO_BIN_EXE_foliary");
    Command::new(program).args(["check", "--format", "line", "--as-of", "2026-12-31"]).arg(folder).output().unwrap()
}

#[test]
fn a_scheme_beside_the_farm_is_checked() {
    let folder = farm(SCHEME);
    let seen = check(folder.path());
    let words = String::from_utf8(seen.stdout).unwrap();
    assert!(words.contains("error[record-incomplete]") && words.contains("does not say: humidity"), "{words}");
    assert_eq!(seen.status.code(), Some(1));
}

#[test]
fn a_shared_folder_brings_its_rulebooks() {
    let top = farm(SCHEME);
    let shared = top.path().join("pantry");
    let own = top.path().join("farm");
    fs::create_dir_all(&own).unwrap();
    fs::create_dir_all(&shared).unwrap();
    fs::rename(top.path().join("rulebooks"), shared.join("rulebooks")).unwrap();
    fs::remove_file(top.path().join("farm.spray")).unwrap();
    let (farm, materials) = JOURNAL.split_once("material wash").unwrap();
    let (material, rest) = materials.split_once("2026-05-14").unwrap();
    fs::write(shared.join("materials.spray"), format!("material wash{material}")).unwrap();
    let farm = farm.replace("timezone", "uses ../pantry\n    timezone");
    fs::write(own.join("farm.spray"), format!("{farm}2026-05-14{rest}")).unwrap();
    let words = String::from_utf8(check(&own).stdout).unwrap();
    assert!(words.contains("does not say: humidity"), "{words}");
}

#[test]
fn a_rulebook_that_cannot_be_used_stops_the_run_and_says_where() {
    let cases = [
        (
            SCHEME.replace("elements = [\"humidity\"]", "elements = [\"humidty\"]"),
            "rule humidity: `elements` names `humidty`",
        ),
        (SCHEME.replace("says =", "sais ="), "line 11: missing field `says`"),
        (SCHEME.replace("asks = \"elements\"", "asks = \"keep\""), "rule humidity"),
        (SCHEME.replace("from = 2026-01-01", "from = 2026-01-01\nuntil = 2025-01-01"), "after it ends"),
        (
            SCHEME.replace("from = 2026-01-01", "form = 2026-01-01"),
            "`form` is no key of a rule that asks for `elements`",
        ),
        (SCHEME.replace("known = \"text\"", "known = \"sure\""), "text, guidance, memory"),
        (SCHEME.replace("alder-growers", "Alder Growers"), "lower-case"),
        (
            format!(
                "{SCHEME}\n[[rule]]\nid = \"humidity\"\nasks = \"note\"\ncitation = \"x\"\nknown = \"text\"\nsays = \"x\"\n"
            ),
            "same id",
        ),
        (SCHEME.replace("place = \"Alder County\"", "place = Alder County"), "line 4"),
        ("\u{0}".to_string(), "line 1"),
    ];
    for (scheme, why) in cases {
        let folder = farm(&scheme);
        let seen = check(folder.path());
        let words = crate::robust::unfilled(&seen.stderr);
        assert!(words.contains("alder.toml") && words.contains(why), "{why}: {words}");
        assert_eq!(seen.status.code(), Some(2), "{words}");
        assert!(seen.stdout.is_empty());
    }
}

#[test]
fn an_own_rulebook_takes_the_place_of_a_shipped_one_and_two_of_a_name_are_refused() {
    let text = SCHEME.replace("alder-growers", "us-organic");
    let shelf = Shelf::new(&[("mine.toml".to_string(), text.clone())]).unwrap();
    assert_eq!(shelf.find("us-organic").unwrap().title, "Alder growers' scheme");
    assert_eq!(shelf.all().len(), Shelf::shipped().all().len());
    let twice = [("mine.toml".to_string(), text.clone()), ("also.toml".to_string(), text)];
    assert!(
        Shelf::new(&twice).unwrap_err().to_string().starts_with("also.toml: it is called us-organic, as mine.toml is")
    );
}
