//! One farm as it stands in the editor: journal and findings, kept up to date.

use std::ops::Range;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::Today;
use crate::checks::{ByEntry, run_with};
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

/// What must be checked again.
#[derive(Clone, Copy, Debug)]
enum Stale {
    /// Entries of a stretch of the text; whether all of them are looked at one by one.
    Entries(Span, bool),
    All,
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
    /// What changed since the findings were found.
    stale: Option<Stale>,
    /// What follows from each spray, for the next season.
    known: Vec<Known>,
    by_entry: ByEntry,
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
        let (known, by_entry, findings) = (Vec::new(), ByEntry::default(), Vec::new());
        let stale = Some(Stale::All);
        let mut desk = Self { folder, shelf, living, missing, today, stale, known, by_entry, findings };
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

    /// What the checks find, as of the last time that the workspace settled.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// What follows from the journal. Worked out anew at each call.
    pub fn season(&self) -> Season<'_> {
        self.season_with(Vec::new())
    }

    fn season_with(&self, known: Vec<Known>) -> Season<'_> {
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
        let uses = self.uses();
        match self.living.edit(path, range, with) {
            None => return false,
            Some(Reread::Entries { stretch, .. }) if stretch.is_empty() => {}
            Some(Reread::Entries { stretch, one_by_one }) => {
                self.stale = Some(match self.stale {
                    None => Stale::Entries(stretch, one_by_one),
                    Some(Stale::Entries(other, both)) => Stale::Entries(stretch.to(other), one_by_one && both),
                    Some(Stale::All) => Stale::All,
                });
            }
            Some(Reread::Standing) => self.stale = Some(Stale::All),
            Some(Reread::All) => {
                if self.uses() != uses {
                    return false;
                }
                self.tell_missing();
                self.stale = Some(Stale::All);
            }
        }
        true
    }

    /// Checks again what changed.
    pub(super) fn settle(&mut self) {
        match self.stale.take() {
            None => {}
            Some(Stale::Entries(stretch, one_by_one)) => self.check_again(stretch, one_by_one),
            Some(Stale::All) => self.check_all(),
        }
    }

    /// The shared folders that the farm's entry names.
    fn uses(&self) -> Vec<String> {
        let spans = self.journal().farm.iter().flat_map(|farm| &farm.uses);
        spans.map(|&span| self.sources().slice(span).to_string()).collect()
    }

    fn tell_missing(&mut self) {
        let sources = self.living.sources();
        let spans = self.journal().farm.iter().flat_map(|farm| &farm.uses).copied();
        let missing = spans.filter(|&span| self.missing.iter().any(|path| path == sources.slice(span)));
        let troubles: Vec<Trouble> = missing.map(|at| Trouble::MissingFolder { at }).collect();
        self.living.add_troubles(troubles);
    }

    fn check_all(&mut self) {
        let season = self.season();
        let by_entry = ByEntry::of(&season);
        let findings = run_with(&season, &by_entry);
        let known = season.into_known();
        (self.by_entry, self.findings, self.known) = (by_entry, findings, known);
    }

    /// Checks again after entries of a stretch of the text changed, or went from it.
    fn check_again(&mut self, stretch: Span, one_by_one: bool) {
        let known = Known::except(std::mem::take(&mut self.known), stretch);
        if one_by_one {
            let (today, shelf) = (self.today, &self.shelf);
            let of_stretch = self.living.alone(stretch, |journal, sources| {
                ByEntry::of(&Season::new(journal, sources, today).with_shelf(shelf))
            });
            self.by_entry.replace(stretch, of_stretch);
        }
        let season = self.season_with(known);
        let by_entry = if one_by_one { None } else { Some(ByEntry::of(&season)) };
        let findings = run_with(&season, by_entry.as_ref().unwrap_or(&self.by_entry));
        let known = season.into_known();
        (self.findings, self.known) = (findings, known);
        if let Some(by_entry) = by_entry {
            self.by_entry = by_entry;
        }
    }
}
