//! A git repository as a source of commits, trees and files. Only this folder knows of the git library.

use std::cell::RefCell;
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::path::{Path, PathBuf};
use std::rc::Rc;

use chrono::{DateTime, FixedOffset};
use gix::ObjectId;
use gix::bstr::{BStr, ByteSlice as _};
use gix::objs::CommitRef;
use rustc_hash::{FxHashMap, FxHashSet};

use super::commit::Commit;
use super::silence::Silence;
use super::trees;

/// What stood in the way of reading, in the words of the git library.
#[derive(Debug)]
pub(super) struct Trouble(pub(super) String);

impl Trouble {
    /// With what lies behind the error.
    pub(super) fn new(error: impl std::error::Error) -> Self {
        let mut words = error.to_string();
        let mut behind = error.source();
        while let Some(error) = behind {
            words.push_str(": ");
            words.push_str(&error.to_string());
            behind = error.source();
        }
        // One line: some errors quote what they met.
        Self(words.split_whitespace().collect::<Vec<_>>().join(" "))
    }
}

/// A repository that some journal lies in.
pub(super) struct Repository {
    shared: gix::ThreadSafeRepository,
    /// The folder of the files that it keeps, as the file system knows it.
    pub(super) folder: PathBuf,
}

/// A commit with what is needed to look into it.
#[derive(Debug)]
pub(super) struct Node {
    pub(super) id: ObjectId,
    pub(super) tree: ObjectId,
    /// As places in the list of nodes; none where this copy leaves them out.
    pub(super) parents: Vec<usize>,
    pub(super) commit: Commit,
    /// Seconds since 1970 by the clock of who committed: what orders commits that do not follow each other.
    seconds: i64,
}

impl Repository {
    /// The repository around a folder.
    ///
    /// # Errors
    /// Why there is none, or none that can be read.
    pub(super) fn around(folder: &Path) -> Result<Self, Silence> {
        use gix::discover::upwards::Error as Upwards;
        // Neither the machine's nor the user's settings: the same repository tells the same everywhere.
        let options =
            gix::sec::trust::Mapping { full: gix::open::Options::isolated(), reduced: gix::open::Options::isolated() };
        let shared = gix::ThreadSafeRepository::discover_opts(folder, Default::default(), options);
        let shared = match shared {
            Ok(shared) => shared,
            Err(gix::discover::Error::Discover(
                Upwards::NoGitRepository { .. }
                | Upwards::NoGitRepositoryWithinCeiling { .. }
                | Upwards::NoGitRepositoryWithinFs { .. },
            )) => {
                // A `.git` that is no repository is a broken one, not none.
                let near = folder.canonicalize().unwrap_or_else(|_| folder.to_path_buf());
                let broken = near.ancestors().any(|above| above.join(".git").symlink_metadata().is_ok());
                let words = || Silence::Broken("there is a .git beside it that cannot be read".to_string());
                return Err(if broken { words() } else { Silence::NoRepository });
            }
            Err(error) => return Err(Silence::Broken(Trouble::new(error).0)),
        };
        let Some(folder) = shared.to_thread_local().workdir().map(Path::to_path_buf) else {
            return Err(Silence::NoFiles);
        };
        let folder = folder.canonicalize().unwrap_or(folder);
        Ok(Self { shared, folder })
    }

    /// What tells two repositories, or two sets of files of one, apart.
    pub(super) fn key(&self) -> (PathBuf, PathBuf) {
        (self.shared.to_thread_local().git_dir().to_path_buf(), self.folder.clone())
    }

    /// A reader for one thread.
    pub(super) fn reader(&self) -> Reader {
        Reader { repository: self.shared.to_thread_local(), blobs: RefCell::default() }
    }

    /// The commit that the files are at; nothing where there is none yet.
    pub(super) fn head(&self) -> Result<Option<ObjectId>, Trouble> {
        let repository = self.shared.to_thread_local();
        let mut head = repository.head().map_err(Trouble::new)?;
        head.try_peel_to_id().map_err(Trouble::new).map(|id| id.map(gix::Id::detach))
    }

    /// Every commit that a commit came from, and itself, oldest first: none stands before one that it follows.
    pub(super) fn commits(&self, head: ObjectId) -> Result<Vec<Node>, Trouble> {
        let repository = self.shared.to_thread_local();
        let cut_off = match repository.shallow_commits().map_err(Trouble::new)? {
            Some(list) => list.iter().copied().collect(),
            None => FxHashSet::default(),
        };
        let mut nodes: Vec<Node> = Vec::new();
        let mut parents: Vec<Vec<ObjectId>> = Vec::new();
        let mut places: FxHashMap<ObjectId, usize> = FxHashMap::default();
        let mut waiting = vec![head];
        while let Some(id) = waiting.pop() {
            if places.contains_key(&id) {
                continue;
            }
            let object = repository.find_object(id).map_err(Trouble::new)?;
            let decoded = CommitRef::from_bytes(&object.data, repository.object_hash()).map_err(Trouble::new)?;
            let (node, before) = node(id, &decoded, cut_off.contains(&id));
            places.insert(id, nodes.len());
            waiting.extend(before.iter().filter(|id| !places.contains_key(*id)));
            nodes.push(node);
            parents.push(before);
        }
        for (node, before) in nodes.iter_mut().zip(&parents) {
            node.parents = before.iter().map(|id| places[id]).collect();
        }
        Ok(oldest_first(nodes))
    }

    /// Whether git is set to pass over a file, by its path from the top of the repository.
    pub(super) fn ignores(&self, path: &Path) -> bool {
        let repository = self.shared.to_thread_local();
        let ask = || -> Option<bool> {
            let index = repository.index_or_load_from_head_or_empty().ok()?;
            let mut stack = repository.excludes(&index, None, Default::default()).ok()?;
            Some(stack.at_path(path, None).ok()?.is_excluded())
        };
        ask().unwrap_or(false)
    }
}

/// A commit as it stands, with the names of those it follows.
fn node(id: ObjectId, decoded: &CommitRef<'_>, cut_off: bool) -> (Node, Vec<ObjectId>) {
    let author = decoded.author().ok();
    let committed = decoded.committer().ok().and_then(|committer| committer.time().ok());
    let who = author.as_ref().map_or(String::new(), |author| {
        let named = |words: &BStr| words.to_str_lossy().trim().to_string();
        let name = named(author.name);
        if name.is_empty() { named(author.email) } else { name }
    });
    let before: Vec<ObjectId> = if cut_off { Vec::new() } else { decoded.parents().collect() };
    let commit = Commit {
        id: id.to_hex().to_string(),
        who,
        when: author.and_then(|author| author.time().ok()).and_then(day_and_time),
        committed: committed.and_then(day_and_time),
        parents: before.len(),
        cut_off,
    };
    let seconds = committed.map_or(0, |time| time.seconds);
    (Node { id, tree: decoded.tree(), parents: Vec::new(), commit, seconds }, before)
}

fn day_and_time(time: gix::date::Time) -> Option<DateTime<FixedOffset>> {
    let offset = FixedOffset::east_opt(time.offset)?;
    Some(DateTime::from_timestamp(time.seconds, 0)?.with_timezone(&offset))
}

/// The nodes in an order in which none stands before one that it follows; by the clock where several could come next.
fn oldest_first(nodes: Vec<Node>) -> Vec<Node> {
    let mut children: Vec<Vec<usize>> = vec![Vec::new(); nodes.len()];
    let mut open: Vec<usize> = nodes.iter().map(|node| node.parents.len()).collect();
    for (at, node) in nodes.iter().enumerate() {
        for &parent in &node.parents {
            children[parent].push(at);
        }
    }
    let key = |at: usize| Reverse((nodes[at].seconds, nodes[at].id, at));
    let mut ready: BinaryHeap<_> = (0..nodes.len()).filter(|&at| open[at] == 0).map(key).collect();
    let mut order = Vec::with_capacity(nodes.len());
    while let Some(Reverse((_, _, at))) = ready.pop() {
        order.push(at);
        for &child in &children[at] {
            open[child] -= 1;
            if open[child] == 0 {
                ready.push(key(child));
            }
        }
    }
    let mut place = vec![0; nodes.len()];
    for (to, &from) in order.iter().enumerate() {
        place[from] = to;
    }
    let mut nodes: Vec<(usize, Node)> = nodes.into_iter().enumerate().collect();
    nodes.sort_by_key(|(from, _)| place[*from]);
    let moved = |(_, mut node): (usize, Node)| {
        node.parents.iter_mut().for_each(|parent| *parent = place[*parent]);
        node
    };
    nodes.into_iter().map(moved).collect()
}

/// Reads trees and files for one thread.
pub(super) struct Reader {
    repository: gix::Repository,
    /// The files read last: what one commit made is what the next one starts from.
    blobs: RefCell<Vec<(ObjectId, Rc<[u8]>)>>,
}

/// How many files are kept at hand.
const AT_HAND: usize = 8;

impl Reader {
    /// The entries of a tree, as stored; none where there is no tree.
    pub(super) fn tree(&self, id: Option<ObjectId>) -> Result<Vec<u8>, Trouble> {
        match id {
            None => Ok(Vec::new()),
            Some(id) => Ok(self.repository.find_object(id).map_err(Trouble::new)?.detach().data),
        }
    }

    /// What a file holds; nothing where there is no file.
    pub(super) fn blob(&self, id: Option<ObjectId>) -> Result<Rc<[u8]>, Trouble> {
        let Some(id) = id else { return Ok(Rc::new([])) };
        let mut blobs = self.blobs.borrow_mut();
        if let Some(at) = blobs.iter().position(|(known, _)| *known == id) {
            return Ok(blobs[at].1.clone());
        }
        let data: Rc<[u8]> = self.repository.find_object(id).map_err(Trouble::new)?.data.as_slice().into();
        if blobs.len() == AT_HAND {
            blobs.remove(0);
        }
        blobs.push((id, data.clone()));
        Ok(data)
    }

    /// Which sort of names the repository uses.
    pub(super) fn hash_kind(&self) -> gix::hash::Kind {
        self.repository.object_hash()
    }

    /// The journal files that differ between two trees.
    pub(super) fn changes(
        &self,
        before: Option<ObjectId>,
        after: Option<ObjectId>,
    ) -> Result<Vec<trees::FileChange>, Trouble> {
        trees::changes(self, before, after)
    }
}
