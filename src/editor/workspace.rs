//! Every farm under the folders that an editor has open, with what is typed and not saved in the place of the files.

use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use lsp_types::TextDocumentContentChangeEvent;

use super::{Desk, Document};
use crate::files::{LoadError, Loaded, Unsaved, load_with};
use crate::journal::Journal;
use crate::text::Source;

/// Which day counts as today for a journal: the clock is not the editor's business.
pub type Today = fn(&Journal) -> NaiveDate;

/// Every farm under some folders.
pub struct Workspace {
    folders: Vec<PathBuf>,
    today: Today,
    /// Every journal file by its true path, and what editors have open.
    documents: BTreeMap<PathBuf, Document>,
    farms: Vec<Desk>,
}

impl fmt::Debug for Workspace {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_struct("Workspace").field("folders", &self.folders).field("farms", &self.farms.len()).finish()
    }
}

impl Workspace {
    /// No farm yet: [`Workspace::reload`] reads the folders.
    pub fn new(folders: Vec<PathBuf>, today: Today) -> Self {
        Self { folders, today, documents: BTreeMap::new(), farms: Vec::new() }
    }

    /// Reads everything from the disk, with what is open in the place of the files. Farms that were there stay as they are
    /// where that fails.
    ///
    /// # Errors
    /// A [`LoadError`] where a folder or a file cannot be read. That there is no journal is no error.
    pub fn reload(&mut self) -> Result<(), LoadError> {
        let unsaved: Unsaved = self
            .documents
            .iter()
            .filter(|(_, document)| document.version.is_some())
            .map(|(path, document)| (path.clone(), document.text().to_string()))
            .collect();
        let loaded = match load_with(&self.folders, &unsaved) {
            Err(LoadError::Nothing(_)) => Loaded::default(),
            loaded => loaded?,
        };
        // A farm whose files are as they were stays as it is.
        let mut farms: Vec<Result<usize, Desk>> = Vec::with_capacity(loaded.farms.len());
        for farm in loaded.farms {
            let files = farm.files.iter().map(|&file| loaded.sources.get(file));
            let missing: Vec<String> =
                farm.missing.iter().map(|&span| loaded.sources.slice(span).to_string()).collect();
            let as_it_was = |desk: &Desk| {
                desk.is(&farm.folder, &farm.shelf, &missing)
                    && desk.paths().eq(files.clone().map(Source::path))
                    && files.clone().all(|source| desk.says(source.path(), source.text()))
            };
            farms.push(match self.farms.iter().position(as_it_was) {
                Some(at) => Ok(at),
                None => {
                    let files = files.map(|source| (source.path().to_path_buf(), source.text().to_string()));
                    let desk = Desk::new(farm.folder, farm.shelf, files, missing, self.today);
                    Err(desk.map_err(|_| LoadError::AllTooLarge)?)
                }
            });
        }
        let mut old: Vec<Option<Desk>> = std::mem::take(&mut self.farms).into_iter().map(Some).collect();
        self.farms = farms.into_iter().filter_map(|farm| farm.map_or_else(Some, |at| old[at].take())).collect();
        self.documents.retain(|_, document| document.version.is_some());
        for (_, source) in loaded.sources.iter().filter(|(_, source)| !source.shipped()) {
            let path = source.path().to_path_buf();
            self.documents.entry(path.clone()).or_insert_with(|| Document::new(path, source.text().to_string(), None));
        }
        Ok(())
    }

    /// An editor opened a file: from now on its text is the editor's. Whether that is the text known of it; where it is not,
    /// the farms are to be read again.
    pub fn hold(&mut self, path: &Path, text: String, version: i32) -> bool {
        let known = self.documents.get(path).is_some_and(|document| document.text() == text);
        self.documents.insert(path.to_path_buf(), Document::new(path.to_path_buf(), text, Some(version)));
        known
    }

    /// An editor closed a file: from now on its text is the disk's, and the farms are to be read again. Whether it was open.
    pub fn let_go(&mut self, path: &Path) -> bool {
        self.documents.get_mut(path).and_then(|document| document.version.take()).is_some()
    }

    /// Forgets every farm, and looks into other folders; what is open stays open.
    pub fn begin_anew(&mut self, folders: Vec<PathBuf>) {
        self.folders = folders;
        self.farms.clear();
        self.documents.retain(|_, document| document.version.is_some());
    }

    /// The files that editors have open.
    pub fn open(&self) -> impl Iterator<Item = &Path> {
        self.documents.values().filter(|document| document.version.is_some()).map(Document::path)
    }

    /// The text of an open file changed, each change made on what those before it leave. Nothing happens to a file that is
    /// not open. What the checks find of it is known after [`Workspace::settle`], which may wait for more changes.
    ///
    /// # Errors
    /// As [`Workspace::reload`].
    pub fn change(
        &mut self,
        path: &Path,
        changes: &[TextDocumentContentChangeEvent],
        version: i32,
    ) -> Result<(), LoadError> {
        let Some(document) = self.documents.get_mut(path).filter(|document| document.version.is_some()) else {
            return Ok(());
        };
        let mut followed = true;
        for change in changes {
            let (range, with) = match change.range {
                Some(range) => (document.bytes(range), &*change.text),
                None => differing(document.text(), &change.text),
            };
            // The text first: it is right whatever goes wrong with the farms.
            document.edit(range.clone(), with);
            for farm in self.farms.iter_mut().filter(|farm| farm.has(path)) {
                followed = followed && farm.edit(path, range.clone(), with);
            }
        }
        document.version = Some(version);
        if followed { Ok(()) } else { self.reload() }
    }

    /// Checks again what changed.
    pub fn settle(&mut self) {
        self.farms.iter_mut().for_each(Desk::settle);
    }

    /// The farms, by folder.
    pub fn farms(&self) -> &[Desk] {
        &self.farms
    }

    /// The farms that a file belongs to: several where it lies in a folder that they share.
    pub fn farms_of<'w>(&'w self, path: &'w Path) -> impl Iterator<Item = &'w Desk> {
        self.farms.iter().filter(move |farm| farm.has(path))
    }

    /// A file, by its true path.
    pub fn document(&self, path: &Path) -> Option<&Document> {
        self.documents.get(path)
    }

    /// All files.
    pub fn documents(&self) -> impl Iterator<Item = &Document> {
        self.documents.values()
    }
}

/// What of a text differs from another: the bytes that give way, and what comes in their place. An editor that sends whole
/// texts changed only a little of them.
fn differing<'t>(old: &str, new: &'t str) -> (Range<usize>, &'t str) {
    let same = |(one, other): &(u8, u8)| one == other;
    let mut start = old.bytes().zip(new.bytes()).take_while(same).count();
    while !old.is_char_boundary(start) || !new.is_char_boundary(start) {
        start -= 1;
    }
    let (old_rest, new_rest) = (&old[start..], &new[start..]);
    let mut tail = old_rest.bytes().rev().zip(new_rest.bytes().rev()).take_while(same).count();
    while !old_rest.is_char_boundary(old_rest.len() - tail) || !new_rest.is_char_boundary(new_rest.len() - tail) {
        tail -= 1;
    }
    (start..old.len() - tail, &new_rest[..new_rest.len() - tail])
}
