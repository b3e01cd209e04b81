//! One farm as it stands in the editor: journal and findings.

use std::ops::Range;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use crate::finding::Finding;
use crate::journal::Journal;
use crate::rulebook::Shelf;
use crate::season::Season;
use crate::syntax::{Entry, read_entry, split_entries};
use crate::text::{SourceId, Sources, Span};
use crate::{Farm, checks, compile_farm};

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
    sources: Sources,
    files: Vec<SourceId>,
    journal: Journal,
    today: Option<NaiveDate>,
    findings: Vec<Finding>,
}

impl Desk {
    /// The journal as it stands.
    pub fn journal(&self) -> &Journal {
        &self.journal
    }

    /// The text behind the spans of journal and findings. A source of it can be a part of a file: ask [`Desk::locate`]
    /// where a span stands, and the document for the text around it.
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// What the checks find.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// What follows from the journal. Worked out anew at each call.
    pub fn season(&self) -> Season<'_> {
        Season::new(&self.journal, &self.sources, self.today).with_shelf(&self.shelf)
    }

    /// The day that counts as today.
    pub fn today(&self) -> Option<NaiveDate> {
        self.today
    }

    /// Whether a file is one of the farm's, those of shared folders included.
    pub fn has(&self, path: &Path) -> bool {
        self.file(path).is_some()
    }

    /// The farm's files.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        self.files.iter().map(|&file| self.sources.get(file).path())
    }

    /// Where a span stands; `None` for what comes with the program.
    pub fn locate(&self, span: Span) -> Option<Located<'_>> {
        let source = self.sources.get(self.sources.source_of(span));
        (!source.shipped()).then(|| Located { path: source.path(), range: self.sources.local(span) })
    }

    /// A byte of a file in the address space of the spans.
    pub fn address(&self, path: &Path, offset: usize) -> Option<u32> {
        let source = self.sources.get(self.file(path)?);
        (offset <= source.text().len()).then(|| source.base() + offset as u32)
    }

    /// The entries of a file, as ranges of its bytes: all of the file but a byte-order mark.
    pub fn entries(&self, path: &Path) -> Vec<Range<usize>> {
        self.file(path).map(|file| split_entries(self.sources.get(file).text())).unwrap_or_default()
    }

    /// The entry that a byte of a file lies in, read anew, with spans like those of the journal.
    pub fn entry_at(&self, path: &Path, offset: usize) -> Option<Entry> {
        let source = self.sources.get(self.file(path)?);
        let entries = self.entries(path);
        let at = entries.partition_point(|entry| entry.start <= offset).checked_sub(1)?;
        let range = entries[at].clone();
        Some(read_entry(&source.text()[range.clone()], source.base() + range.start as u32))
    }

    fn file(&self, path: &Path) -> Option<SourceId> {
        self.files.iter().copied().find(|&file| self.sources.get(file).path() == path)
    }

    pub(super) fn new(
        folder: PathBuf,
        shelf: Shelf,
        sources: Sources,
        files: Vec<SourceId>,
        missing: &[Span],
        today: impl Fn(&Journal) -> NaiveDate,
    ) -> Self {
        let journal = compile_farm(&sources, Farm { files: &files, missing });
        let today = Some(today(&journal));
        let mut desk = Self { folder, shelf, sources, files, journal, today, findings: Vec::new() };
        desk.findings = checks::run(&desk.season());
        desk
    }
}
