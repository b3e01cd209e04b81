//! Files to sources: which `.spray` files there are, which farm they belong to, and which shared folders it uses.

use std::fmt;
use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

use ignore::WalkBuilder;

use crate::syntax::{EntryWord, FieldWord, Value, first_word, read_entry, split_entries};
use crate::text::{SourceId, Sources, Span};

/// The largest file that is read, in bytes: far above any farm's lifetime of records.
const LARGEST: u64 = 1 << 30;

/// What was read.
#[derive(Debug)]
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
}

impl fmt::Display for LoadError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LoadError::Unreadable(path, error) => write!(out, "cannot read {}: {error}", path.display()),
            LoadError::Walk(error) => write!(out, "cannot look through the folder: {error}"),
            LoadError::Nothing(path) => write!(out, "there is no .spray file in {}", path.display()),
            LoadError::TooLarge(path) => write!(out, "{} is larger than 1 GiB", path.display()),
            LoadError::AllTooLarge => write!(out, "the journals are larger together than 4 GiB"),
        }
    }
}

/// Reads the journals at some paths: files, or folders and everything under them but hidden and git-ignored files.
///
/// # Errors
/// A [`LoadError`] where a path is not there, cannot be read, or holds no journal.
pub fn load(paths: &[PathBuf]) -> Result<Loaded, LoadError> {
    let mut reader = Reader { sources: Sources::new(), known: Vec::new() };
    let mut found = Vec::new();
    for path in paths {
        let before = found.len();
        for file in files_under(path)? {
            found.push(reader.read(&file)?);
        }
        if found.len() == before {
            return Err(LoadError::Nothing(path.clone()));
        }
    }
    found.sort();
    found.dedup();
    let farms = reader.farms(&found)?;
    Ok(Loaded { sources: reader.sources, farms })
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
        if is_file && entry.path().extension().is_some_and(|ending| ending == "spray") {
            files.push(entry.into_path());
        }
    }
    files.sort();
    Ok(files)
}

struct Reader {
    sources: Sources,
    /// Each file's true path and its number, so that a file reached twice is read once.
    known: Vec<(PathBuf, SourceId)>,
}

/// A farm entry, and the folder that it makes a farm's.
struct Home {
    folder: PathBuf,
    uses: Vec<Span>,
}

impl Reader {
    fn read(&mut self, path: &Path) -> Result<SourceId, LoadError> {
        let unreadable = |error| LoadError::Unreadable(path.to_path_buf(), error);
        let real = fs::canonicalize(path).map_err(unreadable)?;
        if let Some((_, id)) = self.known.iter().find(|(known, _)| *known == real) {
            return Ok(*id);
        }
        if fs::metadata(&real).map_err(unreadable)?.len() > LARGEST {
            return Err(LoadError::TooLarge(path.to_path_buf()));
        }
        let bytes = fs::read(&real).map_err(unreadable)?;
        // Bytes that are not UTF-8 become replacement marks, which a check reports where they stand.
        let text =
            String::from_utf8(bytes).unwrap_or_else(|error| String::from_utf8_lossy(error.as_bytes()).into_owned());
        let id = self.sources.add(tidy(path), text).map_err(|_| LoadError::AllTooLarge)?;
        self.known.push((real, id));
        Ok(id)
    }

    /// Shares the files out among the farms: each belongs to the nearest folder above it that holds a `farm` entry.
    /// Without any farm, all files are one journal.
    fn farms(&mut self, files: &[SourceId]) -> Result<Vec<FarmFiles>, LoadError> {
        let homes: Vec<Home> = files.iter().filter_map(|&file| self.home(file)).collect();
        if homes.is_empty() {
            let folder = files.first().map(|&file| folder_of(self.sources.get(file).path())).unwrap_or_default();
            return Ok(vec![FarmFiles { folder, files: files.to_vec(), missing: Vec::new() }]);
        }
        let mut farms: Vec<FarmFiles> = Vec::new();
        for home in homes {
            let own: Vec<SourceId> = files
                .iter()
                .copied()
                .filter(|&file| self.nearest_home(file, files).as_deref() == Some(&home.folder))
                .collect();
            match farms.iter_mut().find(|farm| farm.folder == home.folder) {
                // A second farm in the same folder: its entry is reported, its files are already there.
                Some(farm) => self.uses(&home, farm)?,
                None => {
                    let mut farm = FarmFiles { folder: home.folder.clone(), files: own, missing: Vec::new() };
                    self.uses(&home, &mut farm)?;
                    farms.push(farm);
                }
            }
        }
        farms.sort_by(|one, other| one.folder.cmp(&other.folder));
        Ok(farms)
    }

    fn uses(&mut self, home: &Home, farm: &mut FarmFiles) -> Result<(), LoadError> {
        for &span in &home.uses {
            let folder = tidy(&home.folder.join(self.sources.slice(span)));
            if !folder.is_dir() {
                farm.missing.push(span);
                continue;
            }
            for file in files_under(&folder)? {
                let id = self.read(&file)?;
                if !farm.files.contains(&id) {
                    farm.files.push(id);
                }
            }
        }
        Ok(())
    }

    fn nearest_home(&self, file: SourceId, files: &[SourceId]) -> Option<PathBuf> {
        let folder = folder_of(self.sources.get(file).path());
        let homes =
            files.iter().filter(|&&file| self.has_farm(file)).map(|&file| folder_of(self.sources.get(file).path()));
        homes.filter(|home| folder.starts_with(home)).max_by_key(|home| home.components().count())
    }

    fn has_farm(&self, file: SourceId) -> bool {
        self.farm_entry(file).is_some()
    }

    fn farm_entry(&self, file: SourceId) -> Option<std::ops::Range<usize>> {
        let text = self.sources.get(file).text();
        split_entries(text).into_iter().find(|range| {
            let text = &text[range.clone()];
            EntryWord::named(&text[..first_word(text)]) == Some(EntryWord::Farm)
        })
    }

    fn home(&self, file: SourceId) -> Option<Home> {
        let range = self.farm_entry(file)?;
        let source = self.sources.get(file);
        let entry = read_entry(&source.text()[range.clone()], source.base() + range.start as u32);
        let uses = entry.fields.iter().filter_map(|field| match (field.word, &field.value) {
            (FieldWord::Uses, Value::Text(span)) => Some(*span),
            _ => None,
        });
        Some(Home { folder: folder_of(source.path()), uses: uses.collect() })
    }
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
