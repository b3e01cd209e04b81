//! The command line's manners: how a journal is begun, what help says, when colours and progress are shown, what other
//! programs are given.

mod help;
mod kit;
mod manners;
mod start;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The folder of the program, to be found by a shell.
fn program_folder() -> PathBuf {
    Path::new(env!("CARGO_BIN_EXE_foliary")).parent().unwrap().to_path_buf()
}

/// A shell in a folder that finds the program, with nothing of the settings of whoever runs the tests.
fn shell(folder: &Path, line: &str) -> Command {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let all = std::iter::once(program_folder()).chain(std::env::split_paths(&path));
    let mut shell = Command::new("sh");
    shell.args(["-c", line]).current_dir(folder).stdin(std::process::Stdio::null());
    shell.env("PATH", std::env::join_paths(all).unwrap());
    for name in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "GIT_DIR", "GIT_INDEX_FILE", "GIT_WORK_TREE"] {
        shell.env_remove(name);
    }
    shell.env("GIT_CONFIG_NOSYSTEM", "1").env("GIT_CONFIG_GLOBAL", "/dev/null").env("TERM", "xterm");
    shell.envs([("GIT_AUTHOR_NAME", "Tansy Marsh"), ("GIT_AUTHOR_EMAIL", "tansy@example.invalid")]);
    shell.envs([("GIT_COMMITTER_NAME", "Tansy Marsh"), ("GIT_COMMITTER_EMAIL", "tansy@example.invalid")]);
    shell
}

/// Whether a program is there; says so where it is not.
fn there(program: &str) -> bool {
    let found = Command::new("sh").args(["-c", &format!("command -v {program}")]).output();
    let found = found.is_ok_and(|output| output.status.success());
    if !found {
        eprintln!("SKIPPED: there is no {program} here");
    }
    found
}

/// The columns of the widest line.
fn widest(text: &str) -> usize {
    text.lines().map(unicode_width::UnicodeWidthStr::width).max().unwrap_or_default()
}

/// A folder with all that is in it, somewhere else.
fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let (path, name) = entry.map(|entry| (entry.path(), entry.file_name())).unwrap();
        if path.is_dir() { copy(&path, &to.join(name)) } else { drop(fs::copy(&path, to.join(name)).unwrap()) }
    }
}
