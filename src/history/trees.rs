//! Which journal files differ between two states of a folder.

use std::cmp::Ordering;
use std::sync::Arc;

use gix::ObjectId;
use gix::bstr::ByteSlice as _;
use gix::objs::TreeRef;
use gix::objs::tree::EntryRef;

use super::repository::{Reader, Trouble};

/// A journal file that differs.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct FileChange {
    /// Its path from the top of the repository.
    pub(super) path: Arc<str>,
    /// What it held; nothing where it was not there.
    pub(super) before: Option<ObjectId>,
    /// What it holds; nothing where it is gone.
    pub(super) after: Option<ObjectId>,
}

/// How deep folders are followed: far deeper than any journal lies, and far from the end of the stack.
const DEEPEST: usize = 256;

/// The journal files that differ between two trees; those of one tree where the other is nothing.
///
/// # Errors
/// A [`Trouble`] where a tree is missing or damaged.
pub(super) fn changes(
    reader: &Reader,
    before: Option<ObjectId>,
    after: Option<ObjectId>,
) -> Result<Vec<FileChange>, Trouble> {
    let mut found = Vec::new();
    compare(reader, "", 0, before, after, &mut found)?;
    found.sort();
    Ok(found)
}

fn compare(
    reader: &Reader,
    folder: &str,
    depth: usize,
    before: Option<ObjectId>,
    after: Option<ObjectId>,
    found: &mut Vec<FileChange>,
) -> Result<(), Trouble> {
    if before == after || depth > DEEPEST {
        return Ok(());
    }
    let (old, new) = (reader.tree(before)?, reader.tree(after)?);
    let kind = reader.hash_kind();
    let decode = |data| TreeRef::from_bytes(data, kind).map_err(Trouble::new);
    let (old, new) = (decode(&old)?, decode(&new)?);
    let (mut old, mut new) = (old.entries.iter().peekable(), new.entries.iter().peekable());
    loop {
        let order = match (old.peek(), new.peek()) {
            (None, None) => return Ok(()),
            (Some(_), None) => Ordering::Less,
            (None, Some(_)) => Ordering::Greater,
            (Some(old), Some(new)) => old.cmp(new),
        };
        let was = if order.is_le() { old.next() } else { None };
        let is = if order.is_ge() { new.next() } else { None };
        entry(reader, folder, depth, was, is, found)?;
    }
}

/// One name, before and after.
fn entry(
    reader: &Reader,
    folder: &str,
    depth: usize,
    was: Option<&EntryRef<'_>>,
    is: Option<&EntryRef<'_>>,
    found: &mut Vec<FileChange>,
) -> Result<(), Trouble> {
    let Some(name) = was.or(is).map(|entry| entry.filename) else { return Ok(()) };
    if let (Some(was), Some(is)) = (was, is)
        && was.oid == is.oid
        && was.mode == is.mode
    {
        return Ok(());
    }
    let inside = |wanted: fn(&EntryRef<'_>) -> bool| {
        let of = |entry: Option<&EntryRef<'_>>| entry.filter(|entry| wanted(entry)).map(|entry| entry.oid.to_owned());
        (of(was), of(is))
    };
    let path = || {
        let name = name.to_str_lossy();
        if folder.is_empty() { name.into_owned() } else { format!("{folder}/{name}") }
    };
    let (before, after) = inside(|entry| entry.mode.is_tree());
    if before.is_some() || after.is_some() {
        compare(reader, &path(), depth + 1, before, after, found)?;
    }
    let (before, after) = inside(|entry| entry.mode.is_blob());
    if before != after && is_journal(name) {
        found.push(FileChange { path: path().into(), before, after });
    }
    Ok(())
}

/// Whether a file is one of a journal, by its name.
fn is_journal(name: &[u8]) -> bool {
    let ending = b".spray";
    name.len() > ending.len() && name[name.len() - ending.len()..].eq_ignore_ascii_case(ending.as_bytes())
}
