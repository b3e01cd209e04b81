//! The git hook that checks a journal before each commit.

use std::path::{Component, Path};

use super::place::NewFile;
use crate::command::Failure;
use crate::history::{HookPlace, hook_place};

/// The hook, but for the folder of the journal.
const SCRIPT: &str = include_str!("pre-commit.sh");

/// A hook to be written, and what is left to do.
pub(super) struct Hook {
    pub(super) file: NewFile,
    pub(super) steps: Vec<String>,
}

/// The hook of a folder. Where git looks for hooks of this repository alone it is written there, and works at once;
/// otherwise it is kept beside the journal, and one command turns it on.
pub(super) fn of(folder: &Path) -> Result<Hook, Failure> {
    let commit = "Commit: `git add -A` and `git commit -m \"A journal\"`.".to_string();
    let place = hook_place(folder).map_err(|why| {
        Failure::Other(format!("the git repository here cannot be read: {why}. With --no-hook it is left alone"))
    })?;
    let kept = |inside: &Path| {
        let hook = Path::new("hooks").join("pre-commit");
        (folder.join(hook), in_git(&inside.join("hooks")))
    };
    let (path, inside, mut steps) = match place {
        HookPlace::Own { folder: hooks, inside } => (hooks.join("pre-commit"), inside, Vec::new()),
        HookPlace::Shared { folder: hooks, inside } => {
            let (path, hooks_in_git) = kept(&inside);
            let shared = format!("Your git looks for hooks in {}, for all its repositories.", hooks.display());
            let own = format!("`git config core.hooksPath {}` turns this one on instead.", quoted(&hooks_in_git));
            (path, inside, vec![shared, own])
        }
        HookPlace::NoRepository => {
            let (path, hooks) = kept(Path::new(""));
            let kept = "In this folder, `git init` keeps it in git.".to_string();
            let on = format!("`git config core.hooksPath {hooks}` turns the hook on.");
            (path, Path::new("").to_path_buf(), vec![kept, on])
        }
    };
    steps.push(commit);
    let text = SCRIPT.replace("'JOURNAL'", &quoted(&in_git(&inside)));
    Ok(Hook { file: NewFile { path, text, about: "checks the journal before each commit", runs: true }, steps })
}

/// A path inside a repository as git writes it; `.` for its top.
fn in_git(path: &Path) -> String {
    let parts = path.components().filter_map(|part| match part {
        Component::Normal(part) => Some(part.to_string_lossy()),
        _ => None,
    });
    let path = parts.collect::<Vec<_>>().join("/");
    if path.is_empty() { ".".to_string() } else { path }
}

/// A word that a shell takes as it stands.
fn quoted(word: &str) -> String {
    format!("'{}'", word.replace('\'', r"'\''"))
}
