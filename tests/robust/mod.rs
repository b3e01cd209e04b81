//! Whatever a folder holds: the program ends soon, with one of its three exit codes, and says nothing of a panic.

mod folders;
mod growth;
mod hostile;
pub mod mutated;

use std::ffi::OsStr;
use std::io::Read;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

/// Nothing takes longer, in a slow build on a busy machine.
const LONGEST: Duration = Duration::from_secs(20);

/// What the program did.
#[derive(Debug)]
pub struct Done {
    pub code: i32,
    pub stdout: Vec<u8>,
    pub stderr: Vec<u8>,
}

impl Done {
    pub fn out(&self) -> String {
        String::from_utf8(self.stdout.clone()).expect("what is printed is UTF-8")
    }

    /// What it said of its failure, its lines put together again that were filled to the width of a terminal.
    pub fn err(&self) -> String {
        unfilled(&self.stderr)
    }
}

/// A message whose lines were filled to the width of a terminal, as it was before.
pub fn unfilled(said: &[u8]) -> String {
    String::from_utf8_lossy(said).replace("\n    ", " ")
}

/// The program, with its arguments, in a folder.
pub fn foliary<S: AsRef<OsStr>>(folder: &Path, arguments: &[S]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_foliary"));
    command
        .args(arguments)
        .current_dir(folder)
        .env_remove("NO_COLOR")
        .env_remove("CLICOLOR_FORCE")
        .stdin(Stdio::null());
    command
}

/// Runs the program to its end and looks at how it ended.
pub fn run<S: AsRef<OsStr>>(folder: &Path, arguments: &[S]) -> Done {
    let shown: Vec<_> = arguments.iter().map(|argument| argument.as_ref().to_string_lossy().into_owned()).collect();
    let mut child =
        foliary(folder, arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program starts");
    let (mut stdout, mut stderr) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
    let out = thread::spawn(move || {
        let mut bytes = Vec::new();
        stdout.read_to_end(&mut bytes).map(|_| bytes)
    });
    let err = thread::spawn(move || {
        let mut bytes = Vec::new();
        stderr.read_to_end(&mut bytes).map(|_| bytes)
    });
    let code = wait(&mut child, &shown.join(" "));
    let done = Done { code, stdout: out.join().unwrap().unwrap(), stderr: err.join().unwrap().unwrap() };
    let said = done.err();
    assert!(!said.contains("panicked"), "{shown:?} panicked: {said}");
    assert!(matches!(code, 0..=2), "{shown:?} ended with {code}: {said}");
    // Findings are said on one side, failures on the other.
    assert_eq!(code == 2, !said.is_empty(), "{shown:?}: code {code} and {said:?}");
    done
}

/// Waits for a child's exit code; ends it and fails where it takes too long.
pub fn wait(child: &mut Child, what: &str) -> i32 {
    let start = Instant::now();
    loop {
        if let Some(status) = child.try_wait().unwrap() {
            return status.code().unwrap_or_else(|| panic!("{what}: ended by a signal ({status})"));
        }
        if start.elapsed() > LONGEST {
            let _ = child.kill();
            panic!("{what}: still running after {LONGEST:?}");
        }
        thread::sleep(Duration::from_millis(2));
    }
}

/// A folder with these files.
pub fn folder(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
    folder
}

/// Checks one journal in every format.
pub fn check(bytes: &[u8], formats: &[&str]) -> Vec<Done> {
    let folder = folder(&[("journal.spray", bytes)]);
    formats.iter().map(|format| run(folder.path(), &["check", "--as-of", "2026-12-31", "--format", format])).collect()
}

/// Every output format.
pub const FORMATS: &[&str] = &["page", "line", "json", "sarif"];
