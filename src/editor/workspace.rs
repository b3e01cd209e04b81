//! Every farm under the folders that an editor has open, with what is typed and not saved in the place of the files.

use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::{Desk, Document};
use crate::files::{LoadError, Loaded, Unsaved, load_with};
use crate::journal::{Journal, stock_pantry};
use crate::text::{Sources, Span};

/// Which day counts as today for a journal: the clock is not the editor's business.
pub type Today = fn(&Journal) -> NaiveDate;

/// Words put in the place of a range of bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Which bytes; the whole text where absent.
    pub range: Option<Range<usize>>,
    /// What stands there now.
    pub with: String,
}

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
        self.documents.retain(|_, document| document.version.is_some());
        self.farms.clear();
        for farm in loaded.farms {
            let mut sources = Sources::new();
            let mut files = Vec::new();
            // The farm's files keep their order; where they lie in the address space changes.
            let mut moved = Vec::new();
            for &file in &farm.files {
                let source = loaded.sources.get(file);
                let id = sources.add(source.path(), source.text().to_string()).map_err(|_| LoadError::AllTooLarge)?;
                moved.push((source.span(), sources.get(id).base()));
                files.push(id);
                if !self.documents.contains_key(source.path()) {
                    let document = Document::new(source.path().to_path_buf(), source.text().to_string(), None);
                    self.documents.insert(source.path().to_path_buf(), document);
                }
            }
            stock_pantry(&mut sources).map_err(|_| LoadError::AllTooLarge)?;
            let place = |span: Span| {
                let &(whole, base) = moved.iter().find(|(whole, _)| whole.covers(span))?;
                Some(Span::new(span.start - whole.start + base, span.end - whole.start + base))
            };
            let missing: Vec<Span> = farm.missing.iter().filter_map(|&span| place(span)).collect();
            self.farms.push(Desk::new(farm.folder, farm.shelf, sources, files, &missing, self.today));
        }
        Ok(())
    }

    /// An editor opened a file: from now on its text is the editor's.
    ///
    /// # Errors
    /// As [`Workspace::reload`].
    pub fn open(&mut self, path: &Path, text: String, version: i32) -> Result<(), LoadError> {
        let known = self.documents.get(path).is_some_and(|document| document.text() == text);
        self.documents.insert(path.to_path_buf(), Document::new(path.to_path_buf(), text, Some(version)));
        if known { Ok(()) } else { self.reload() }
    }

    /// An editor closed a file: from now on its text is the disk's.
    ///
    /// # Errors
    /// As [`Workspace::reload`].
    pub fn close(&mut self, path: &Path) -> Result<(), LoadError> {
        if let Some(document) = self.documents.get_mut(path) {
            document.version = None;
        }
        self.reload()
    }

    /// The text of an open file changed. Nothing happens to a file that is not open.
    ///
    /// # Errors
    /// As [`Workspace::reload`].
    pub fn change(&mut self, path: &Path, changes: &[Change], version: i32) -> Result<(), LoadError> {
        let Some(document) = self.documents.get_mut(path).filter(|document| document.version.is_some()) else {
            return Ok(());
        };
        for change in changes {
            let range = change.range.clone().unwrap_or(0..document.text().len());
            document.edit(range, &change.with);
        }
        document.version = Some(version);
        self.reload()
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
