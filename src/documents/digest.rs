//! What ties paper to text: SHA-256 digests of the journal and of single entries.

use std::path::Path;

use serde::Serialize;
use sha2::{Digest as _, Sha256};

use super::book::{common_folder, shown_path};
use crate::text::{SourceId, Sources, Span};

/// Characters of a digest that are printed where there is little room.
const SHORT: usize = 16;

/// A SHA-256 digest, and what it was made of.
#[derive(Clone, Debug, Serialize)]
pub struct Digest {
    /// Its first sixteen characters.
    pub short: String,
    /// All of it, in hexadecimal.
    pub long: String,
    /// The files whose texts, one after the other, it was made of.
    pub files: Vec<String>,
}

impl Digest {
    /// Of a farm's files, named from the folder that holds all of them.
    pub fn new(sources: &Sources, files: &[SourceId]) -> Self {
        let folder = common_folder(files.iter().map(|&file| sources.get(file).path()));
        Self::of_files(sources, files, &folder)
    }

    /// Of files, end to end: what `cat` of them in this order into a SHA-256 program gives.
    pub(super) fn of_files(sources: &Sources, files: &[SourceId], folder: &Path) -> Self {
        let mut hash = Sha256::new();
        for &file in files {
            hash.update(sources.get(file).text().as_bytes());
        }
        let files = files.iter().map(|&file| shown_path(sources.get(file).path(), folder)).collect();
        Self { files, ..Self::finished(hash) }
    }

    /// Of one entry: its lines from the first to the last with anything on it, line ends included.
    pub(super) fn of_lines(sources: &Sources, lines: Span) -> Self {
        let mut hash = Sha256::new();
        hash.update(sources.slice(lines).as_bytes());
        Self::finished(hash)
    }

    /// Of a text.
    pub(super) fn of_text(text: &str) -> Self {
        let mut hash = Sha256::new();
        hash.update(text.as_bytes());
        Self::finished(hash)
    }

    fn finished(hash: Sha256) -> Self {
        let long: String = hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
        Self { short: long[..SHORT].to_string(), long, files: Vec::new() }
    }
}

/// The lines of an entry without the empty ones behind it, the last line's end included.
pub(super) fn entry_lines(sources: &Sources, entry: Span) -> Span {
    let words = sources.slice(entry);
    let used = words.trim_end().len();
    let rest = &words[used..];
    let end = used + rest.find('\n').map_or(rest.len(), |newline| newline + 1);
    Span::new(entry.start, entry.start + end as u32)
}
