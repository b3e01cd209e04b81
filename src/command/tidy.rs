//! `foliary tidy`: the canonical layout, written to the files.

use std::fmt::Write as _;
use std::fs;
use std::io::{self, Read, Write as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

use clap::Args;
use similar::{ChangeTag, TextDiff};

use super::output::rewrite;
use super::{CLEAN, FAILED, FOUND, Failure, print};
use crate::files::{is_journal, journals};
use crate::syntax::{has_lone_carriage_return, laid_out, same_entries};
use crate::text::{escape_hidden, hidden_characters};

/// Lay the journals out alike: indentation, blanks, empty lines.
///
/// Nothing that a journal says changes: no name, number, day, note or
/// remark. Units are written by their usual short names, and the first
/// word of a line in small letters. A file that does not change is not
/// written.
///
/// Exit code 0: done, or nothing to do; 1: with --check, a file would
/// change; 2: a file was left as it is, and why.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Tidy {
    /// Files, or folders with everything under them; - for standard
    /// input, laid out to standard output.
    #[arg(default_value = ".")]
    paths: Vec<PathBuf>,
    /// Write nothing; show what would change.
    #[arg(long)]
    check: bool,
}

const EXAMPLES: &str = "\
Examples:
  Every journal file under this folder:
    foliary tidy

  What would change, and nothing written:
    foliary tidy --check

  From standard input to standard output, as an editor asks for it:
    echo 'spray  creek-pear' | foliary tidy -";

impl Tidy {
    pub(super) fn run(self) -> Result<u8, Failure> {
        if self.paths.iter().any(|path| path.as_os_str() == "-") {
            return match self.paths.as_slice() {
                [_] => self.input(),
                _ => Err(Failure::Other("- is standard input, and stands alone".to_string())),
            };
        }
        let files = journals(&self.paths)?;
        let (mut changed, mut refused) = (0, 0);
        let mut said = String::new();
        for file in &files {
            match self.file(file, &mut said) {
                Ok(true) => changed += 1,
                Ok(false) => {}
                Err(failure) => {
                    refused += 1;
                    let words = failure.to_string();
                    let _ = writeln!(io::stderr().lock(), "foliary: {}", escape_hidden(&words));
                }
            }
        }
        said.push_str(&self.summary(changed, files.len()));
        print(&said)?;
        Ok(match (refused, self.check && changed > 0) {
            (0, false) => CLEAN,
            (0, true) => FOUND,
            _ => FAILED,
        })
    }

    /// Standard input to standard output.
    fn input(&self) -> Result<u8, Failure> {
        let mut bytes = Vec::new();
        io::stdin().lock().read_to_end(&mut bytes)?;
        let name = Path::new("standard input");
        let text = readable(name, bytes)?;
        let laid = tidied(name, &text)?;
        if !self.check {
            print(&laid)?;
            return Ok(CLEAN);
        }
        let mut said = String::new();
        if laid != text {
            difference(name, &text, &laid, &mut said);
        }
        print(&said)?;
        Ok(if laid == text { CLEAN } else { FOUND })
    }

    /// Lays a file out, or shows how it would be; whether it changes.
    fn file(&self, path: &Path, said: &mut String) -> Result<bool, Failure> {
        if !is_journal(path) {
            return Err(refusal(path, "its name does not end in .spray, so it is left as it is"));
        }
        let failed = |error: io::Error| Failure::Other(format!("cannot read {}: {error}", path.display()));
        let text = readable(path, fs::read(path).map_err(failed)?)?;
        let laid = tidied(path, &text)?;
        if laid == text {
            return Ok(false);
        }
        if self.check {
            difference(path, &text, &laid, said);
        } else {
            // What a link leads to is written, so that the link stays one.
            rewrite(&fs::canonicalize(path).map_err(failed)?, &laid)?;
            let _ = writeln!(said, "laid out {}", escape_hidden(&path.display().to_string()));
        }
        Ok(true)
    }

    fn summary(&self, changed: usize, files: usize) -> String {
        let of = if files == 1 { "1 file".to_string() } else { format!("{files} files") };
        match (changed, self.check) {
            (0, _) => format!("{of} looked at, none to change\n"),
            (_, true) => format!("{changed} of {of} would change; `foliary tidy` without --check writes them\n"),
            (_, false) => format!("{changed} of {of} laid out\n"),
        }
    }
}

/// Why a file is left as it is.
fn refusal(path: &Path, why: &str) -> Failure {
    Failure::Other(format!("{}: {why}", path.display()))
}

/// A file's text, where all of it can be read and seen.
fn readable(path: &Path, bytes: Vec<u8>) -> Result<String, Failure> {
    let text = String::from_utf8(bytes).map_err(|error| {
        let line = 1 + error.as_bytes()[..error.utf8_error().valid_up_to()].iter().filter(|&&b| b == b'\n').count();
        refusal(path, &format!("line {line} is not UTF-8 text, so the file is left as it is; save it as UTF-8 first"))
    })?;
    if has_lone_carriage_return(&text) {
        let why = "a carriage return stands inside a line, so the file is left as it is; save it with the line ends of this computer first";
        return Err(refusal(path, why));
    }
    let Some(hidden) = hidden_characters(&text, true).into_iter().next() else { return Ok(text) };
    let line = 1 + text[..hidden.offset].matches('\n').count();
    let code = hidden.character as u32;
    let why = format!("line {line} holds a character that cannot be seen, U+{code:04X}; take it out first");
    Err(refusal(path, &format!("{why}. The file is left as it is")))
}

/// The text laid out; refused where it would not read the same, which is told rather than written.
fn tidied(path: &Path, text: &str) -> Result<String, Failure> {
    let laid = laid_out(text);
    if same_entries(text, &laid) {
        return Ok(laid);
    }
    Err(refusal(path, "laid out it would not read the same, so it is left as it is; please report this file"))
}

/// How long it may take to find the shortest difference; after that a longer one is shown.
const PATIENCE: Duration = Duration::from_secs(2);

/// What would change, line by line, with the line's number in the file as it is.
fn difference(path: &Path, text: &str, laid: &str, said: &mut String) {
    let _ = writeln!(said, "{}", escape_hidden(&path.display().to_string()));
    let diff = TextDiff::configure().timeout(PATIENCE).diff_lines(text, laid);
    for (at, group) in diff.grouped_ops(1).iter().enumerate() {
        if at > 0 {
            said.push_str("      ...\n");
        }
        for change in group.iter().flat_map(|op| diff.iter_changes(op)) {
            let number = change.old_index().map_or_else(String::new, |line| (line + 1).to_string());
            let sign = match change.tag() {
                ChangeTag::Equal => ' ',
                ChangeTag::Delete => '-',
                ChangeTag::Insert => '+',
            };
            let line = shown(change.value(), change.tag() == ChangeTag::Delete);
            let _ = writeln!(said, "{}", format!("{number:>5} {sign} {line}").trim_end());
        }
    }
    said.push('\n');
}

/// A line with what cannot be seen of it made visible where it goes: tabs, blanks at its end, how it ends.
fn shown(line: &str, goes: bool) -> String {
    let Some(words) = line.strip_suffix('\n') else {
        return if goes { format!("{line} (no end of line)") } else { line.to_string() };
    };
    if !goes {
        return words.trim_end_matches('\r').to_string();
    }
    let kept = words.trim_end_matches([' ', '\t', '\r']);
    let end = words[kept.len()..].replace(' ', "·").replace('\r', "(CR)");
    format!("{kept}{end}").replace('\t', "→   ")
}
