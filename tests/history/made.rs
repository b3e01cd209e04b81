//! Real git repositories, made for a test: commits with names and days of the test's own, put in by git's own importer.

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use chrono::DateTime;
use foliary::files::load;
use foliary::history::{Counting, FarmScope, History, read};
use foliary::text::Sources;

/// A file of a commit: its path and what it holds.
pub type File<'f> = (&'f str, &'f str);

/// A repository in the making.
pub struct Made {
    folder: tempfile::TempDir,
    stream: Vec<u8>,
    commits: usize,
}

/// Runs git in a folder, with no settings but its own.
pub fn git(folder: &Path, arguments: &[&str]) -> String {
    let done = command(folder, arguments).output().unwrap();
    assert!(done.status.success(), "git {arguments:?}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8_lossy(&done.stdout).into_owned()
}

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut git = Command::new("git");
    git.args(arguments).current_dir(folder).env_clear();
    git.env("PATH", std::env::var_os("PATH").unwrap_or_default());
    git.envs([("GIT_CONFIG_NOSYSTEM", "1"), ("GIT_CONFIG_GLOBAL", "/dev/null"), ("HOME", "/nonexistent")]);
    git.envs([("GIT_AUTHOR_NAME", "Tansy Marsh"), ("GIT_AUTHOR_EMAIL", "tansy@example.invalid")]);
    git.envs([("GIT_COMMITTER_NAME", "Tansy Marsh"), ("GIT_COMMITTER_EMAIL", "tansy@example.invalid")]);
    git
}

/// Whether there is a git program to make repositories with; says so where there is none.
pub fn git_is_there() -> bool {
    let there = Command::new("git").arg("--version").output().is_ok_and(|done| done.status.success());
    if !there {
        eprintln!("left out: there is no git program here to make a repository with");
    }
    there
}

impl Made {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        git(folder.path(), &["init", "--quiet", "--initial-branch=main"]);
        Self { folder, stream: Vec::new(), commits: 0 }
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// A commit of these files and no others on top of others, and its number. The day and time are as
    /// `2026-05-14T18:20:00-06:00`.
    pub fn on(&mut self, parents: &[usize], who: &str, when: &str, files: &[File<'_>]) -> usize {
        self.dated(parents, who, (when, when), files)
    }

    /// The same, put into the history at another time than it was written.
    pub fn dated(&mut self, parents: &[usize], who: &str, when: (&str, &str), files: &[File<'_>]) -> usize {
        self.commit(parents, who, when, files, "deleteall\n")
    }

    fn commit(&mut self, parents: &[usize], who: &str, when: (&str, &str), files: &[File<'_>], first: &str) -> usize {
        self.commits += 1;
        let raw = |when: &str| {
            let time = DateTime::parse_from_rfc3339(when).unwrap();
            format!("{} {}", time.timestamp(), time.format("%z"))
        };
        let mut words = format!("commit refs/heads/main\nmark :{}\n", self.commits);
        let _ = writeln!(words, "author {who} <someone@example.invalid> {}", raw(when.0));
        let _ = writeln!(words, "committer {who} <someone@example.invalid> {}\ndata 0", raw(when.1));
        for (at, parent) in parents.iter().enumerate() {
            let _ = writeln!(words, "{} :{parent}", if at == 0 { "from" } else { "merge" });
        }
        words.push_str(first);
        for (path, text) in files {
            let _ = writeln!(words, "M 100644 inline {path}\ndata {}\n{text}", text.len());
        }
        // A commit without one before it begins a branch anew.
        if parents.is_empty() && self.commits > 1 {
            self.stream.extend_from_slice(b"reset refs/heads/main\n");
        }
        self.stream.extend_from_slice(words.as_bytes());
        self.commits
    }

    /// A commit on top of the one before, which keeps all files as they were but for these.
    pub fn and(&mut self, who: &str, when: &str, files: &[File<'_>]) -> usize {
        let before: Vec<usize> = (self.commits > 0).then_some(self.commits).into_iter().collect();
        self.commit(&before, who, (when, when), files, "")
    }

    /// A commit on top of the one before.
    pub fn then(&mut self, who: &str, when: &str, files: &[File<'_>]) -> usize {
        let before: Vec<usize> = (self.commits > 0).then_some(self.commits).into_iter().collect();
        self.on(&before, who, when, files)
    }

    /// Puts the commits into the repository, and the files of the last one into its folder.
    pub fn done(self) -> Self {
        let mut importer = command(self.path(), &["fast-import", "--quiet", "--force"]);
        let mut importer = importer.stdin(Stdio::piped()).spawn().unwrap();
        importer.stdin.take().unwrap().write_all(&self.stream).unwrap();
        assert!(importer.wait().unwrap().success(), "{}", String::from_utf8_lossy(&self.stream));
        git(self.path(), &["reset", "--quiet", "--hard", "main"]);
        self
    }

    /// Writes a file into the folder without committing it.
    pub fn write(&self, path: &str, text: &str) {
        let path = self.path().join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
}

/// The histories of the farms under a path.
pub fn histories(paths: &[PathBuf], counting: Counting) -> (Sources, Vec<History>) {
    let loaded = load(paths).unwrap();
    let farms: Vec<FarmScope<'_>> =
        loaded.farms.iter().map(|farm| FarmScope { folder: &farm.folder, files: &farm.files, counting }).collect();
    let histories = read(&loaded.sources, &farms);
    (loaded.sources, histories)
}
