//! `foliary import` as it is typed.

use std::fs;
use std::path::{Path, PathBuf};

use crate::robust::run;
use tempfile::TempDir;

/// The bundled farm with its old spreadsheet, in a folder of its own.
fn sample() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("journal-examples/old-records");
    for file in ["farm.spray", "sprays-2024.csv", "blocks.geojson"] {
        fs::copy(from.join(file), folder.path().join(file)).unwrap();
    }
    let path = folder.path().to_path_buf();
    (folder, path)
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap()
}

#[test]
fn the_sample_becomes_a_journal_that_is_read() {
    let (_folder, path) = sample();
    let done = run(&path, &["import", "sprays-2024.csv", "--report", "report.txt"]);
    assert_eq!(done.code, 1, "{}", done.err());
    insta::assert_snapshot!("terminal", done.out());
    insta::assert_snapshot!("journal", read(&path.join("imported/sprays-2024.spray")));
    insta::assert_snapshot!("mapping", read(&path.join("imported/sprays-2024.toml")));
    insta::assert_snapshot!("report", read(&path.join("report.txt")));
    assert!(done.out().lines().all(|line| line.chars().count() <= 100));
    let check = run(&path, &["check", "--as-of", "2025-01-01", "--format", "line", "--no-git"]);
    for code in ["unreadable-line", "unknown-name", "unknown-word", "wrong-shape", "undated-entry", "hidden-character"]
    {
        assert!(!check.out().contains(code), "{}", check.out());
    }
}

#[test]
fn importing_again_changes_nothing_and_a_new_row_is_added_behind() {
    let (_folder, path) = sample();
    run(&path, &["import", "sprays-2024.csv"]);
    let journal = path.join("imported/sprays-2024.spray");
    // The grower settles something, and moves an entry to another file.
    let edited = read(&journal).replace("Petal fall on the low rows", "Petal fall below");
    fs::write(&journal, &edited).unwrap();
    let mapping = read(&path.join("imported/sprays-2024.toml"));
    let again = run(&path, &["import", "sprays-2024.csv"]);
    assert!(again.out().contains("Nothing new; the journal is as it was."), "{}", again.out());
    assert_eq!((read(&journal), read(&path.join("imported/sprays-2024.toml"))), (edited.clone(), mapping));
    let mut sheet = read(&path.join("sprays-2024.csv"));
    sheet.push_str("9/20/24,Mill pears,Epsom salt,,10,oz,20,0.8,6:00 AM,6:40 AM,Hester Lark,60,3 W,last one\n");
    fs::write(path.join("sprays-2024.csv"), sheet).unwrap();
    run(&path, &["import", "sprays-2024.csv"]);
    let grown = read(&journal);
    let added = grown.strip_prefix(&edited).unwrap();
    assert_eq!(added.matches("\nspray ").count(), 1, "{added}");
    assert!(added.contains("2024-09-20 Fri") && !added.contains("\nmaterial "), "{added}");
}

#[test]
fn what_changes_in_the_sheet_later_is_named() {
    let (_folder, path) = sample();
    let first = run(&path, &["import", "sprays-2024.csv"]);
    assert!(first.out().contains("to tell later changes: imported/sprays-2024.rows"), "{}", first.out());
    let sheet = read(&path.join("sprays-2024.csv")).replace("8/9/24,Upper apples", "8/9/24,Mill pears");
    fs::write(path.join("sprays-2024.csv"), sheet.replace("6/30/24,,", "6/30/24,Mill pears,")).unwrap();
    let journal = read(&path.join("imported/sprays-2024.spray"));
    let again = run(&path, &["import", "sprays-2024.csv"]);
    let said = again.out().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("see imported/sprays-2024.spray:89: Block was `Upper apples`, is `Mill pears`"), "{said}");
    assert!(said.contains("Row 12 has changed: Block was blank, is `Mill pears`. Its remark at imported/"), "{said}");
    assert!(read(&path.join("imported/sprays-2024.spray")).starts_with(&journal));
    // Rows that another version keeps are left alone.
    fs::write(path.join("imported/sprays-2024.rows"), "# version 9\n").unwrap();
    let other = run(&path, &["import", "sprays-2024.csv"]);
    assert!(other.out().contains("not\nwritten by this version"), "{}", other.out());
    assert_eq!(read(&path.join("imported/sprays-2024.rows")), "# version 9\n");
}

#[test]
fn the_sheets_that_were_not_read_are_named_with_the_way_to_take_them() {
    let (_folder, path) = sample();
    let mut book = rust_xlsxwriter::Workbook::new();
    for (name, day) in [("Spring", "2024-05-14"), ("Late summer", "2024-08-14"), ("Lists", "2024-09-14")] {
        let sheet = book.add_worksheet();
        sheet.set_name(name).unwrap().set_hidden(name == "Lists");
        for (column, words) in ["Date", "Block", "Material", "Amount"].iter().enumerate() {
            sheet.write(0, column as u16, *words).unwrap();
        }
        for (column, words) in [day, "Mill pears", "Epsom salt", "4 oz"].iter().enumerate() {
            sheet.write(1, column as u16, *words).unwrap();
        }
    }
    fs::write(path.join("old.xlsx"), book.save_to_buffer().unwrap()).unwrap();
    let one_line = |words: &str| words.split_whitespace().collect::<Vec<_>>().join(" ");
    let done = run(&path, &["import", "old.xlsx", "--report", "report.txt"]);
    for said in [done.out(), read(&path.join("report.txt"))] {
        assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
        let said = one_line(&said);
        assert!(said.contains("Not read: `Late summer` with 2 rows. With --sheet and its name"), "{said}");
        assert!(said.contains("Hidden, and not read: `Lists`. Show a sheet"), "{said}");
    }
    // As it says.
    let done = run(&path, &["import", "old.xlsx", "--sheet", "late summer"]);
    assert!(done.out().contains("imported/old-late-summer.spray"), "{}", done.out());
    assert!(read(&path.join("imported/old-late-summer.spray")).contains("2024-08-14 Wed"));
    assert!(read(&path.join("imported/old.spray")).contains("2024-05-14 Tue"));
    let refused = run(&path, &["import", "old.xlsx", "--sheet", "Lists"]);
    assert!(one_line(&refused.err()).contains("its sheet `Lists` is hidden"), "{}", refused.err());
}

#[test]
fn a_rehearsal_writes_nothing() {
    let (_folder, path) = sample();
    let done = run(&path, &["import", "sprays-2024.csv", "--write-nothing"]);
    assert!(done.out().contains("spray upper-apples") && done.out().contains("heading-row = 3"));
    assert!(!path.join("imported").exists());
}

#[test]
fn files_of_others_are_never_touched() {
    let (_folder, path) = sample();
    let farm = read(&path.join("farm.spray"));
    let done = run(&path, &["import", "sprays-2024.csv", "--out", "farm.spray"]);
    assert_eq!(done.code, 2);
    assert!(done.err().contains("was not written by an import"), "{}", done.err());
    assert_eq!(read(&path.join("farm.spray")), farm);
}

#[test]
fn what_is_wrong_is_said_and_ends_with_two() {
    let (_folder, path) = sample();
    fs::write(path.join("empty.csv"), "").unwrap();
    fs::write(path.join("words.csv"), "hello\nworld\n").unwrap();
    fs::write(path.join("torn.xlsx"), b"PK\x03\x04torn").unwrap();
    fs::write(path.join("bad.toml"), "heading-row = 3\nodd = 1\n").unwrap();
    for (arguments, says) in [
        (vec!["import", "gone.csv"], "cannot read gone.csv"),
        (vec!["import", "empty.csv"], "it is empty"),
        (vec!["import", "words.csv"], "no row of it looks like headings"),
        (vec!["import", "torn.xlsx"], "cannot be read as a workbook"),
        (vec!["import", "sprays-2024.csv", "--mapping", "bad.toml"], "bad.toml cannot be used"),
        (vec!["import", "sprays-2024.csv", "--sheet", "May"], "it has no sheet `May`: plain text"),
        (vec!["import", "sprays-2024.csv", "--into", "gone"], "gone is no folder"),
    ] {
        let done = run(&path, &arguments);
        assert_eq!(done.code, 2, "{arguments:?}");
        assert!(done.err().contains(says), "{arguments:?}: {}", done.err());
    }
    assert!(!path.join("imported").exists());
}

#[test]
fn the_mapping_of_the_grower_holds() {
    let (_folder, path) = sample();
    run(&path, &["import", "sprays-2024.csv", "--write-nothing"]);
    run(&path, &["import", "sprays-2024.csv"]);
    let mapping = path.join("imported/sprays-2024.toml");
    let own = read(&mapping)
        .replace("\"Mill paers\" = \"mill-paers\"", "\"Mill paers\" = \"mill-pears\"")
        .replace("\"HL\" = \"hl\"", "\"HL\" = \"h-lark\"");
    fs::write(&mapping, own).unwrap();
    fs::remove_file(path.join("imported/sprays-2024.spray")).unwrap();
    run(&path, &["import", "sprays-2024.csv"]);
    let journal = read(&path.join("imported/sprays-2024.spray"));
    assert!(!journal.contains("mill-paers") && !journal.contains("block "), "{journal}");
}

#[test]
fn outlines_are_measured_and_told() {
    let (_folder, path) = sample();
    let farm = read(&path.join("farm.spray"));
    let done = run(&path, &["import", "blocks.geojson"]);
    assert_eq!(done.code, 1, "{}", done.err());
    insta::assert_snapshot!("outlines", done.out());
    insta::assert_snapshot!("outlines_journal", read(&path.join("imported/blocks.spray")));
    assert_eq!(read(&path.join("farm.spray")), farm);
    let again = run(&path, &["import", "blocks.geojson"]);
    assert!(again.out().contains("Nothing new"), "{}", again.out());
}
