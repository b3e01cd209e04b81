//! Documents as files: what they are written as, by which templates, and where.

use std::collections::BTreeSet;
use std::fs::{self, Permissions};
use std::io::Write as _;
use std::path::{Path, PathBuf};

use clap::ValueEnum;

use super::Failure;
use crate::render::{Format, Templates};

/// What a document is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    Html,
    Markdown,
}

/// What documents are written as, HTML first: all forms where none is asked for.
pub(super) fn formats(forms: &[Form]) -> Vec<Format> {
    let wanted = |form| forms.is_empty() || forms.contains(&form);
    let html = wanted(Form::Html).then_some(Format::Html);
    html.into_iter().chain(wanted(Form::Markdown).then_some(Format::Markdown)).collect()
}

/// A file that is ready to be written.
pub(super) struct Page {
    pub(super) path: PathBuf,
    pub(super) text: String,
}

/// The templates that come with the program, those of a folder of the user's own in their place.
pub(super) fn templates(own: Option<&Path>) -> Result<Templates, Failure> {
    let own = match own {
        Some(folder) => read_templates(folder)?,
        None => Vec::new(),
    };
    Templates::new(own).map_err(Failure::other)
}

/// A farm's name as a folder's: letters, digits and hyphens, and different from all others.
pub(super) fn folder_name(name: &str, taken: &mut BTreeSet<String>) -> String {
    let plain: String = name
        .chars()
        .map(|letter| if letter.is_ascii_alphanumeric() { letter.to_ascii_lowercase() } else { '-' })
        .collect();
    let plain = plain.trim_matches('-');
    let plain = if plain.is_empty() { "farm" } else { plain };
    let mut folder = plain.to_string();
    let mut number = 2;
    while !taken.insert(folder.clone()) {
        folder = format!("{plain}-{number}");
        number += 1;
    }
    folder
}

/// The templates of a folder, by file name.
fn read_templates(folder: &Path) -> Result<Vec<(String, String)>, Failure> {
    let unreadable = |path: &Path, error: std::io::Error| {
        Failure::Other(format!("cannot read the templates at {}: {error}", path.display()))
    };
    let mut own = Vec::new();
    for entry in fs::read_dir(folder).map_err(|error| unreadable(folder, error))? {
        let path = entry.map_err(|error| unreadable(folder, error))?.path();
        let is_template =
            path.extension().is_some_and(|ending| ["html", "md", "css"].iter().any(|known| ending == *known));
        if is_template && path.is_file() {
            let text = fs::read_to_string(&path).map_err(|error| unreadable(&path, error))?;
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            own.push((name, text));
        }
    }
    own.sort();
    Ok(own)
}

/// Writes a file in one go: whoever reads it finds the old or the new, never half of it.
pub(super) fn write(path: &Path, text: &str) -> Result<(), Failure> {
    put(path, text, None)
}

/// Writes a file that is there already in one go; who may read and write it stays as it is.
pub(super) fn rewrite(path: &Path, text: &str) -> Result<(), Failure> {
    let known = fs::metadata(path)
        .map_err(|error| Failure::Other(format!("cannot write {}: {error}", path.display())))?
        .permissions();
    if known.readonly() {
        return Err(Failure::Other(format!("{} may not be written to", path.display())));
    }
    put(path, text, Some(known))
}

fn put(path: &Path, text: &str, permissions: Option<Permissions>) -> Result<(), Failure> {
    let failed = |error: std::io::Error| Failure::Other(format!("cannot write {}: {error}", path.display()));
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder).map_err(failed)?;
    let mut builder = tempfile::Builder::new();
    // As any new file: readable by whom the system lets read.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(folder).map_err(failed)?;
    file.write_all(text.as_bytes()).map_err(failed)?;
    if let Some(permissions) = permissions {
        file.as_file().set_permissions(permissions).map_err(failed)?;
    }
    file.persist(path).map_err(|error| failed(error.error))?;
    Ok(())
}
