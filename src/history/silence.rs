//! What git cannot say about a journal, and why.

use std::fmt;

use crate::text::SourceId;

/// Why git says nothing about a journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Silence {
    /// Nobody asked it.
    NotAsked,
    /// The farm's entry says that git's history does not count.
    LeftOut,
    /// The journal lies in no repository.
    NoRepository,
    /// The repository is one without files of its own, and the journal's folder is no copy of it.
    NoFiles,
    /// Nothing was committed yet.
    NoCommits,
    /// None of the journal's files is in the latest commit or in any before it.
    NotTracked {
        /// Whether git was told to pass over them.
        ignored: bool,
    },
    /// The repository could not be read: what stood in the way, in plain words.
    Broken(String),
}

impl fmt::Display for Silence {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Silence::NotAsked => out.write_str("git was not asked"),
            Silence::LeftOut => out.write_str("the farm's entry leaves git's history out"),
            Silence::NoRepository => out.write_str("the journal's folder is in no git repository"),
            Silence::NoFiles => {
                out.write_str("the journal's folder is in a git repository that keeps no files of its own")
            }
            Silence::NoCommits => out.write_str("nothing was committed to the git repository yet"),
            Silence::NotTracked { ignored: false } => {
                out.write_str("none of the journal's files was ever committed to the git repository around them")
            }
            Silence::NotTracked { ignored: true } => {
                out.write_str("the git repository around the journal's files is set to ignore them")
            }
            Silence::Broken(why) => write!(out, "the git repository could not be read: {why}"),
        }
    }
}

/// A file of the journal that git does not know of, or only in part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Gap {
    /// Which file.
    pub source: SourceId,
    /// Why.
    pub kind: GapKind,
}

/// Why git does not know of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GapKind {
    /// It is not in the latest commit.
    NotCommitted,
    /// It is not, and git was told to pass over it.
    Ignored,
    /// It lies outside the repository of the farm's folder.
    Elsewhere,
}

impl GapKind {
    /// In words that follow the file's name.
    pub const fn words(self) -> &'static str {
        match self {
            GapKind::NotCommitted => "is not in the latest commit",
            GapKind::Ignored => "is not in the latest commit, and git is set to ignore it",
            GapKind::Elsewhere => "lies outside the git repository of the farm's folder, and its history was not read",
        }
    }
}
