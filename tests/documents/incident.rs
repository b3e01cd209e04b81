//! The incident bundle.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use chrono::NaiveDate;
use foliary::documents::{Incident, Scope, incident};
use foliary::journal::BlockId;
use foliary::text::Sources;
use sha2::{Digest, Sha256};

use super::{Found, with_book};

const JOURNAL: &str = include_str!("willow_end.spray");

fn bundle(block: usize, from: &str, to: &str) -> Incident {
    let mut sources = Sources::new();
    let file = sources.add("2026.spray", JOURNAL.to_string()).unwrap();
    let day = |words: &str| words.parse::<NaiveDate>().ok();
    let scope = Scope { from: day(from), to: day(to), ..Scope::default() };
    with_book(&sources, &[file], &scope, &Found::Checked, |book| incident(book, BlockId::at(block)))
}

#[test]
fn products_of_the_block_stand_first_with_their_actives() {
    let plums = bundle(1, "2026-05-01", "2026-05-09");
    let first = &plums.products[0];
    assert_eq!(first.product, "Copper salt 25");
    assert_eq!(first.actives.as_deref(), Some("copper-hydroxide 38 %"));
    assert_eq!((first.sds.as_deref(), first.label.as_deref()), (Some("binder 2, page 4"), Some("binder 1, page 4")));
    assert_eq!(first.here.as_deref(), Some("2 May 2026"));
    let kelp = plums.products.iter().find(|product| product.product == "Kelp extract").unwrap();
    assert_eq!((kelp.here.as_deref(), kelp.elsewhere.as_deref()), (None, Some("Creek pears 1 May 2026")));
    assert_eq!((plums.here.len(), plums.before.len(), plums.elsewhere.len()), (1, 0, 1));
}

#[test]
fn a_spray_whose_interval_still_ran_is_in_the_bundle() {
    // The copper of 1 April holds picks until 22 April; the kelp of 1 May is the last spray before 10 May.
    assert_eq!(bundle(0, "2026-04-10", "2026-04-12").before.len(), 1);
    let later = bundle(0, "2026-05-10", "2026-05-11");
    assert_eq!(later.before.len(), 1);
    assert!(later.before[0].date.contains("1 May 2026"));
}

#[test]
fn people_who_came_before_the_end_of_re_entry_are_marked() {
    let plums = bundle(1, "2026-05-01", "2026-05-09");
    assert_eq!(plums.visits.len(), 1, "the thinning was in the pears");
    assert_eq!(plums.visits[0].when, "3 May 2026 08:00 to 10:00");
    assert_eq!(plums.visits[0].during.as_deref(), Some("before re-entry ended, 4 May 2026 06:40 (Copper salt 25)"));
    let pears = bundle(0, "2026-05-01", "2026-05-09");
    assert_eq!(pears.visits[0].during, None);
    let names: Vec<(&str, &str)> =
        plums.people.iter().map(|person| (person.name.as_str(), person.did.as_str())).collect();
    assert_eq!(names, [("Ada Quill", "posted and worked in the block"), ("Tansy Marsh", "sprayed")]);
    assert_eq!(plums.people[1].contact.as_deref(), Some("555 0142"));
    assert!(plums.findings.iter().any(|finding| finding.code == "entry-before-reentry"));
}

#[test]
fn the_journals_own_lines_are_quoted_with_their_digest() {
    let pears = bundle(0, "2026-05-01", "2026-05-09");
    let spray = pears.quoted.iter().find(|entry| entry.lines[0].text == "spray pears rows 1 to 10").unwrap();
    let first = spray.lines[0].number as usize;
    let text: String = JOURNAL.split_inclusive('\n').skip(first - 1).take(spray.lines.len()).collect();
    let digest: String = Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect();
    assert_eq!(spray.digest.long, digest);
    assert_eq!(spray.lines[1].text, "    mix leaf, 100 gal");
    assert_eq!(spray.place, format!("2026.spray, lines {first} to {}", first + spray.lines.len() - 1));
    for start in ["weather", "work pears", "observe pears", "material copper-salt", "brew whey-1", "block pears"] {
        let has = pears.quoted.iter().any(|entry| entry.lines[0].text.starts_with(start));
        assert!(has, "{start} is quoted");
    }
    assert!(!pears.quoted.iter().any(|entry| entry.lines[0].text == "work plums"));
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_foliary")).arg("incident").args(arguments).output().unwrap()
}

fn path(path: &Path) -> &str {
    path.to_str().unwrap()
}

#[test]
fn one_command_writes_the_bundle_and_says_where() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("2026.spray"), JOURNAL).unwrap();
    let out = folder.path().join("out");
    let time = ["--from", "2026-05-01", "--to", "2026-05-09", "--as-of", "2026-12-31", "--out", path(&out)];
    let output = run(&[&["Pears"], time.as_slice(), &[path(folder.path())]].concat());
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let said = String::from_utf8(output.stdout).unwrap();
    let names = ["html", "md"].map(|ending| out.join(format!("incident-pears-2026-05-01-2026-05-09.{ending}")));
    assert_eq!(said.lines().collect::<Vec<_>>(), names.iter().map(|name| path(name)).collect::<Vec<_>>());
    let page = fs::read_to_string(&names[1]).unwrap();
    let place = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words} is not in {page}"));
    assert!(place("call the emergency number first") < place("## What was in the tanks"));
    assert!(place("## What was in the tanks") < place("## Sprays here"));
}

#[test]
fn a_block_that_is_not_there_and_days_the_wrong_way_round_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("2026.spray"), JOURNAL).unwrap();
    let out = folder.path().join("out");
    for (block, from, message) in [
        ("pear", "2026-05-01", "no block is called pear; did you mean pears?"),
        ("pears", "2026-06-01", "--from 2026-06-01 is after --to 2026-05-09"),
    ] {
        let output = run(&[block, "--from", from, "--to", "2026-05-09", "--out", path(&out), path(folder.path())]);
        assert_eq!(output.status.code(), Some(2));
        assert_eq!(String::from_utf8_lossy(&output.stderr).trim_end(), format!("foliary: {message}"));
        assert!(!out.exists());
    }
}
