//! Addresses of files, as clients write them, and paths.

use std::path::{Path, PathBuf};
use std::str::FromStr as _;

use lsp_types::Uri;

use crate::report::file_uri;

/// The path of an address. One that is no file's (a buffer that was never saved) is known by its own words.
pub fn path(uri: &Uri) -> PathBuf {
    let words = uri.as_str();
    let Some(rest) = words.get(..5).filter(|scheme| scheme.eq_ignore_ascii_case("file:")).map(|_| &words[5..]) else {
        return PathBuf::from(words);
    };
    // What names the computer is left out: only files of this one can be read.
    let rest = match rest.strip_prefix("//") {
        Some(rest) => rest.find('/').map_or("", |slash| &rest[slash..]),
        None => rest,
    };
    let rest = rest.split(['?', '#']).next().unwrap_or_default();
    let bytes = decoded(rest);
    let bytes = if bytes.len() > 1 { bytes.strip_suffix(b"/").unwrap_or(&bytes) } else { &bytes };
    from_bytes(bytes)
}

/// The address of a path.
pub fn uri(path: &Path) -> Option<Uri> {
    let words = if is_file(path) { file_uri(path) } else { path.to_string_lossy().into_owned() };
    Uri::from_str(&words).ok()
}

/// Whether a path can lie on the disk, rather than be the words of another address.
pub fn is_file(path: &Path) -> bool {
    path.is_absolute()
}

/// Every `%41` as the byte that it stands for.
fn decoded(words: &str) -> Vec<u8> {
    let bytes = words.as_bytes();
    let mut decoded = Vec::with_capacity(bytes.len());
    let mut at = 0;
    while at < bytes.len() {
        let byte = (bytes[at] == b'%')
            .then(|| words.get(at + 1..at + 3).and_then(|digits| u8::from_str_radix(digits, 16).ok()))
            .flatten();
        decoded.push(byte.unwrap_or(bytes[at]));
        at += if byte.is_some() { 3 } else { 1 };
    }
    decoded
}

#[cfg(unix)]
fn from_bytes(bytes: &[u8]) -> PathBuf {
    use std::os::unix::ffi::OsStrExt as _;
    PathBuf::from(std::ffi::OsStr::from_bytes(bytes))
}

/// A drive stands behind a slash that is no part of the path.
#[cfg(not(unix))]
fn from_bytes(bytes: &[u8]) -> PathBuf {
    let words = String::from_utf8_lossy(bytes);
    let drive = words.as_bytes().get(2) == Some(&b':');
    PathBuf::from(if drive { &words[1..] } else { &words })
}
