//! New files, all of them or none, and never over one that is there.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use super::Failure;
use crate::text::escape_hidden;

/// A file to be written.
pub(super) struct NewFile {
    pub(super) path: PathBuf,
    pub(super) text: String,
    /// What it is for.
    pub(super) about: &'static str,
    /// Whether it is a program.
    pub(super) runs: bool,
}

impl NewFile {
    pub(super) fn text(path: PathBuf, text: String, about: &'static str) -> Self {
        Self { path, text, about, runs: false }
    }
}

/// Refuses a folder that holds a journal.
pub(super) fn refuse_journal(folder: &Path) -> Result<(), Failure> {
    if let Some(file) = folder.ancestors().find(|above| above.is_file()) {
        return Err(Failure::Other(format!(
            "{} is a file; give the name of a folder. Nothing was written",
            escape_hidden(&file.display().to_string())
        )));
    }
    let files = match fs::read_dir(folder) {
        Ok(files) => files,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(Failure::Other(format!("cannot look into {}: {error}", folder.display()))),
    };
    let mut journals: Vec<PathBuf> = files.flatten().map(|file| file.path()).collect();
    journals.retain(|path| path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("spray")));
    journals.sort();
    match journals.first() {
        Some(first) => Err(Failure::Other(format!(
            "there is a journal here already: {}. Nothing was written",
            escape_hidden(&first.display().to_string())
        ))),
        None => Ok(()),
    }
}

/// Writes all files, or none.
pub(super) fn place(files: &[NewFile]) -> Result<(), Failure> {
    let there = |file: &&NewFile| file.path.symlink_metadata().is_ok();
    let old: Vec<String> = files.iter().filter(there).map(|file| file.path.display().to_string()).collect();
    if !old.is_empty() {
        let (which, them) = if old.len() == 1 { ("is", "it") } else { ("are", "them") };
        let words = format!(
            "{} {which} there already, and is not written over: nothing was written. Move {them} away, or leave out \
             what you have with --no-ignore-file or --no-hook",
            old.join(" and ")
        );
        return Err(Failure::Other(escape_hidden(&words).into_owned()));
    }
    let mut made = Made::default();
    for file in files {
        made.file(file).map_err(|error| {
            let words = format!("cannot write {}: {error}. Nothing was written", file.path.display());
            Failure::Other(escape_hidden(&words).into_owned())
        })?;
    }
    made.keep();
    Ok(())
}

/// What has been written so far; taken away again unless it is kept.
#[derive(Default)]
struct Made {
    files: Vec<PathBuf>,
    folders: Vec<PathBuf>,
}

impl Made {
    fn file(&mut self, file: &NewFile) -> std::io::Result<()> {
        let folder = match file.path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        self.folder(folder)?;
        let mut builder = tempfile::Builder::new();
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(if file.runs { 0o777 } else { 0o666 }));
        let mut written = builder.tempfile_in(folder)?;
        written.write_all(file.text.as_bytes())?;
        written.persist_noclobber(&file.path).map_err(|error| error.error)?;
        self.files.push(file.path.clone());
        Ok(())
    }

    /// Makes a folder and those above it that are not there.
    fn folder(&mut self, folder: &Path) -> std::io::Result<()> {
        let missing: Vec<&Path> = folder
            .ancestors()
            .take_while(|above| !above.as_os_str().is_empty() && above.symlink_metadata().is_err())
            .collect();
        for folder in missing.into_iter().rev() {
            fs::create_dir(folder)?;
            self.folders.push(folder.to_path_buf());
        }
        Ok(())
    }

    fn keep(mut self) {
        self.files.clear();
        self.folders.clear();
    }
}

impl Drop for Made {
    fn drop(&mut self) {
        // The failure that led here is what is told.
        for file in &self.files {
            let _ = fs::remove_file(file);
        }
        for folder in self.folders.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
}
