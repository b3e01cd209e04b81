//! Hears of changes in the folders of the journals. What it misses (a network drive, a folder that was made a moment
//! ago) the desk sees by looking itself.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::Sender;

use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};

use super::desk::Ask;

/// A watch on folders.
pub(super) struct Watch {
    watcher: Option<RecommendedWatcher>,
    folders: BTreeSet<PathBuf>,
}

impl Watch {
    /// A watch that tells the desk. Where the system offers none, it never does.
    pub(super) fn new(asks: Sender<Ask>) -> Self {
        let tell = move |event: notify::Result<Event>| {
            let changed = match &event {
                Ok(event) => {
                    !matches!(event.kind, EventKind::Access(_)) && event.paths.iter().any(|path| matters(path))
                }
                // It lost count.
                Err(_) => true,
            };
            if changed {
                // Nobody listens once the desk is gone.
                let _ = asks.send(Ask::Changed);
            }
        };
        Self { watcher: notify::recommended_watcher(tell).ok(), folders: BTreeSet::new() }
    }

    /// Watches these folders and no others.
    pub(super) fn follow(&mut self, folders: BTreeSet<PathBuf>) {
        let Some(watcher) = &mut self.watcher else { return };
        for gone in self.folders.difference(&folders) {
            let _ = watcher.unwatch(gone);
        }
        for folder in &folders {
            // Known ones too: a folder of the same name may be another by now.
            let _ = watcher.watch(folder, RecursiveMode::NonRecursive);
        }
        self.folders = folders;
    }
}

/// Whether a change of a path can change a page: a journal, a rulebook, a folder, or what git notes at a commit. Editors
/// write much else beside the files.
fn matters(path: &Path) -> bool {
    let name = path.file_name().map(|name| name.to_string_lossy()).unwrap_or_default();
    let in_git = path.components().any(|part| part.as_os_str() == ".git");
    if in_git {
        return ["HEAD", "packed-refs"].contains(&&*name);
    }
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_ascii_lowercase());
    ending.is_none_or(|ending| ending == "spray" || ending == "toml") && !name.starts_with('.')
}
