//! `journal-examples/mistakes/`: the first wrong journal of every check, as a folder to run the program on.

use std::fs;
use std::path::{Path, PathBuf};

use foliary::checks::{CHECKS, Check};

use super::{Example, examples};
use crate::robust::run;

/// Set to write the folders anew after a check's documentation has changed.
const UPDATE: &str = "FOLIARY_UPDATE_MISTAKES";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("journal-examples/mistakes")
}

/// Checks of which no folder of files is a mistake, since it is the copy of a repository that is.
const OF_GIT: &[&str] = &["history-cut-off"];

/// The first wrong journal of a check; nothing where it takes a git history to be wrong.
fn mistake(check: &Check) -> Option<Example> {
    if OF_GIT.contains(&check.code) {
        return None;
    }
    examples(check).into_iter().find(|example| example.wrong && example.commits.is_empty())
}

/// The day that a mistake needs to count as today.
fn as_of(code: &str) -> String {
    let check = CHECKS.iter().find(|check| check.code == code).unwrap();
    mistake(check).unwrap().as_of.map_or("2026-12-31".into(), |day| day.to_string())
}

#[test]
fn every_check_has_its_mistake() {
    for check in CHECKS {
        let Some(wrong) = mistake(check) else { continue };
        let path = folder().join(check.code).join("journal.spray");
        let text = format!(
            "# A mistake on purpose: `foliary check --no-git --as-of {} {}` finds {}.\n\n{}",
            as_of(check.code),
            format_args!("journal-examples/mistakes/{}", check.code),
            check.code,
            wrong.text
        );
        if std::env::var_os(UPDATE).is_some() {
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(&path, &text).unwrap();
        }
        let committed = fs::read_to_string(&path).unwrap_or_default();
        assert!(committed == text, "{} is out of date: run the tests once with {UPDATE}=1", path.display());
    }
}

#[test]
fn every_mistake_is_found_by_the_program_and_nothing_else() {
    for entry in fs::read_dir(folder()).unwrap() {
        let place = entry.unwrap().path();
        let code = place.file_name().unwrap().to_string_lossy().into_owned();
        let done = run(&place, &["check", "--no-git", "--format", "line", "--as-of", &as_of(&code)]);
        let out = done.out();
        assert_eq!(out.lines().count(), 1, "{code}: {out}");
        assert!(out.contains(&format!("[{code}]: ")), "{code}: {out}");
    }
}
