//! Whether what was read may be another by now: for whoever stays with the files while they change.

use std::collections::BTreeSet;
use std::fs;
use std::hash::{Hash, Hasher};
use std::path::{Path, PathBuf};

use rustc_hash::FxHasher;

use super::{Loaded, files_under, folder_of, tidy};

/// A number that changes when one of the files that were read, or that would be read now, is changed, comes or goes: by
/// their names, lengths and times of writing. The contents are not read.
pub fn stamp(paths: &[PathBuf], loaded: &Loaded) -> u64 {
    let mut files = BTreeSet::new();
    let mut hasher = FxHasher::default();
    for root in roots(paths, loaded) {
        match files_under(&root) {
            Ok(found) => files.extend(found),
            // That it cannot be read is something to see, too.
            Err(error) => error.to_string().hash(&mut hasher),
        }
    }
    for folder in rulebook_folders(loaded) {
        files.insert(folder.clone());
        let entries = fs::read_dir(&folder).into_iter().flatten().flatten();
        files.extend(entries.map(|entry| entry.path()));
    }
    for file in files {
        file.hash(&mut hasher);
        let about = fs::metadata(&file).ok();
        about.map(|about| (about.len(), about.modified().ok())).hash(&mut hasher);
    }
    hasher.finish()
}

/// The folders in which something happens when a journal changes: those of its files, with the folders between them and
/// the paths that were asked for, those of its rulebooks, and where git notes commits.
pub fn watched_folders(paths: &[PathBuf], loaded: &Loaded) -> BTreeSet<PathBuf> {
    let roots = roots(paths, loaded);
    let mut folders: BTreeSet<PathBuf> = BTreeSet::new();
    for root in &roots {
        let folder = if root.is_dir() { root.clone() } else { folder_of(root) };
        folders.insert(there(&folder));
    }
    for folder in own_folders(loaded) {
        let above = folder.ancestors().take_while(|above| roots.iter().any(|root| lies_in(above, root)));
        folders.extend(above.map(there));
        folders.insert(there(&folder));
    }
    folders.extend(rulebook_folders(loaded));
    let git: Vec<PathBuf> = folders
        .iter()
        .filter_map(|folder| fs::canonicalize(folder).ok())
        .filter_map(|folder| folder.ancestors().map(|above| above.join(".git")).find(|git| git.is_dir()))
        .collect();
    for git in git {
        folders.insert(git.join("logs"));
        folders.insert(git);
    }
    folders.retain(|folder| folder.is_dir());
    folders
}

/// The paths that were asked for, and the folders outside of them that farms use or would use if they were there.
fn roots(paths: &[PathBuf], loaded: &Loaded) -> BTreeSet<PathBuf> {
    let mut roots: BTreeSet<PathBuf> = paths.iter().map(|path| tidy(path)).collect();
    let within = |folder: &Path| roots.iter().any(|root| lies_in(folder, root));
    let mut outside: Vec<PathBuf> = own_folders(loaded).into_iter().filter(|folder| !within(folder)).collect();
    for farm in &loaded.farms {
        let missing = farm.missing.iter().map(|&span| tidy(&farm.folder.join(loaded.sources.slice(span))));
        outside.extend(missing.filter(|folder| folder.exists()));
    }
    // A file that was asked for stands for itself, not for its folder.
    outside
        .retain(|folder| !paths.iter().any(|path| path.is_file() && there(&folder_of(&tidy(path))) == there(folder)));
    roots.extend(outside);
    roots
}

/// Whether a folder is a root or lies in it.
fn lies_in(folder: &Path, root: &Path) -> bool {
    folder.starts_with(root) || root == Path::new(".") && folder.is_relative() && !folder.starts_with("..")
}

/// The folders that hold files of the user's own.
fn own_folders(loaded: &Loaded) -> BTreeSet<PathBuf> {
    let own = loaded.sources.iter().filter(|(_, source)| !source.shipped());
    own.map(|(_, source)| folder_of(source.path())).collect()
}

fn rulebook_folders(loaded: &Loaded) -> BTreeSet<PathBuf> {
    let farms = loaded.farms.iter().map(|farm| farm.folder.clone());
    own_folders(loaded).into_iter().chain(farms).map(|folder| there(&folder).join("rulebooks")).collect()
}

/// The folder, where an empty path means this one.
fn there(folder: &Path) -> PathBuf {
    if folder.as_os_str().is_empty() { PathBuf::from(".") } else { folder.to_path_buf() }
}
