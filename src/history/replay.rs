//! Commits to events: which records each commit put in, changed and took out.

use std::collections::BTreeSet;
use std::sync::Arc;

use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};

use super::difference::{Placed, Sides};
use super::matching::matched;
use super::record::Wording;
use super::repository::{Node, Reader, Repository, Trouble};

/// The place of the files as they are now, after every commit.
pub(super) const WORKING: usize = usize::MAX;

/// A wording that occurred, by its number.
pub(super) type WordingId = u32;

/// Something that became of a record.
#[derive(Debug)]
pub(super) struct Event {
    /// Which commit, as a place in the list; [`WORKING`] for none yet.
    pub(super) commit: usize,
    /// What the record says since; nothing where it is gone.
    pub(super) now: Option<WordingId>,
    /// What it said before, in each branch that was joined; nothing where it is new.
    pub(super) before: Vec<WordingId>,
    /// The file it stands in since, or stood in last.
    pub(super) path: Arc<str>,
}

/// All that became of all records.
#[derive(Debug, Default)]
pub(super) struct Events {
    pub(super) list: Vec<Event>,
    pub(super) wordings: Vec<Arc<Wording>>,
    numbers: FxHashMap<Arc<Wording>, WordingId>,
    /// For each wording, the events that led to it, in their order.
    pub(super) leading_to: Vec<Vec<usize>>,
    /// Records taken out and not put back yet, by day and first line.
    out: FxHashMap<(Box<str>, Box<str>), Vec<WordingId>>,
    /// Wordings that became others, or went.
    pub(super) left: FxHashSet<WordingId>,
}

impl Events {
    /// The number of a wording that occurred.
    pub(super) fn number(&self, wording: &Wording) -> Option<WordingId> {
        self.numbers.get(wording).copied()
    }

    fn intern(&mut self, wording: &Wording) -> WordingId {
        if let Some(&number) = self.numbers.get(wording) {
            return number;
        }
        let number = self.wordings.len() as u32;
        let wording = Arc::new(wording.clone());
        self.wordings.push(wording.clone());
        self.numbers.insert(wording, number);
        self.leading_to.push(Vec::new());
        number
    }

    fn push(&mut self, commit: usize, now: Option<WordingId>, before: Vec<WordingId>, path: Arc<str>) {
        self.left.extend(before.iter().filter(|before| Some(**before) != now));
        if let Some(now) = now {
            self.leading_to[now as usize].push(self.list.len());
        }
        self.list.push(Event { commit, now, before, path });
    }

    /// Takes in what a commit did, seen from each commit that it follows.
    pub(super) fn apply(&mut self, commit: usize, sides: Vec<Sides>) {
        let Some(first) = sides.first() else { return };
        // New is what is in none of the branches joined, gone what was in all of them.
        let (mut added, mut gone) = (first.added.clone(), first.removed.clone());
        for other in &sides[1..] {
            retain_shared(&mut added, &other.added);
            retain_shared(&mut gone, &other.removed);
        }
        let mut before: Vec<Vec<WordingId>> = vec![Vec::new(); added.len()];
        let mut became: BTreeSet<WordingId> = BTreeSet::new();
        for side in &sides {
            let old: Vec<&Wording> = side.removed.iter().map(|placed| &placed.wording).collect();
            let new: Vec<&Wording> = side.added.iter().map(|placed| &placed.wording).collect();
            let matched = matched(&old, &new);
            let mut from = 0;
            for (at, placed) in added.iter().enumerate() {
                // What is new to all stands in every branch's list, in the same order.
                let Some(place) = new[from..].iter().position(|wording| **wording == placed.wording) else { continue };
                from += place + 1;
                let Some(old) = matched[from - 1].map(|place| old[place]) else { continue };
                let id = self.intern(old);
                became.insert(id);
                if !before[at].contains(&id) {
                    before[at].push(id);
                }
            }
        }
        for placed in gone {
            let id = self.intern(&placed.wording);
            if became.contains(&id) {
                continue;
            }
            self.out.entry(key(&placed.wording)).or_default().push(id);
            self.push(commit, None, vec![id], placed.path);
        }
        for (placed, mut before) in added.into_iter().zip(before) {
            let id = self.intern(&placed.wording);
            if before.is_empty() {
                before.extend(self.put_back(id, &placed.wording));
            }
            self.push(commit, Some(id), before, placed.path);
        }
    }

    /// What a record said that was taken out in an earlier commit and is put in again now: the same words, or else the
    /// same first line on the same day.
    fn put_back(&mut self, id: WordingId, wording: &Wording) -> Option<WordingId> {
        let out = self.out.get_mut(&key(wording))?;
        let at = out.iter().position(|known| *known == id).or_else(|| out.len().checked_sub(1))?;
        Some(out.remove(at))
    }
}

fn key(wording: &Wording) -> (Box<str>, Box<str>) {
    (wording.day.clone(), wording.head().into())
}

/// Keeps of a list what another one holds as well, as often as it does.
fn retain_shared(list: &mut Vec<Placed>, other: &[Placed]) {
    let mut there: FxHashMap<&Wording, usize> = FxHashMap::default();
    for placed in other {
        *there.entry(&placed.wording).or_default() += 1;
    }
    list.retain(|placed| match there.get_mut(&placed.wording) {
        Some(count) if *count > 0 => {
            *count -= 1;
            true
        }
        _ => false,
    });
}

/// How many commits one thread looks at in a row: what one made is what the next one starts from, so a file is mostly
/// unpacked once.
const IN_A_ROW: usize = 64;

/// Looks at every commit, in their order.
///
/// # Errors
/// A [`Trouble`] where something in the repository is missing or damaged.
pub(super) fn replay(repository: &Repository, nodes: &[Node]) -> Result<Events, Trouble> {
    let looked: Vec<Vec<Vec<Sides>>> = nodes
        .par_chunks(IN_A_ROW)
        .map_init(|| repository.reader(), |reader, chunk| chunk.iter().map(|node| sides(reader, nodes, node)).collect())
        .collect::<Result<_, Trouble>>()?;
    let mut events = Events::default();
    for (commit, sides) in looked.into_iter().flatten().enumerate() {
        events.apply(commit, sides);
    }
    Ok(events)
}

/// What a commit took out and put in, seen from each commit that it follows; nothing where it only joins what they did.
fn sides(reader: &Reader, nodes: &[Node], node: &Node) -> Result<Vec<Sides>, Trouble> {
    let before: Vec<Option<_>> = if node.parents.is_empty() {
        vec![None]
    } else {
        node.parents.iter().map(|&parent| Some(nodes[parent].tree)).collect()
    };
    let changes: Vec<_> =
        before.iter().map(|&before| reader.changes(before, Some(node.tree))).collect::<Result<_, _>>()?;
    // A file that is as in one of the branches is not this commit's own work.
    let own = changes[0].iter().any(|change| {
        changes[1..].iter().all(|others| others.binary_search_by(|other| other.path.cmp(&change.path)).is_ok())
    });
    if !own {
        return Ok(Vec::new());
    }
    let mut all = Vec::with_capacity(changes.len());
    for changes in changes {
        let mut sides = Sides::default();
        for change in changes {
            sides.add(&change.path, &reader.blob(change.before)?, &reader.blob(change.after)?);
        }
        all.push(sides.without_moves());
    }
    Ok(all)
}
