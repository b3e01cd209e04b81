//! Which folders and files are read: the client's folders, and what lies beside a file that is open and in none of them.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use lsp_types::{InitializeParams, WorkspaceFoldersChangeEvent};

use super::uri;
use crate::files::{LoadError, is_journal, journals};

/// Which folders and files are read.
#[derive(Debug, Default)]
pub struct Roots {
    folders: Vec<PathBuf>,
    now: Vec<PathBuf>,
}

/// Whether a file that is open is not the journals' business: a rulebook, which is read from the disk.
pub fn is_other(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("toml"))
}

impl Roots {
    /// The folders that a client comes with.
    pub fn new(params: &InitializeParams) -> Self {
        let folders = params.workspace_folders.as_ref().filter(|folders| !folders.is_empty());
        #[expect(deprecated, reason = "older clients know of one folder, and say it so")]
        let one = || params.root_uri.iter().map(uri::path).collect();
        let folders = folders.map_or_else(one, |folders| folders.iter().map(|folder| uri::path(&folder.uri)).collect());
        Self { folders, now: Vec::new() }
    }

    /// The client's folders change.
    pub fn change(&mut self, event: &WorkspaceFoldersChangeEvent) {
        let gone: Vec<PathBuf> = event.removed.iter().map(|folder| uri::path(&folder.uri)).collect();
        self.folders.retain(|folder| !gone.contains(folder));
        for folder in event.added.iter().map(|folder| uri::path(&folder.uri)) {
            if !self.folders.contains(&folder) {
                self.folders.push(folder);
            }
        }
    }

    /// What is read now.
    pub fn now(&self) -> &[PathBuf] {
        &self.now
    }

    /// Looks again what is to be read, with these files open; whether that is something else than before.
    pub fn changed<'p>(&mut self, open: impl Iterator<Item = &'p Path>) -> bool {
        let open: Vec<&Path> = open.collect();
        let mut roots: BTreeSet<PathBuf> = self.folders.iter().filter(|folder| folder.is_dir()).cloned().collect();
        for &file in open.iter().filter(|file| !self.folders.iter().any(|folder| file.starts_with(folder))) {
            roots.insert(file.to_path_buf());
            if uri::is_file(file) {
                roots.extend(beside(file));
            }
        }
        // A folder without a journal is read for what may come, but beside others it is in the way of theirs.
        let empty = |root: &PathBuf| {
            root.is_dir()
                && !open.iter().any(|file| file.starts_with(root))
                && matches!(journals(std::slice::from_ref(root)), Err(LoadError::Nothing(_)))
        };
        let several = roots.len() > 1;
        let roots: Vec<PathBuf> = roots.into_iter().filter(|root| !several || !empty(root)).collect();
        let other = roots != self.now;
        self.now = roots;
        other
    }
}

/// The journals that lie in the same folder as a file: they are likely to declare what it names. Nothing deeper: it may be
/// anybody's home folder.
fn beside(file: &Path) -> Vec<PathBuf> {
    let Some(entries) = file.parent().and_then(|folder| fs::read_dir(folder).ok()) else { return Vec::new() };
    entries.filter_map(Result::ok).map(|entry| entry.path()).filter(|path| is_journal(path) && path.is_file()).collect()
}
