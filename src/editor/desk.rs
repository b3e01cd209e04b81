//! One farm as it stands in the editor: journal and findings, kept up to date.

use std::ops::Range;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::Today;
use super::findings::MOST;
use crate::checks;
use crate::finding::Finding;
use crate::journal::{Journal, Living, Reread, Trouble};
use crate::rulebook::Shelf;
use crate::season::{Known, Season};
use crate::syntax::{Entry, read_entry};
use crate::text::{Sources, SourcesError, Span};

/// Where something stands: a file, and which bytes of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Located<'d> {
    /// The file.
    pub path: &'d Path,
    /// Bytes in it.
    pub range: Range<usize>,
}

/// One farm.
#[derive(Debug)]
pub struct Desk {
    /// The folder that holds the farm.
    pub folder: PathBuf,
    shelf: Shelf,
    living: Living,
    /// What `uses` lines name that is no folder.
    missing: Vec<String>,
    today: Option<NaiveDate>,
    /// Whether something changed since the findings were found.
    stale: bool,
    /// What of it is known still.
    known: Known,
    findings: Vec<Finding>,
}

impl Desk {
    /// Reads a farm and checks it.
    ///
    /// # Errors
    /// [`SourcesError::TooLarge`] where its texts are larger than a run can hold.
    pub(super) fn new(
        folder: PathBuf,
        shelf: Shelf,
        files: impl IntoIterator<Item = (PathBuf, String)>,
        missing: Vec<String>,
        today: Today,
    ) -> Result<Self, SourcesError> {
        let living = Living::new(files)?;
        let today = Some(today(living.journal()));
        let (known, findings) = (Known::default(), Vec::new());
        let mut desk = Self { folder, shelf, living, missing, today, stale: true, known, findings };
        desk.tell_missing();
        desk.settle();
        Ok(desk)
    }

    /// The journal as it stands.
    pub fn journal(&self) -> &Journal {
        self.living.journal()
    }

    /// The text behind the spans of journal and findings. A source of it is one entry of a file: ask [`Desk::locate`]
    /// where a span stands, and the document for the text around it.
    pub fn sources(&self) -> &Sources {
        self.living.sources()
    }

    /// What the checks find, as of the last time that the workspace settled. Of very many of one code in a file, those
    /// behind the first have places and no words.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// What follows from the journal. Worked out anew at each call.
    pub fn season(&self) -> Season<'_> {
        self.season_with(Known::default())
    }

    fn season_with(&self, known: Known) -> Season<'_> {
        Season::with_known(self.journal(), self.sources(), self.today, known).with_shelf(&self.shelf)
    }

    /// The day that counts as today.
    pub fn today(&self) -> Option<NaiveDate> {
        self.today
    }

    /// Whether a file is one of the farm's, those of shared folders included.
    pub fn has(&self, path: &Path) -> bool {
        self.paths().any(|own| own == path)
    }

    /// Whether it is a farm that lies there, with these rulebooks, and these folders missing.
    pub(super) fn is(&self, folder: &Path, shelf: &Shelf, missing: &[String]) -> bool {
        self.folder == folder && self.shelf == *shelf && self.missing == missing
    }

    /// Whether a file is read as it says now.
    pub(super) fn says(&self, path: &Path, text: &str) -> bool {
        self.living.says(path, text)
    }

    /// The farm's files.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        self.living.paths()
    }

    /// Where a span stands; `None` for what comes with the program.
    pub fn locate(&self, span: Span) -> Option<Located<'_>> {
        let (path, range) = self.living.locate(span)?;
        Some(Located { path, range })
    }

    /// A byte of a file in the address space of the spans.
    pub fn address(&self, path: &Path, offset: usize) -> Option<u32> {
        self.living.address(path, offset)
    }

    /// The entries of a file, as ranges of its bytes: all of the file but a byte-order mark.
    pub fn entries(&self, path: &Path) -> Vec<Range<usize>> {
        self.living.entries(path).map(|(range, _)| range).collect()
    }

    /// The entry that a byte of a file lies in, read anew, with spans like those of the journal.
    pub fn entry_at(&self, path: &Path, offset: usize) -> Option<Entry> {
        let sources = self.sources();
        let id = sources.source_of(Span::new(self.address(path, offset)?, u32::MAX));
        let source = sources.get(id);
        Some(read_entry(source.text(), source.base()))
    }

    /// Puts words in the place of a range of a file's bytes. False where the farm must be read from its files again: its
    /// shared folders may be others now.
    pub(super) fn edit(&mut self, path: &Path, range: Range<usize>, with: &str) -> bool {
        let Some(reread) = self.living.edit(path, range, with) else { return false };
        match &reread {
            Reread::Entries { stretch, .. } if stretch.is_empty() => return true,
            Reread::Entries { stretch, blocks, kinds, unclear } => {
                self.known.forget_entries(self.living.journal(), *stretch, blocks, kinds);
                if *unclear {
                    self.known.forget_unclear();
                }
            }
            Reread::Standing(changed) => self.known.forget_declared(self.living.journal(), *changed),
            Reread::All | Reread::Folders => {
                self.known = Known::default();
                self.tell_missing();
            }
        }
        self.stale = true;
        reread != Reread::Folders
    }

    /// Checks again what may be otherwise now.
    pub(super) fn settle(&mut self) {
        if std::mem::take(&mut self.stale) {
            let known = std::mem::take(&mut self.known);
            let season = self.season_with(known);
            let (findings, quiet) = checks::run_noting(&season, MOST);
            let known = Known::of(season, &quiet);
            (self.findings, self.known) = (findings, known);
        }
    }

    fn tell_missing(&mut self) {
        let sources = self.living.sources();
        let spans = self.journal().farm.iter().flat_map(|farm| &farm.uses).copied();
        let missing = spans.filter(|&span| self.missing.iter().any(|path| path == sources.slice(span)));
        let troubles: Vec<Trouble> = missing.map(|at| Trouble::MissingFolder { at }).collect();
        self.living.add_troubles(troubles);
    }
}
