//! Git's history of a journal: who entered each record and when, and what changed since.
//!
//! A record is known by what it says: its day and its words, whatever file they stand in. Every commit that the present
//! one came from is looked at once, oldest first, for the records it took out and put in; what is taken out in one place
//! and put in the same in another has only moved. Nothing here proves anything: names and days in git are what the
//! writer's computer said, and a history can be rewritten.

mod commit;
mod difference;
mod hooks;
mod matching;
mod record;
mod replay;
mod repository;
mod silence;
mod trail;
mod trees;
mod working;

use std::path::Path;
use std::sync::Arc;

use chrono::NaiveDate;

pub use commit::Commit;
pub use hooks::{HookPlace, hook_place};
pub use record::Wording;
pub use silence::{Gap, GapKind, Silence};
pub use trail::{Change, Entered, Gone, Removed, Trail};

use crate::text::{SourceId, Sources, Span};

/// How much of git's history counts for a farm.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Counting {
    /// All of it.
    #[default]
    All,
    /// What was committed from this day on.
    From(NaiveDate),
    /// None of it.
    Nothing,
}

/// A farm whose history is wanted.
#[derive(Clone, Copy, Debug)]
pub struct FarmScope<'f> {
    /// The folder that holds the farm.
    pub folder: &'f Path,
    /// Its files.
    pub files: &'f [SourceId],
    /// How much of git's history counts.
    pub counting: Counting,
}

/// What git shows of one farm's journal.
#[derive(Clone, Debug, Default)]
pub struct History {
    silence: Option<Silence>,
    commits: Arc<[Commit]>,
    head: Option<Head>,
    /// By where the entry starts in the shared address space.
    trails: Vec<(u32, Trail)>,
    removed: Vec<Removed>,
    gaps: Vec<Gap>,
    shallow: bool,
    counting: Counting,
}

/// Which commit a journal is at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// The commit, as a place among [`History::commits`].
    pub commit: usize,
    /// Whether the journal's files differ from that commit.
    pub uncommitted: bool,
}

impl History {
    /// A history that says nothing, and why.
    pub fn silent(silence: Silence) -> Self {
        Self { silence: Some(silence), ..Self::default() }
    }

    /// Why git says nothing about this journal, where it does not.
    pub fn silence(&self) -> Option<&Silence> {
        self.silence.as_ref()
    }

    /// Every commit that was read, oldest first.
    pub fn commits(&self) -> &[Commit] {
        &self.commits
    }

    /// A commit by its place among them.
    pub fn commit(&self, at: usize) -> &Commit {
        &self.commits[at]
    }

    /// The commit that the journal is at.
    pub fn head(&self) -> Option<&Head> {
        self.head.as_ref()
    }

    /// What became of the record whose entry this is. Nothing for entries that are no records, and for files that git
    /// does not reach.
    pub fn of(&self, entry: Span) -> Option<&Trail> {
        let at = self.trails.binary_search_by_key(&entry.start, |(start, _)| *start).ok()?;
        Some(&self.trails[at].1)
    }

    /// Every record that git shows something of, by where its entry starts, in the order of the files.
    pub fn trails(&self) -> impl Iterator<Item = (u32, &Trail)> {
        self.trails.iter().map(|(start, trail)| (*start, trail))
    }

    /// Records that were committed and are in the journal no more, in the order in which they went.
    pub fn removed(&self) -> &[Removed] {
        &self.removed
    }

    /// Files of the journal that git does not know of, or only in part.
    pub fn gaps(&self) -> &[Gap] {
        &self.gaps
    }

    /// Whether this copy holds only the latest commits of a longer history.
    pub fn shallow(&self) -> bool {
        self.shallow
    }

    /// How much of git's history counts.
    pub fn counting(&self) -> Counting {
        self.counting
    }
}

/// Reads the histories of some farms, in their order. A repository that holds several of them is read once.
pub fn read(sources: &Sources, farms: &[FarmScope<'_>]) -> Vec<History> {
    working::read(sources, farms)
}
