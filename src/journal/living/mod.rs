//! A journal that follows its text: every entry is a source of its own, and where one changes, that one is read again
//! and takes its records' places. What was read from the others stays, spans included.
//!
//! Entries that declare names are what others were read by. Where one changes in more than what stands under its first
//! line, everything is read again.

mod reread;

use std::ops::Range;
use std::path::{Path, PathBuf};

use super::compile::{Sort, compile_all, declares, sort_of};
use super::lower::Shape;
use super::names::Names;
use super::pantry;
use super::*;
use crate::syntax::{EntryWord, FieldWord, first_word, split_entries, split_stretch};
use crate::text::{SourceId, Sources, SourcesError, Span};

/// Room behind each entry for what is typed into it, in bytes: enough for a whole entry more.
const ROOM: u32 = 2048;

/// One file, as the run of its entries among the sources.
#[derive(Debug)]
struct File {
    path: PathBuf,
    /// The bytes before the first entry: a byte-order mark, or none.
    before: usize,
    /// Its entries' places among the sources.
    parts: Range<usize>,
    /// Where each entry begins in the file, in bytes.
    starts: Vec<u32>,
}

/// A journal with the texts that it is read from.
#[derive(Debug)]
pub struct Living {
    sources: Sources,
    files: Vec<File>,
    /// What each source of the files is, by its first word.
    sorts: Vec<Sort>,
    journal: Journal,
    names: Names,
    shapes: Vec<Shape>,
    pantry: bool,
}

/// How much an edit made to be read again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reread {
    /// Entries that say what was done.
    Entries {
        /// Those in this stretch of the address space.
        stretch: Span,
        /// The blocks that sprays, observations, work and picks among them were and are about.
        blocks: Vec<BlockId>,
        /// What they were and are.
        kinds: Vec<EntryWord>,
        /// Whether there was or is something besides that may be of any kind: a page, an entry whose first line cannot be
        /// read.
        unclear: bool,
    },
    /// An entry that says what is so.
    Standing(Changed),
    /// Everything.
    All,
    /// Everything; and which folders belong to the farm may have changed.
    Folders,
}

/// An entry that says what is so, and changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Changed {
    /// Its kind.
    pub kind: EntryWord,
    /// What it declares, where sprays name it.
    pub what: Option<Declared>,
}

/// What a spray can name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Declared {
    /// A block.
    Block(BlockId),
    /// A material.
    Material(MaterialId),
    /// A mix.
    Mix(MixId),
    /// A person.
    Person(PersonId),
    /// A sprayer.
    Rig(RigId),
    /// A water.
    Water(WaterId),
}

impl Living {
    /// Reads the files of a farm. Without the pantry's: they are added.
    ///
    /// # Errors
    /// [`SourcesError::TooLarge`] where the texts with their room are larger than a run can hold.
    pub fn new(files: impl IntoIterator<Item = (PathBuf, String)>) -> Result<Self, SourcesError> {
        let files = files.into_iter().map(|(path, text)| (path, split_entries(&text), text));
        let texts = files.map(|(path, cuts, text)| {
            let before = cuts.first().map_or(text.len(), |first| first.start);
            // An empty file is one part with nothing in it: somebody is about to write there.
            let parts = match cuts.as_slice() {
                [] => vec![String::new()],
                cuts => cuts.iter().map(|cut| text[cut.clone()].to_string()).collect(),
            };
            (path, before, parts)
        });
        Self::of_parts(texts.collect())
    }

    fn of_parts(texts: Vec<(PathBuf, usize, Vec<String>)>) -> Result<Self, SourcesError> {
        let mut sources = Sources::new();
        let mut files = Vec::with_capacity(texts.len());
        let mut sorts = Vec::new();
        for (path, before, parts) in texts {
            sorts.extend(parts.iter().map(|part| sort_of(part)));
            let mut start = before as u32;
            let starts = parts.iter().map(|part| {
                let at = start;
                start += part.len() as u32;
                at
            });
            let starts = starts.collect();
            let count = parts.len();
            let first = sources.add_in_parts(&path, parts.into_iter(), ROOM)?;
            files.push(File { path, before, parts: first..first + count, starts });
        }
        stock_pantry(&mut sources)?;
        let mut living = Self {
            sources,
            files,
            sorts,
            journal: Journal::default(),
            names: Names::default(),
            shapes: Vec::new(),
            pantry: false,
        };
        living.read_all();
        Ok(living)
    }

    /// The journal.
    pub fn journal(&self) -> &Journal {
        &self.journal
    }

    /// Adds what only whoever read the folders can know. It is lost where everything is read again.
    pub fn add_troubles(&mut self, troubles: impl IntoIterator<Item = Trouble>) {
        self.journal.troubles.extend(troubles);
    }

    /// Its text, an entry a source.
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// The files.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        self.files.iter().map(|file| file.path.as_path())
    }

    /// Where a span stands: a file and bytes in it; `None` for what comes with the program.
    pub fn locate(&self, span: Span) -> Option<(&Path, Range<usize>)> {
        let at = self.sources.source_of(span).0 as usize;
        let file = &self.files[self.files.partition_point(|file| file.parts.end <= at)..];
        let file = file.first().filter(|file| file.parts.contains(&at))?;
        let start = file.starts[at - file.parts.start] as usize;
        let local = self.sources.local(span);
        Some((&file.path, start + local.start..start + local.end))
    }

    /// A byte of a file in the address space of the spans. The end of an entry that another follows is the other's start.
    pub fn address(&self, path: &Path, offset: usize) -> Option<u32> {
        let file = self.file(path)?;
        let at = file.starts.partition_point(|&start| start as usize <= offset).checked_sub(1)?;
        let source = self.sources.get(SourceId((file.parts.start + at) as u32));
        let local = offset - file.starts[at] as usize;
        (local <= source.text().len()).then(|| source.base() + local as u32)
    }

    /// The entries of a file, each with its bytes and its source.
    pub fn entries(&self, path: &Path) -> impl ExactSizeIterator<Item = (Range<usize>, SourceId)> + use<'_> {
        let (parts, starts) = match self.file(path) {
            Some(file) => (file.parts.clone(), file.starts.as_slice()),
            None => (0..0, [].as_slice()),
        };
        parts.zip(starts).map(|(part, &start)| {
            let id = SourceId(part as u32);
            (start as usize..start as usize + self.sources.get(id).text().len(), id)
        })
    }

    /// Whether a file is read as it says now.
    pub fn says(&self, path: &Path, text: &str) -> bool {
        let Some(file) = self.file(path) else { return false };
        let mut end = file.before;
        let as_read = self.entries(path).all(|(range, id)| {
            end = range.end;
            text.get(range) == Some(self.sources.get(id).text())
        });
        as_read && end == text.len()
    }

    fn file(&self, path: &Path) -> Option<&File> {
        self.files.iter().find(|file| file.path == path)
    }

    /// The sources of the files.
    fn ids(&self) -> Vec<SourceId> {
        (0..self.sorts.len()).map(|at| SourceId(at as u32)).collect()
    }

    fn read_all(&mut self) {
        let ids = self.ids();
        (self.journal, self.names, self.shapes) = compile_all(&self.sources, &ids);
        // A farm whose first line cannot be read may ask for it all the same.
        let farms = self.sorts.iter().enumerate().filter(|(_, sort)| **sort == Sort::Entry(Some(EntryWord::Farm)));
        let text = |part: usize| self.sources.get(SourceId(part as u32)).text();
        self.pantry =
            farms.map(|(part, _)| text(part)).any(|farm| farm.lines().any(|line| begins_with(line, FieldWord::Pantry)));
    }

    /// Puts words in the place of a range of a file's bytes. `None`, with nothing done, where the range is none of the
    /// file's, touches its byte-order mark, or leaves nothing of it: then the whole file must be read anew.
    pub fn edit(&mut self, path: &Path, range: Range<usize>, with: &str) -> Option<Reread> {
        let number = self.files.iter().position(|file| file.path == path)?;
        let file = &self.files[number];
        if range.start < file.before || range.start > range.end || file.starts.is_empty() {
            return None;
        }
        // What touches the edit may be joined to it or cut from it.
        let first = file.starts.partition_point(|&start| (start as usize) < range.start).saturating_sub(1);
        let last = file.starts.partition_point(|&start| start as usize <= range.end) - 1;
        let base = file.starts[first] as usize;
        let parts = file.parts.start + first..file.parts.start + last + 1;
        let mut text = String::new();
        parts.clone().for_each(|part| text.push_str(self.sources.get(SourceId(part as u32)).text()));
        let (start, end) = (range.start - base, range.end - base);
        if end > text.len() || !text.is_char_boundary(start) || !text.is_char_boundary(end) {
            return None;
        }
        text.replace_range(start..end, with);
        let cuts = split_stretch(&text);
        let begins_with_mark = first == 0 && file.before == 0 && text.starts_with('\u{feff}');
        if cuts.is_empty() || begins_with_mark {
            return None;
        }
        let new: Vec<&str> = cuts.into_iter().map(|cut| &text[cut]).collect();
        Some(self.replace(number, parts, &new))
    }

    /// Puts entries in the place of neighbours of a file, those that stay as they are left alone.
    fn replace(&mut self, number: usize, mut old: Range<usize>, mut new: &[&str]) -> Reread {
        let text = |part: usize| self.sources.get(SourceId(part as u32)).text();
        while let [first, rest @ ..] = new
            && !old.is_empty()
            && text(old.start) == *first
        {
            (old.start, new) = (old.start + 1, rest);
        }
        while let [rest @ .., last] = new
            && !old.is_empty()
            && text(old.end - 1) == *last
        {
            (old.end, new) = (old.end - 1, rest);
        }
        if old.is_empty() && new.is_empty() {
            let (blocks, kinds) = (Vec::new(), Vec::new());
            return Reread::Entries { stretch: Span::default(), blocks, kinds, unclear: false };
        }
        // New entries between others: the one before gives of its room, and is read again.
        let mut joined: Vec<String> = new.iter().map(|part| part.to_string()).collect();
        if old.is_empty() {
            let parts = &self.files[number].parts;
            if old.start > parts.start {
                old.start -= 1;
                joined.insert(0, text(old.start).to_string());
            } else {
                joined.push(text(old.end).to_string());
                old.end += 1;
            }
        }
        let new_sorts: Vec<Sort> = joined.iter().map(|part| sort_of(part)).collect();
        let plan = self.plan(number, &old, &joined, &new_sorts);
        let folders = old.clone().map(text).flat_map(home_lines).ne(joined.iter().flat_map(|part| home_lines(part)));
        let count = joined.len();
        let roomy = self.sources.replace_parts(old.clone(), joined.clone());
        if !roomy {
            self.respace(old, joined, number);
            return if folders { Reread::Folders } else { Reread::All };
        }
        self.moved(number, &old, count);
        self.sorts.splice(old.clone(), new_sorts);
        let fresh = old.start..old.start + count;
        let done = match plan {
            Plan::All => {
                self.read_all();
                return if folders { Reread::Folders } else { Reread::All };
            }
            Plan::Standing => self.reread_standing(number, fresh.start),
            Plan::Entries { paged, kinds, unclear } => {
                let (stretch, blocks) = self.reread(number, fresh, paged);
                Some(Reread::Entries { stretch, blocks, kinds, unclear })
            }
        };
        done.unwrap_or_else(|| {
            self.read_all();
            Reread::All
        })
    }

    /// What must be read again, before anything is replaced.
    fn plan(&self, number: usize, old: &Range<usize>, new: &[String], new_sorts: &[Sort]) -> Plan {
        let old_sorts = &self.sorts[old.clone()];
        let names = |sort: &Sort| matches!(sort, Sort::Entry(kind) if declares(*kind));
        if old_sorts.iter().chain(new_sorts).any(names) {
            let (&[was], &[is], [text]) = (old_sorts, new_sorts, new) else { return Plan::All };
            let before = self.sources.get(SourceId(old.start as u32)).text();
            let head = |text: &str| text.split('\n').next().map(str::to_string);
            let movable = |kind| !matches!(kind, EntryWord::Farm | EntryWord::Brew);
            let under =
                was == is && matches!(is, Sort::Entry(Some(kind)) if movable(kind)) && head(before) == head(text);
            return if under && self.same_pantry(old, new) { Plan::Standing } else { Plan::All };
        }
        if !self.same_pantry(old, new) {
            return Plan::All;
        }
        // A page that changes moves what stands under it, batches included, and those declare names.
        let paged = old_sorts.iter().chain(new_sorts).any(|sort| *sort == Sort::Page);
        let under = if paged { self.until_next_page(number, old.end) } else { old.end };
        let all_old = &self.sorts[old.start..under];
        if all_old.contains(&Sort::Entry(Some(EntryWord::Brew))) {
            return Plan::All;
        }
        let kind = |sort: &Sort| match *sort {
            Sort::Entry(kind) => kind,
            Sort::Page => None,
        };
        let all = || all_old.iter().chain(new_sorts).map(kind);
        Plan::Entries { paged, kinds: all().flatten().collect(), unclear: all().any(|kind| kind.is_none()) }
    }

    /// Whether entries use the same materials of the pantry as those that they stand in the place of.
    fn same_pantry(&self, old: &Range<usize>, new: &[String]) -> bool {
        if !self.pantry {
            return true;
        }
        let before = old.clone().map(|part| self.sources.get(SourceId(part as u32)).text());
        let places = |texts: Vec<(&str, Span)>| texts.into_iter().map(|(_, place)| place).collect::<Vec<_>>();
        let was = places(pantry::used(&self.sources, before));
        was == places(pantry::used(&self.sources, new.iter().map(String::as_str)))
    }

    /// The first source behind a place that is a page's, or the end of the file.
    fn until_next_page(&self, number: usize, from: usize) -> usize {
        let end = self.files[number].parts.end;
        (from..end).find(|&part| self.sorts[part] == Sort::Page).unwrap_or(end)
    }

    /// Counts the places of the files anew after some parts of one gave way to others.
    fn moved(&mut self, number: usize, old: &Range<usize>, count: usize) {
        let file = &mut self.files[number];
        let at = old.start - file.parts.start;
        let more = count as i64 - old.len() as i64;
        let shift = |place: usize| (place as i64 + more) as usize;
        let after = file.starts.get(at + old.len()).copied();
        let mut start = file.starts.get(at).copied().unwrap_or(file.before as u32);
        let fresh: Vec<u32> = (old.start..old.start + count)
            .map(|part| {
                let here = start;
                start += self.sources.get(SourceId(part as u32)).text().len() as u32;
                here
            })
            .collect();
        file.starts.splice(at..at + old.len(), fresh);
        if let Some(after) = after {
            let longer = i64::from(start) - i64::from(after);
            for later in &mut file.starts[at + count..] {
                *later = (i64::from(*later) + longer) as u32;
            }
        }
        file.parts.end = shift(file.parts.end);
        for file in &mut self.files[number + 1..] {
            file.parts = shift(file.parts.start)..shift(file.parts.end);
        }
    }

    /// Lays all entries out with fresh room, some in the place of others, and reads everything.
    fn respace(&mut self, old: Range<usize>, new: Vec<String>, number: usize) {
        let text = |part: usize| self.sources.get(SourceId(part as u32)).text().to_string();
        let texts = self.files.iter().enumerate().map(|(at, file)| {
            let parts: Vec<String> = if at == number {
                let before = (file.parts.start..old.start).map(text);
                before.chain(new.iter().cloned()).chain((old.end..file.parts.end).map(text)).collect()
            } else {
                file.parts.clone().map(text).collect()
            };
            (file.path.clone(), file.before, parts)
        });
        // Where even that is too large, the old state stays: an editor holds no such journal.
        if let Ok(living) = Self::of_parts(texts.collect()) {
            *self = living;
        }
    }
}

/// The lines of an entry by which a folder becomes a farm's, or belongs to one.
fn home_lines(entry: &str) -> impl Iterator<Item = &str> {
    let first = |line: &str, word: EntryWord| EntryWord::named(&line[..first_word(line)]) == Some(word);
    let farm = first(entry, EntryWord::Farm);
    // Those that may name a shared folder.
    let home = move |at: usize, line: &str| farm && (at == 0 || begins_with(line, FieldWord::Uses));
    entry.lines().enumerate().filter(move |(at, line)| home(*at, line)).map(|(_, line)| line)
}

/// Whether a line begins with a field's word.
fn begins_with(line: &str, word: FieldWord) -> bool {
    let line = line.trim_start();
    FieldWord::named(&line[..first_word(line)]) == Some(word)
}

/// What an edit asks to be read again.
enum Plan {
    /// Those that changed.
    Entries {
        /// With all that stands under their page: one came, changed or went.
        paged: bool,
        /// What they were and are.
        kinds: Vec<EntryWord>,
        /// Whether some may be of any kind.
        unclear: bool,
    },
    Standing,
    All,
}
