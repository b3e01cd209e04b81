//! Files to sources: which `.spray` files there are, which farm they belong to, and which shared folders it uses.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

use ignore::WalkBuilder;
use rustc_hash::{FxHashMap, FxHashSet};

use crate::journal::stock_pantry;
use crate::rulebook::{RulebookTrouble, Shelf};
use crate::syntax::{EntryWord, FieldWord, Value, first_word, read_entry, split_entries};
use crate::text::{SourceId, Sources, Span};

/// The largest file that is read, in bytes: far above any farm's lifetime of records.
const LARGEST: u64 = 1 << 30;

/// What was read.
#[derive(Debug, Default)]
pub struct Loaded {
    /// All files.
    pub sources: Sources,
    /// The farms, by folder.
    pub farms: Vec<FarmFiles>,
}

/// One farm's files.
#[derive(Debug)]
pub struct FarmFiles {
    /// The folder that holds the farm.
    pub folder: PathBuf,
    /// Its own files and those of the folders it uses.
    pub files: Vec<SourceId>,
    /// `uses` lines that name no folder.
    pub missing: Vec<Span>,
    /// The rulebooks at hand: those that come with the program, and those of its own folder and the folders it uses.
    pub shelf: Shelf,
}

/// Why the files could not be read.
#[derive(Debug)]
pub enum LoadError {
    /// A path could not be read.
    Unreadable(PathBuf, io::Error),
    /// A walk through folders failed.
    Walk(String),
    /// There is no journal there.
    Nothing(PathBuf),
    /// A file is too large.
    TooLarge(PathBuf),
    /// All files together are too large.
    AllTooLarge,
    /// A rulebook cannot be used.
    Rulebook(RulebookTrouble),
}

impl fmt::Display for LoadError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LoadError::Unreadable(path, error) => write!(out, "cannot read {}: {error}", path.display()),
            LoadError::Walk(error) => write!(out, "cannot look through the folder: {error}"),
            LoadError::Nothing(path) => write!(out, "there is no .spray file in {}", path.display()),
            LoadError::TooLarge(path) => write!(out, "{} is larger than 1 GiB", path.display()),
            LoadError::Rulebook(trouble) => write!(out, "{trouble}"),
            LoadError::AllTooLarge => write!(out, "the journals are larger together than 4 GiB"),
        }
    }
}

/// Reads the journals at some paths: files, or folders and everything under them but hidden and git-ignored files.
///
/// # Errors
/// A [`LoadError`] where a path is not there, cannot be read, or holds no journal.
pub fn load(paths: &[PathBuf]) -> Result<Loaded, LoadError> {
    load_with(paths, &Unsaved::new())
}

/// Texts that stand in the place of files: what is typed and not saved, by path. A file of it need not be there.
pub type Unsaved = BTreeMap<PathBuf, String>;

/// Reads the journals at some paths as [`load`] does, with some texts in the place of the files.
///
/// # Errors
/// As [`load`].
pub fn load_with(paths: &[PathBuf], unsaved: &Unsaved) -> Result<Loaded, LoadError> {
    let mut reader = Reader { unsaved, ..Reader::default() };
    let mut found = Vec::new();
    for path in paths {
        let before = found.len();
        let mut files = if unsaved.contains_key(path) { vec![path.clone()] } else { files_under(path)? };
        let new = unsaved.keys().filter(|file| file.starts_with(path) && is_journal(file) && !file.exists());
        files.extend(new.cloned());
        files.sort();
        files.dedup();
        for file in files {
            found.push(reader.read(&file)?);
        }
        if found.len() == before {
            return Err(LoadError::Nothing(path.clone()));
        }
    }
    found.sort();
    found.dedup();
    let farms = reader.farms(&found)?;
    stock_pantry(&mut reader.sources).map_err(|_| LoadError::AllTooLarge)?;
    Ok(Loaded { sources: reader.sources, farms })
}

/// The files of the journals at some paths, each once: files, or folders and everything under them but hidden and
/// git-ignored files.
///
/// # Errors
/// A [`LoadError`] where a path is not there or holds no journal.
pub fn journals(paths: &[PathBuf]) -> Result<Vec<PathBuf>, LoadError> {
    let mut known = FxHashSet::default();
    let mut found = Vec::new();
    for path in paths {
        let files = files_under(path)?;
        if files.is_empty() {
            return Err(LoadError::Nothing(path.clone()));
        }
        for file in files {
            let real = fs::canonicalize(&file).map_err(|error| LoadError::Unreadable(file.clone(), error))?;
            if fs::metadata(&real).map_err(|error| LoadError::Unreadable(file.clone(), error))?.len() > LARGEST {
                return Err(LoadError::TooLarge(file));
            }
            if known.insert(real) {
                found.push(tidy(&file));
            }
        }
    }
    Ok(found)
}

/// Whether a file is a journal by its name.
pub fn is_journal(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("spray"))
}

/// The `.spray` files of a path, sorted.
fn files_under(path: &Path) -> Result<Vec<PathBuf>, LoadError> {
    let kind = fs::metadata(path).map_err(|error| LoadError::Unreadable(path.to_path_buf(), error))?;
    if kind.is_file() {
        return Ok(vec![path.to_path_buf()]);
    }
    let mut files = Vec::new();
    // Links are not followed, so that a folder linked into itself ends.
    for entry in WalkBuilder::new(path).require_git(false).follow_links(false).build() {
        let entry = entry.map_err(|error| LoadError::Walk(error.to_string()))?;
        let is_file = entry.file_type().is_some_and(|kind| kind.is_file())
            || entry.path_is_symlink() && fs::metadata(entry.path()).is_ok_and(|kind| kind.is_file());
        if is_file && is_journal(entry.path()) {
            files.push(entry.into_path());
        }
    }
    files.sort();
    Ok(files)
}

static NOTHING_UNSAVED: Unsaved = Unsaved::new();

struct Reader<'u> {
    unsaved: &'u Unsaved,
    sources: Sources,
    /// The number of each file by its true path, so that a file reached twice is read once.
    known: FxHashMap<PathBuf, SourceId>,
    /// The true path of each folder by the path it is shown by: the same folder may be reached by two.
    folders: FxHashMap<PathBuf, PathBuf>,
}

impl Default for Reader<'_> {
    fn default() -> Self {
        Self {
            unsaved: &NOTHING_UNSAVED,
            sources: Sources::new(),
            known: FxHashMap::default(),
            folders: FxHashMap::default(),
        }
    }
}

/// A farm entry, and the folder that it makes a farm's.
struct Home {
    folder: PathBuf,
    uses: Vec<Span>,
}

impl Reader<'_> {
    fn read(&mut self, path: &Path) -> Result<SourceId, LoadError> {
        let unreadable = |error| LoadError::Unreadable(path.to_path_buf(), error);
        let unsaved = self.unsaved.get(path);
        let real = match fs::canonicalize(path) {
            Err(_) if unsaved.is_some() => path.to_path_buf(),
            real => real.map_err(unreadable)?,
        };
        if let Some(&id) = self.known.get(&real) {
            return Ok(id);
        }
        if let Some(text) = unsaved {
            let id = self.sources.add(tidy(path), text.clone()).map_err(|_| LoadError::AllTooLarge)?;
            self.known.insert(real, id);
            return Ok(id);
        }
        if fs::metadata(&real).map_err(unreadable)?.len() > LARGEST {
            return Err(LoadError::TooLarge(path.to_path_buf()));
        }
        let bytes = fs::read(&real).map_err(unreadable)?;
        // Bytes that are not UTF-8 become replacement marks, which a check reports where they stand.
        let text =
            String::from_utf8(bytes).unwrap_or_else(|error| String::from_utf8_lossy(error.as_bytes()).into_owned());
        let id = self.sources.add(tidy(path), text).map_err(|_| LoadError::AllTooLarge)?;
        self.known.insert(real, id);
        Ok(id)
    }

    /// Shares the files out among the farms: each belongs to the nearest folder above it that holds a `farm` entry.
    /// Files that no farm holds or uses are one journal more, so that none goes unread.
    fn farms(&mut self, files: &[SourceId]) -> Result<Vec<FarmFiles>, LoadError> {
        let homes: Vec<Home> = files.iter().filter_map(|&file| self.home(file)).collect();
        let mut farms: Vec<FarmFiles> = Vec::new();
        // Which farm a folder belongs to, by its true path: those with a `farm` entry at first, then every one asked.
        let mut farm_of: FxHashMap<PathBuf, Option<usize>> = FxHashMap::default();
        for home in &homes {
            farm_of.entry(self.real_folder(&home.folder)).or_insert_with(|| {
                farms.push(FarmFiles {
                    folder: home.folder.clone(),
                    files: Vec::new(),
                    missing: Vec::new(),
                    shelf: Shelf::default(),
                });
                Some(farms.len() - 1)
            });
        }
        for &file in files {
            let folder = self.real_folder(&folder_of(self.sources.get(file).path()));
            let nearest = folder.ancestors().find_map(|above| farm_of.get(above).copied()).flatten();
            farm_of.insert(folder, nearest);
            if let Some(farm) = nearest {
                farms[farm].files.push(file);
            }
        }
        let mut held: Vec<FxHashSet<SourceId>> =
            farms.iter().map(|farm| farm.files.iter().copied().collect()).collect();
        // A second farm in the same folder: its entry is reported, and what it uses is used.
        for home in &homes {
            if let Some(&Some(farm)) = farm_of.get(&self.real_folder(&home.folder)) {
                self.uses(home, &mut farms[farm], &mut held[farm])?;
            }
        }
        for farm in &mut farms {
            farm.shelf = shelf(farm, &self.sources)?;
        }
        farms.sort_by(|one, other| one.folder.cmp(&other.folder));
        let held: FxHashSet<SourceId> = held.into_iter().flatten().collect();
        let rest: Vec<SourceId> = files.iter().copied().filter(|file| !held.contains(file)).collect();
        if let Some(&first) = rest.first() {
            let folder = folder_of(self.sources.get(first).path());
            farms.push(FarmFiles { folder, files: rest, missing: Vec::new(), shelf: Shelf::default() });
        }
        Ok(farms)
    }

    fn uses(&mut self, home: &Home, farm: &mut FarmFiles, held: &mut FxHashSet<SourceId>) -> Result<(), LoadError> {
        for &span in &home.uses {
            let folder = tidy(&home.folder.join(self.sources.slice(span)));
            if !folder.is_dir() {
                farm.missing.push(span);
                continue;
            }
            for file in files_under(&folder)? {
                let id = self.read(&file)?;
                if held.insert(id) {
                    farm.files.push(id);
                }
            }
        }
        Ok(())
    }

    /// The true path of a folder; the path itself where there is none to be had.
    fn real_folder(&mut self, folder: &Path) -> PathBuf {
        if let Some(real) = self.folders.get(folder) {
            return real.clone();
        }
        let there = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        let real = fs::canonicalize(there).unwrap_or_else(|_| folder.to_path_buf());
        self.folders.insert(folder.to_path_buf(), real.clone());
        real
    }

    fn home(&self, file: SourceId) -> Option<Home> {
        let source = self.sources.get(file);
        let text = source.text();
        let range = split_entries(text).into_iter().find(|range| {
            let text = &text[range.clone()];
            EntryWord::named(&text[..first_word(text)]) == Some(EntryWord::Farm)
        })?;
        let entry = read_entry(&text[range.clone()], source.base() + range.start as u32);
        let uses = entry.fields.iter().filter_map(|field| match (field.word, &field.value) {
            (FieldWord::Uses, Value::Text(span)) => Some(*span),
            _ => None,
        });
        Some(Home { folder: folder_of(source.path()), uses: uses.collect() })
    }
}

/// The rulebooks of a farm's own: the `.toml` files of each folder called `rulebooks` that lies in its folder or beside
/// a file that it uses.
fn shelf(farm: &FarmFiles, sources: &Sources) -> Result<Shelf, LoadError> {
    let beside = farm.files.iter().map(|&file| folder_of(sources.get(file).path()));
    let folders: BTreeSet<PathBuf> =
        beside.chain([farm.folder.clone()]).map(|folder| folder.join("rulebooks")).collect();
    let mut files = Vec::new();
    for folder in folders.iter().filter(|folder| folder.is_dir()) {
        let unreadable = |error| LoadError::Unreadable(folder.clone(), error);
        let mut paths: Vec<PathBuf> = Vec::new();
        for entry in fs::read_dir(folder).map_err(unreadable)? {
            paths.push(entry.map_err(unreadable)?.path());
        }
        paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml") && path.is_file());
        paths.sort();
        for path in paths {
            let text = fs::read_to_string(&path).map_err(|error| LoadError::Unreadable(path.clone(), error))?;
            files.push((path.display().to_string(), text));
        }
    }
    Shelf::new(&files).map_err(LoadError::Rulebook)
}

fn folder_of(path: &Path) -> PathBuf {
    path.parent().map(Path::to_path_buf).unwrap_or_default()
}

/// The path without `.` and with `..` taken back, as far as the words alone allow.
fn tidy(path: &Path) -> PathBuf {
    let mut tidy = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if matches!(tidy.components().next_back(), Some(Component::Normal(_))) => {
                tidy.pop();
            }
            part => tidy.push(part),
        }
    }
    if tidy.as_os_str().is_empty() { PathBuf::from(".") } else { tidy }
}
