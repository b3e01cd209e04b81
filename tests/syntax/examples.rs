//! The journals of `journal-examples/`, for tests that read all of them.

use std::fs;
use std::path::{Path, PathBuf};

/// A folder of the repository.
pub fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// Every file under a folder whose name ends so, sorted.
pub fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|found| found == ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// The texts of the journals under a folder of the examples.
pub fn journals(name: &str) -> Vec<String> {
    let texts: Vec<String> = files(&folder("journal-examples").join(name), "spray")
        .iter()
        .map(|path| fs::read_to_string(path).unwrap())
        .collect();
    assert!(!texts.is_empty(), "there are journals in {name}");
    texts
}
