//! The files as they are now, against the latest commit; and from both, each farm's history.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use gix::ObjectId;
use rustc_hash::{FxHashMap, FxHashSet};

use super::commit::Commit;
use super::difference::Sides;
use super::record::records;
use super::replay::{Events, WORKING, WordingId, replay};
use super::repository::{Reader, Repository, Trouble};
use super::silence::{Gap, GapKind, Silence};
use super::trail::{Gone, Kin, Removed, Tracer};
use super::{Counting, FarmScope, Head, History};
use crate::text::{SourceId, Sources};

/// Reads the histories of some farms, in their order.
pub(super) fn read(sources: &Sources, farms: &[FarmScope<'_>]) -> Vec<History> {
    let mut histories: Vec<History> = vec![History::silent(Silence::LeftOut); farms.len()];
    // The farms of each repository.
    let mut groups: BTreeMap<(PathBuf, PathBuf), (Repository, Vec<usize>)> = BTreeMap::new();
    for (at, farm) in farms.iter().enumerate().filter(|(_, farm)| farm.counting != Counting::Nothing) {
        match Repository::around(&real(farm.folder)) {
            Ok(repository) => groups.entry(repository.key()).or_insert((repository, Vec::new())).1.push(at),
            Err(silence) => histories[at] = History::silent(silence),
        }
    }
    for (repository, members) in groups.into_values() {
        let group: Vec<FarmScope<'_>> = members.iter().map(|&at| farms[at]).collect();
        let read = of_repository(sources, &repository, &group);
        let read = read.unwrap_or_else(|silence| vec![History::silent(silence); group.len()]);
        for (at, history) in members.into_iter().zip(read) {
            histories[at] = history;
        }
    }
    histories
}

/// A folder as the file system knows it; an empty path is the one that the program runs in.
fn real(folder: &Path) -> PathBuf {
    let there = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    there.canonicalize().unwrap_or_else(|_| there.to_path_buf())
}

/// A path as git writes it.
fn as_git(path: &Path) -> Arc<str> {
    let parts: Vec<_> = path.components().map(|part| part.as_os_str().to_string_lossy()).collect();
    parts.join("/").into()
}

fn of_repository(sources: &Sources, repository: &Repository, farms: &[FarmScope<'_>]) -> Result<Vec<History>, Silence> {
    let broken = |trouble: Trouble| Silence::Broken(trouble.0);
    let head = repository.head().map_err(broken)?.ok_or(Silence::NoCommits)?;
    let nodes = repository.commits(head).map_err(broken)?;
    let events = replay(repository, &nodes).map_err(broken)?;
    // The order ends with the commit that all others lead to.
    let tree = nodes.last().map(|node| node.tree);
    let commits: Arc<[Commit]> = nodes.into_iter().map(|node| node.commit).collect();
    let mut now = Now::new(sources, repository, farms, tree).map_err(broken)?;
    let mut read = Read { events, commits, present: FxHashSet::default() };
    read.events.apply(WORKING, vec![std::mem::take(&mut now.sides).without_moves()]);
    if read.may_be_lost() {
        read.present = now.present(sources, &read.events).map_err(broken)?;
    }
    let lost = read.lost();
    Ok(farms.iter().map(|farm| read.history(sources, repository, &now, farm, farms, &lost)).collect())
}

/// The files as they are now.
struct Now {
    reader: Reader,
    /// The journal files of the latest commit.
    committed: BTreeMap<Arc<str>, ObjectId>,
    /// Files that were read, by their paths from the top of the repository.
    read: BTreeMap<Arc<str>, SourceId>,
    paths: FxHashMap<SourceId, Arc<str>>,
    gaps: FxHashMap<SourceId, GapKind>,
    /// Files that differ from the latest commit, files that are gone among them.
    differ: FxHashSet<Arc<str>>,
    gone: FxHashSet<Arc<str>>,
    sides: Sides,
}

impl Now {
    fn new(
        sources: &Sources,
        repository: &Repository,
        farms: &[FarmScope<'_>],
        tree: Option<ObjectId>,
    ) -> Result<Self, Trouble> {
        let reader = repository.reader();
        let committed = reader.changes(None, tree)?;
        let committed = committed.into_iter().filter_map(|file| Some((file.path, file.after?))).collect();
        let mut now = Self {
            reader,
            committed,
            read: BTreeMap::new(),
            paths: FxHashMap::default(),
            gaps: FxHashMap::default(),
            differ: FxHashSet::default(),
            gone: FxHashSet::default(),
            sides: Sides::default(),
        };
        for source in farms.iter().flat_map(|farm| farm.files.iter().copied()) {
            now.place(sources, repository, source);
        }
        for (path, &source) in &now.read {
            let before = now.reader.blob(now.committed.get(path).copied())?;
            let after = sources.get(source).text().as_bytes();
            if !same_but_line_ends(&before, after) {
                now.differ.insert(path.clone());
            }
            now.sides.add(path, &before, after);
        }
        for (path, &blob) in now.committed.iter().filter(|(path, _)| !now.read.contains_key(*path)) {
            // What was not asked for is as committed, unless it is not there at all.
            if !repository.folder.join(&**path).exists() {
                now.differ.insert(path.clone());
                now.gone.insert(path.clone());
                now.sides.add(path, &now.reader.blob(Some(blob))?, &[]);
            }
        }
        Ok(now)
    }

    /// Finds out where a file lies in the repository.
    fn place(&mut self, sources: &Sources, repository: &Repository, source: SourceId) {
        if self.paths.contains_key(&source) || self.gaps.contains_key(&source) {
            return;
        }
        let file = real(sources.get(source).path());
        let Ok(inside) = file.strip_prefix(&repository.folder) else {
            self.gaps.insert(source, GapKind::Elsewhere);
            return;
        };
        let path = as_git(inside);
        if !self.committed.contains_key(&path) {
            // It may lie in a repository of its own that lies in this one.
            let around = Repository::around(file.parent().unwrap_or(&file));
            if around.is_ok_and(|around| around.key() != repository.key()) {
                self.gaps.insert(source, GapKind::Elsewhere);
                return;
            }
            let kind = if repository.ignores(inside) { GapKind::Ignored } else { GapKind::NotCommitted };
            self.gaps.insert(source, kind);
        }
        self.read.insert(path.clone(), source);
        self.paths.insert(source, path);
    }

    /// Every record of the repository's journal files as they are now.
    fn present(&self, sources: &Sources, events: &Events) -> Result<FxHashSet<WordingId>, Trouble> {
        let mut present = FxHashSet::default();
        let mut take = |text: &str| {
            present.extend(records(text, None).iter().filter_map(|(_, wording)| events.number(wording)));
        };
        for &source in self.read.values() {
            take(sources.get(source).text());
        }
        for (path, &blob) in &self.committed {
            if !self.read.contains_key(path) && !self.gone.contains(path) {
                take(&String::from_utf8_lossy(&self.reader.blob(Some(blob))?));
            }
        }
        Ok(present)
    }
}

/// Whether two texts are the same but for carriage returns, which git adds and takes on some systems.
fn same_but_line_ends(one: &[u8], other: &[u8]) -> bool {
    let plain = |text: &'_ [u8]| text.iter().copied().filter(|byte| *byte != b'\r').collect::<Vec<u8>>();
    one == other || plain(one) == plain(other)
}

/// A repository, read.
struct Read {
    events: Events,
    commits: Arc<[Commit]>,
    /// Wordings that stand in the files now; empty unless some record may be lost.
    present: FxHashSet<WordingId>,
}

/// A record that is in no file any more: the event it was last met in.
struct Lost {
    event: usize,
    wording: WordingId,
    how: Gone,
}

impl Read {
    fn may_be_lost(&self) -> bool {
        self.events.list.iter().any(|event| event.now.is_none()) || self.commits.iter().any(|commit| commit.parents > 1)
    }

    /// Records of which no wording stands anywhere now, in the order in which they went.
    fn lost(&self) -> Vec<Lost> {
        if !self.may_be_lost() {
            return Vec::new();
        }
        let mut kin = Kin::new(&self.events);
        let live: FxHashSet<WordingId> = self.present.iter().map(|&id| kin.head(id)).collect();
        // The last that is known of each lost record.
        let mut last: BTreeMap<WordingId, Lost> = BTreeMap::new();
        for (event, known) in self.events.list.iter().enumerate() {
            let Some(wording) = known.now.or_else(|| known.before.first().copied()) else { continue };
            let record = kin.head(wording);
            if live.contains(&record) {
                continue;
            }
            let how = match (known.now, known.commit) {
                (None, WORKING) => Gone::NotCommitted,
                (None, commit) => Gone::In(commit),
                // Unless some later event takes it out.
                (Some(_), _) => Gone::Joining,
            };
            if known.now.is_none() || !matches!(last.get(&record), Some(Lost { how: Gone::In(_), .. })) {
                last.insert(record, Lost { event, wording, how });
            }
        }
        let mut lost: Vec<Lost> = last.into_values().collect();
        lost.sort_by_key(|lost| lost.event);
        lost
    }

    fn history(
        &self,
        sources: &Sources,
        repository: &Repository,
        now: &Now,
        farm: &FarmScope<'_>,
        farms: &[FarmScope<'_>],
        lost: &[Lost],
    ) -> History {
        let tracer = Tracer { events: &self.events, commits: &self.commits, counting: farm.counting };
        let own: Vec<(SourceId, &Arc<str>)> =
            farm.files.iter().filter_map(|&file| Some((file, now.paths.get(&file)?))).collect();
        let mut trails = Vec::new();
        for &(file, path) in &own {
            let source = sources.get(file);
            for (start, wording) in records(source.text(), None) {
                let trail = self.events.number(&wording).and_then(|id| tracer.trail(id, path));
                trails.extend(trail.map(|trail| (source.base() + start as u32, trail)));
            }
        }
        trails.sort_by_key(|(start, _)| *start);
        let committed = |trail: &super::Trail| trail.entered != super::Entered::NotCommitted;
        let known = own.iter().any(|(_, path)| now.committed.contains_key(*path))
            || trails.iter().any(|(_, trail)| committed(trail));
        if !known {
            let ignored = farm.files.iter().all(|file| now.gaps.get(file) == Some(&GapKind::Ignored));
            return History::silent(Silence::NotTracked { ignored });
        }
        let holds = |path: &Arc<str>| {
            own.iter().any(|(_, known)| *known == path) || nearest(repository, farms, path) == Some(real(farm.folder))
        };
        let removed = lost.iter().map(|lost| (lost, &self.events.list[lost.event]));
        let removed =
            removed.filter(|(_, event)| tracer.counts(event.commit) && holds(&event.path)).map(|(lost, event)| {
                let wording = self.events.wordings[lost.wording as usize].clone();
                Removed { wording, path: event.path.clone(), how: lost.how }
            });
        let mut gaps: Vec<Gap> =
            farm.files.iter().filter_map(|&source| Some(Gap { source, kind: *now.gaps.get(&source)? })).collect();
        gaps.sort();
        let uncommitted = own.iter().any(|(_, path)| now.differ.contains(*path)) || now.gone.iter().any(holds);
        History {
            silence: None,
            head: Some(Head { commit: self.commits.len() - 1, uncommitted }),
            trails,
            removed: removed.collect(),
            gaps,
            shallow: self.commits.iter().any(|commit| commit.cut_off),
            commits: self.commits.clone(),
            counting: farm.counting,
        }
    }
}

/// The folder of the farm that a path of the repository lies in: the innermost one.
fn nearest(repository: &Repository, farms: &[FarmScope<'_>], path: &str) -> Option<PathBuf> {
    let path = repository.folder.join(path);
    let around = farms.iter().map(|farm| real(farm.folder)).filter(|folder| path.starts_with(folder));
    around.max_by_key(|folder| folder.components().count())
}
