//! `foliary report` as it is called.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use super::example;

fn report(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_foliary")).arg("report").args(arguments).output().unwrap()
}

fn path(path: &Path) -> &str {
    path.to_str().unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn documents_of_every_farm_are_written_and_the_index_named() {
    let out = tempfile::tempdir().unwrap();
    let output = report(&[path(&example("adviser")), "--out", path(out.path()), "--as-of", "2026-12-31"]);
    assert_ne!(output.status.code(), Some(2), "{}", said(&output));
    let index = out.path().join("index.html");
    assert_eq!(String::from_utf8(output.stdout).unwrap().trim_end(), path(&index));
    for farm in ["high-ditch", "linnet-field", "tern-hollow"] {
        for document in ["season.html", "season.md", "records.html", "records.md"] {
            assert!(out.path().join(farm).join(document).is_file(), "{farm}/{document}");
        }
        assert!(fs::read_to_string(&index).unwrap().contains(&format!("href=\"{farm}/records.html\"")));
    }
    // Nothing is left of files half written.
    assert_eq!(fs::read_dir(out.path()).unwrap().count(), 5);
}

#[test]
fn only_what_is_asked_for_is_written() {
    let out = tempfile::tempdir().unwrap();
    let output = report(&[
        path(&example("adviser")),
        "--out",
        path(out.path()),
        "--farm",
        "tern-hollow",
        "--document",
        "records",
        "--as",
        "markdown",
        "--block",
        "pears",
        "--from",
        "2026-05-01",
        "--to",
        "2026-05-31",
        "--as-of",
        "2026-12-31",
    ]);
    assert_ne!(output.status.code(), Some(2), "{}", said(&output));
    assert!(!out.path().join("index.html").exists());
    assert!(!out.path().join("tern-hollow/season.md").exists());
    let records = fs::read_to_string(out.path().join("tern-hollow/records.md")).unwrap();
    let headings: Vec<&str> = records.lines().filter(|line| line.starts_with("## Record")).collect();
    assert_eq!(
        headings,
        ["## Record 1 of 2. Wednesday 6 May 2026: pears", "## Record 2 of 2. Sunday 17 May 2026: pears"]
    );
    assert!(records.contains("Part of the journal: only pears, only from 1 May to 31 May 2026."));
}

#[test]
fn what_cannot_be_done_is_said_and_nothing_is_written() {
    let out = tempfile::tempdir().unwrap();
    let into = out.path().join("out");
    let orchard = example("home-orchard");
    let templates = tempfile::tempdir().unwrap();
    fs::write(templates.path().join("records.html"), "{{ nothing }}").unwrap();
    for (arguments, message) in [
        (vec!["--block", "pear-cornr"], "no block is called pear-cornr; did you mean pear-corner?"),
        (vec!["--farm", "elsewhere"], "no farm is called elsewhere; there are thrush-corner"),
        (vec!["--from", "2026-05-02", "--to", "2026-05-01"], "--from 2026-05-02 is after --to 2026-05-01"),
        (
            vec!["--templates", path(templates.path())],
            "template records.html, line 1, at `nothing`: there is no such value",
        ),
    ] {
        let mut all = vec![path(&orchard), "--out", path(&into), "--as-of", "2026-12-31"];
        all.extend(arguments);
        let output = report(&all);
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert_eq!(said(&output).trim_end(), format!("foliary: {message}"));
        assert!(!into.exists(), "something was written though {message}");
    }
}

#[test]
fn open_errors_are_told_by_the_exit_code() {
    let folder = tempfile::tempdir().unwrap();
    // Names nothing that is declared: an error of any set of checks that looks at names, and none where it does not.
    fs::write(folder.path().join("j.spray"), "farm f\n    timezone America/Boise\n\n2026-05-01\n\nspray nowhere\n    mix nothing, 5 gal\n    time 06:00 to 07:00\n").unwrap();
    let check = Command::new(env!("CARGO_BIN_EXE_foliary"))
        .args(["check", path(folder.path()), "--as-of", "2026-12-31"])
        .output()
        .unwrap();
    let out = folder.path().join("out");
    let output = report(&[path(folder.path()), "--out", path(&out), "--as-of", "2026-12-31"]);
    assert_eq!(output.status.code(), check.status.code());
    assert!(out.join("f/records.html").is_file(), "documents are written all the same");
}

#[cfg(unix)]
#[test]
fn documents_can_be_read_by_whom_the_system_lets_read() {
    use std::os::unix::fs::PermissionsExt as _;
    let out = tempfile::tempdir().unwrap();
    report(&[path(&example("home-orchard")), "--out", path(out.path()), "--as-of", "2026-12-31"]);
    let plain = out.path().join("plain");
    fs::write(&plain, "").unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
    assert_eq!(mode(&out.path().join("index.html")), mode(&plain));
}
