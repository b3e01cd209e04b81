use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

/// A stretch of journal text, in bytes of the address space that all files of one run share.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// The byte after the last.
    pub end: u32,
}

impl Span {
    /// A span from its two ends.
    pub const fn new(start: u32, end: u32) -> Self {
        Self { start, end }
    }

    /// The smallest span that covers both.
    #[must_use]
    pub fn to(self, other: Span) -> Span {
        Span::new(self.start.min(other.start), self.end.max(other.end))
    }

    /// Whether `inner` lies wholly in this span.
    pub fn covers(self, inner: Span) -> bool {
        self.start <= inner.start && inner.end <= self.end
    }

    /// Whether there is nothing in it.
    pub fn is_empty(self) -> bool {
        self.start == self.end
    }
}

/// Which file of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// One file, or one part of a file that is kept in parts: the path it is shown by, its text, and where it lies in the
/// shared address space.
#[derive(Clone, Debug)]
pub struct Source {
    path: Arc<Path>,
    text: String,
    shipped: bool,
    /// Which file it is, or is a part of.
    file: u32,
    /// Whether it is one entry of a file that is kept in parts.
    part: bool,
    base: u32,
    lines: OnceLock<Vec<u32>>,
    milestones: OnceLock<Vec<Milestone>>,
}

/// How many bytes lie between two milestones, give or take a character.
const MILE: usize = 512;

/// How many characters of a file lie before an offset: so that a column far out on a very long line is found without
/// counting from the line's start for every finding on it.
#[derive(Clone, Copy, Debug, Default)]
struct Milestone {
    offset: usize,
    characters: u32,
    utf16: u32,
}

impl Milestone {
    /// The milestone so much text further on.
    fn past(self, text: &str) -> Self {
        let mut milestone = Self { offset: self.offset + text.len(), ..self };
        for &byte in text.as_bytes() {
            // Every character has one byte that does not go on with another; from four bytes on it is two UTF-16 units.
            milestone.characters += u32::from(byte & 0xC0 != 0x80);
            milestone.utf16 += u32::from(byte & 0xC0 != 0x80) + u32::from(byte >= 0xF0);
        }
        milestone
    }
}

impl Source {
    fn new(path: Arc<Path>, text: String, shipped: bool, file: u32, base: u32) -> Self {
        let (lines, milestones) = (OnceLock::new(), OnceLock::new());
        Self { path, text, shipped, file, part: false, base, lines, milestones }
    }

    /// The path as the user gave it, for messages.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether it comes with the program rather than from the user.
    pub fn shipped(&self) -> bool {
        self.shipped
    }

    /// The file it is, or is a part of: alike for two sources of one file only.
    pub fn file(&self) -> u32 {
        self.file
    }

    /// Whether it is one part of a file that is kept in parts, a byte-order mark left out.
    pub fn is_part(&self) -> bool {
        self.part
    }

    /// Offset of the first byte in the shared address space.
    pub fn base(&self) -> u32 {
        self.base
    }

    /// The whole file as a span.
    pub fn span(&self) -> Span {
        Span::new(self.base, self.base + self.text.len() as u32)
    }

    fn line_starts(&self) -> &[u32] {
        self.lines.get_or_init(|| {
            let newlines = self.text.bytes().enumerate().filter(|&(_, byte)| byte == b'\n');
            std::iter::once(0).chain(newlines.map(|(offset, _)| offset as u32 + 1)).collect()
        })
    }

    fn milestones(&self) -> &[Milestone] {
        self.milestones.get_or_init(|| {
            let mut milestones = vec![Milestone::default()];
            let mut last = Milestone::default();
            while last.offset + MILE < self.text.len() {
                let mut end = last.offset + MILE;
                while !self.text.is_char_boundary(end) {
                    end += 1;
                }
                last = last.past(&self.text[last.offset..end]);
                milestones.push(last);
            }
            milestones
        })
    }

    /// Characters and UTF-16 code units of a stretch of the file.
    fn counts(&self, stretch: Range<usize>) -> (u32, u32) {
        if stretch.len() <= MILE {
            let counted = Milestone::default().past(&self.text[stretch]);
            return (counted.characters, counted.utf16);
        }
        let at = |offset: usize| {
            let milestones = self.milestones();
            // The first milestone is at 0, so there is always one at or before the offset.
            let nearest = milestones[milestones.partition_point(|milestone| milestone.offset <= offset) - 1];
            nearest.past(&self.text[nearest.offset..offset])
        };
        let (start, end) = (at(stretch.start), at(stretch.end));
        (end.characters - start.characters, end.utf16 - start.utf16)
    }
}

/// A place as people and machines name it. Line and columns count from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Which file.
    pub source: SourceId,
    /// Line, from 1.
    pub line: u32,
    /// Column in characters (Unicode scalar values), from 1.
    pub column: u32,
    /// Column in UTF-16 code units, from 1: what SARIF and editors count.
    pub column_utf16: u32,
    /// Byte offset in the file, from 0.
    pub offset: u32,
}

/// Why a text could not be taken in.
#[derive(Debug, PartialEq, Eq)]
pub enum SourcesError {
    /// The run's files are larger together than a span can address (4 GiB).
    TooLarge,
}

/// The files of one run, in a fixed order (by path), end to end in one address space.
///
/// A file can be kept in parts, each a source of its own with some room behind it: then one part can be replaced, and
/// every span of the others stays as it is.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Source>,
    /// Where each source begins, close together: what is looked through for every span.
    bases: Vec<u32>,
    /// How much room is kept behind the last source.
    room: u32,
}

impl Sources {
    /// No files yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file.
    ///
    /// # Errors
    /// [`SourcesError::TooLarge`] when all files together would pass 4 GiB.
    pub fn add(&mut self, path: impl Into<PathBuf>, text: String) -> Result<SourceId, SourcesError> {
        self.put(path.into(), text, false)
    }

    /// Adds a file that comes with the program, shown by the path it has there.
    ///
    /// # Errors
    /// [`SourcesError::TooLarge`] when all files together would pass 4 GiB.
    pub fn add_shipped(&mut self, path: &str, text: &str) -> Result<SourceId, SourcesError> {
        self.put(path.into(), text.to_string(), true)
    }

    fn put(&mut self, path: PathBuf, text: String, shipped: bool) -> Result<SourceId, SourcesError> {
        let file = self.files.last().map_or(0, |last| last.file + 1);
        self.push(path.into(), text, shipped, file, 0)
    }

    /// Adds one more source behind the last, with so much room after it.
    fn push(
        &mut self,
        path: Arc<Path>,
        text: String,
        shipped: bool,
        file: u32,
        room: u32,
    ) -> Result<SourceId, SourcesError> {
        // One byte apart, so that the end of one file is never the start of the next.
        let base = self.end();
        let end = base + text.len() as u64 + u64::from(room);
        if end >= u64::from(u32::MAX) {
            return Err(SourcesError::TooLarge);
        }
        let id = SourceId(self.files.len() as u32);
        self.files.push(Source::new(path, text, shipped, file, base as u32));
        self.bases.push(base as u32);
        self.room = room;
        Ok(id)
    }

    /// Where the next source begins.
    fn end(&self) -> u64 {
        self.files.last().map_or(0, |last| u64::from(last.span().end) + u64::from(self.room) + 1)
    }

    /// Adds a file in parts, each with so much room behind it to grow; gives back how many sources there were before.
    ///
    /// # Errors
    /// [`SourcesError::TooLarge`] when all files together would pass 4 GiB.
    pub fn add_in_parts(
        &mut self,
        path: &Path,
        parts: impl Iterator<Item = String>,
        room: u32,
    ) -> Result<usize, SourcesError> {
        let path: Arc<Path> = path.into();
        let file = self.files.last().map_or(0, |last| last.file + 1);
        let before = self.files.len();
        for part in parts {
            let id = self.push(path.clone(), part, false, file, room)?;
            self.files[id.0 as usize].part = true;
        }
        Ok(before)
    }

    /// Puts other parts in the place of some neighbours of one file, which all keep their places in the address space as
    /// far as they can. False, with nothing done, where there is no room.
    pub fn replace_parts(&mut self, old: Range<usize>, new: Vec<String>) -> bool {
        let (Some(first), Some(last)) = (self.files.get(old.start), self.files.get(old.end.wrapping_sub(1))) else {
            return false;
        };
        let (path, file, shipped, start) = (first.path.clone(), first.file, first.shipped, u64::from(first.base));
        let end = match self.files.get(old.end) {
            Some(next) => u64::from(next.base),
            None => u64::from(last.span().end) + u64::from(self.room) + 1,
        };
        let needed: u64 = new.iter().map(|part| part.len() as u64 + 1).sum();
        let Some(free) = (end - start).checked_sub(needed) else { return false };
        // What room there is, is shared out evenly.
        let each = free / (new.len().max(1) as u64);
        let mut base = start;
        let parts: Vec<Source> = new
            .into_iter()
            .map(|text| {
                let at = base;
                base += text.len() as u64 + 1 + each;
                Source { part: true, ..Source::new(path.clone(), text, shipped, file, at as u32) }
            })
            .collect();
        if old.end == self.files.len() {
            self.room = each as u32;
        }
        self.bases.splice(old.clone(), parts.iter().map(|part| part.base));
        self.files.splice(old, parts);
        true
    }

    /// Whether two spans lie in the same file.
    pub fn same_file(&self, one: Span, other: Span) -> bool {
        self.get(self.source_of(one)).file == self.get(self.source_of(other)).file
    }

    /// One file.
    pub fn get(&self, id: SourceId) -> &Source {
        &self.files[id.0 as usize]
    }

    /// All files in order.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = (SourceId, &Source)> {
        self.files.iter().enumerate().map(|(index, file)| (SourceId(index as u32), file))
    }

    /// The files that come with the program.
    pub fn shipped(&self) -> impl Iterator<Item = SourceId> {
        self.iter().filter(|(_, file)| file.shipped).map(|(id, _)| id)
    }

    /// Whether a span lies in a file that comes with the program.
    pub fn is_shipped(&self, span: Span) -> bool {
        self.get(self.source_of(span)).shipped
    }

    /// How many files.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// The file a span lies in.
    pub fn source_of(&self, span: Span) -> SourceId {
        let after = self.bases.partition_point(|&base| base <= span.start);
        SourceId(after.saturating_sub(1) as u32)
    }

    /// The words at a span.
    pub fn slice(&self, span: Span) -> &str {
        let file = self.get(self.source_of(span));
        &file.text[(span.start - file.base) as usize..(span.end - file.base) as usize]
    }

    /// The span as byte offsets in its own file.
    pub fn local(&self, span: Span) -> Range<usize> {
        let base = self.get(self.source_of(span)).base;
        (span.start - base) as usize..(span.end - base) as usize
    }

    /// Line and column of one offset of the shared address space.
    pub fn place(&self, offset: u32) -> Place {
        let source = self.source_of(Span::new(offset, offset));
        let file = self.get(source);
        let mut offset = (offset - file.base).min(file.text.len() as u32);
        // The last byte of a text may be the middle of a character.
        while !file.text.is_char_boundary(offset as usize) {
            offset -= 1;
        }
        let starts = file.line_starts();
        let line = starts.partition_point(|&start| start <= offset) - 1;
        let (characters, utf16) = file.counts(starts[line] as usize..offset as usize);
        Place { source, line: line as u32 + 1, column: characters + 1, column_utf16: utf16 + 1, offset }
    }
}
