//! Where a repository looks for the programs that it runs of its own accord.

use std::path::{Path, PathBuf};

use super::repository::Trouble;

/// Where a hook of a journal belongs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HookPlace {
    /// The journal is in no repository with files.
    NoRepository,
    /// Where git looks for hooks of this repository alone.
    Own {
        /// The folder of the hooks.
        folder: PathBuf,
        /// The journal's folder, from the top of the repository.
        inside: PathBuf,
    },
    /// Git is set to look for hooks outside the repository, where they would serve others, too.
    Shared {
        /// The folder of the hooks.
        folder: PathBuf,
        /// The journal's folder, from the top of the repository.
        inside: PathBuf,
    },
}

/// Where a hook of the journal in a folder belongs. The folder need not be there yet.
///
/// # Errors
/// What the git library says of a repository that cannot be read.
pub fn hook_place(folder: &Path) -> Result<HookPlace, String> {
    let whole = std::path::absolute(folder).map_err(|error| Trouble::new(error).0)?;
    let Some(there) = whole.ancestors().find_map(|above| above.canonicalize().ok()) else {
        return Ok(HookPlace::NoRepository);
    };
    let ending = whole.ancestors().find(|above| above.exists()).and_then(|above| whole.strip_prefix(above).ok());
    let whole = there.join(ending.unwrap_or(Path::new("")));
    // With the user's own settings, as git itself will run: they can say where hooks are.
    let repository = match gix::discover(&there) {
        Ok(repository) => repository,
        Err(gix::discover::Error::Discover(
            gix::discover::upwards::Error::NoGitRepository { .. }
            | gix::discover::upwards::Error::NoGitRepositoryWithinCeiling { .. }
            | gix::discover::upwards::Error::NoGitRepositoryWithinFs { .. },
        )) => return Ok(HookPlace::NoRepository),
        Err(error) => return Err(Trouble::new(error).0),
    };
    let Some(top) = repository.workdir().and_then(|top| top.canonicalize().ok()) else {
        return Ok(HookPlace::NoRepository);
    };
    let inside = whole.strip_prefix(&top).map(Path::to_path_buf).unwrap_or_default();
    let set = repository.config_snapshot().trusted_path("core.hooksPath").map_err(|error| Trouble::new(error).0)?;
    let own = repository.common_dir().canonicalize().map_err(|error| Trouble::new(error).0)?;
    Ok(match set {
        None => HookPlace::Own { folder: own.join("hooks"), inside },
        // Git takes it from the top of the files.
        Some(set) => {
            let folder = top.join(set);
            if folder.starts_with(&top) || folder.starts_with(&own) {
                HookPlace::Own { folder, inside }
            } else {
                HookPlace::Shared { folder, inside }
            }
        }
    })
}
