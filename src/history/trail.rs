//! Events to trails: from what a record says now back to when it was entered.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::Counting;
use super::commit::Commit;
use super::record::Wording;
use super::replay::{Event, Events, WORKING, WordingId};

/// What became of one record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trail {
    /// What the record says now.
    pub wording: Arc<Wording>,
    /// When it came into the journal.
    pub entered: Entered,
    /// What was changed since, oldest first.
    pub changes: Vec<Change>,
}

/// When a record came into the journal, by git.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Entered {
    /// In this commit, as a place among [`super::History::commits`].
    In(usize),
    /// It stood there already in this commit, the oldest one on its way that this copy of the repository holds.
    NotAfter(usize),
    /// In a commit from before the day from which git's history counts.
    BeforeCounting,
    /// It is in no commit yet.
    NotCommitted,
}

/// A change of a record that was in the journal already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The commit that made it, as a place among [`super::History::commits`]; nothing where it is in none yet.
    pub commit: Option<usize>,
    /// What the record said.
    pub before: Arc<Wording>,
    /// What it says since.
    pub after: Arc<Wording>,
    /// Whether the record had been signed off before the change, in this or an earlier wording: a signature that is taken
    /// away or altered was given all the same.
    pub after_signing: bool,
}

impl Change {
    /// Lines that stood there and do not any more.
    pub fn dropped(&self) -> Vec<&str> {
        beyond(&self.before, &self.after)
    }

    /// Lines that were not there before.
    pub fn gained(&self) -> Vec<&str> {
        beyond(&self.after, &self.before)
    }

    /// Whether the record was put on another day.
    pub fn moved_day(&self) -> bool {
        self.before.day != self.after.day
    }
}

/// The lines of one wording that another one lacks, each as often as it lacks it.
fn beyond<'w>(one: &'w Wording, other: &Wording) -> Vec<&'w str> {
    let mut known: FxHashMap<&str, usize> = FxHashMap::default();
    for line in other.lines() {
        *known.entry(line).or_default() += 1;
    }
    let mut beyond = Vec::new();
    for line in one.lines() {
        match known.get_mut(line) {
            Some(count) if *count > 0 => *count -= 1,
            _ => beyond.push(line),
        }
    }
    beyond
}

/// A record that was committed once and is in the journal no more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Removed {
    /// What it said last.
    pub wording: Arc<Wording>,
    /// The file it stood in, from the top of the repository.
    pub path: Arc<str>,
    /// How it went.
    pub how: Gone,
}

/// How a record went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gone {
    /// This commit took it out, as a place among [`super::History::commits`].
    In(usize),
    /// No commit has taken it out yet: it is missing from the files as they are.
    NotCommitted,
    /// No commit of its own took it out: it was left behind where branches were joined.
    Joining,
}

/// How far back equal wordings are looked through for one of the same file.
const NEAR: usize = 64;

/// Follows records back.
pub(super) struct Tracer<'e> {
    pub(super) events: &'e Events,
    pub(super) commits: &'e [Commit],
    pub(super) counting: Counting,
}

impl Tracer<'_> {
    /// Whether a commit counts; what is in none yet always does.
    pub(super) fn counts(&self, commit: usize) -> bool {
        match (self.counting, self.commits.get(commit)) {
            (Counting::From(day), Some(commit)) => commit.when.is_none_or(|when| when.date_naive() >= day),
            _ => true,
        }
    }

    /// The trail of a record that stands in a file now; nothing for one that never occurred.
    pub(super) fn trail(&self, now: WordingId, path: &str) -> Option<Trail> {
        let mut first: Option<usize> = None;
        let mut changes = Vec::new();
        let mut seen = rustc_hash::FxHashSet::default();
        let mut waiting = vec![(now, None)];
        while let Some((record, bound)) = waiting.pop() {
            let Some(at) = self.led_to(record, bound, path) else { continue };
            if !seen.insert(at) {
                continue;
            }
            let event = &self.events.list[at];
            waiting.extend(event.before.iter().map(|before| (*before, Some(event.commit))));
            match event.before.first() {
                None => first = Some(first.map_or(event.commit, |first| first.min(event.commit))),
                Some(&before) if self.changes(before, record) && !self.only_joins(event, record) => {
                    changes.push((event.commit, self.change(event.commit, before, record)));
                }
                Some(_) => {}
            }
        }
        changes.sort_by_key(|(commit, _)| *commit);
        let mut signed = false;
        for (_, change) in &mut changes {
            signed |= change.before.signatures().next().is_some();
            change.after_signing = signed;
        }
        let changes = changes.into_iter().filter(|(commit, _)| self.counts(*commit)).map(|(_, change)| change);
        let wording = self.events.wordings[now as usize].clone();
        Some(Trail { wording, entered: self.entered(first?), changes: changes.collect() })
    }

    /// The latest event that led to a wording before a commit: one of the same file, if there is any near.
    fn led_to(&self, record: WordingId, bound: Option<usize>, path: &str) -> Option<usize> {
        let list = &self.events.leading_to[record as usize];
        let to = list.partition_point(|&at| bound.is_none_or(|bound| self.events.list[at].commit < bound));
        let near = list[..to].iter().rev().take(NEAR);
        near.copied().find(|&at| &*self.events.list[at].path == path).or_else(|| list[..to].last().copied())
    }

    fn entered(&self, commit: usize) -> Entered {
        match self.commits.get(commit) {
            None => Entered::NotCommitted,
            Some(_) if !self.counts(commit) => Entered::BeforeCounting,
            Some(known) if known.cut_off => Entered::NotAfter(commit),
            Some(_) => Entered::In(commit),
        }
    }

    /// Whether the record says something else; a tidied one does not.
    fn changes(&self, before: WordingId, after: WordingId) -> bool {
        let wording = |id: WordingId| &self.events.wordings[id as usize];
        before != after && !wording(before).says_the_same(wording(after))
    }

    fn change(&self, commit: usize, before: WordingId, after: WordingId) -> Change {
        let before = self.events.wordings[before as usize].clone();
        let after = self.events.wordings[after as usize].clone();
        Change { commit: (commit != WORKING).then_some(commit), before, after, after_signing: false }
    }

    /// Whether a joining of branches brought nothing of its own into a record: each line comes from one of them, and
    /// what all of them had is still there.
    fn only_joins(&self, event: &Event, record: WordingId) -> bool {
        let wording = |id: WordingId| &*self.events.wordings[id as usize];
        let has = |id: WordingId, line: &str| wording(id).lines().any(|known| known == line);
        let [first, others @ ..] = event.before.as_slice() else { return false };
        if others.is_empty() {
            return false;
        }
        let from_some = |line: &str| event.before.iter().any(|&id| has(id, line));
        let of_all = |line: &str| others.iter().all(|&id| has(id, line));
        event.before.iter().any(|&id| wording(id).day == wording(record).day)
            && wording(record).lines().all(from_some)
            && wording(*first).lines().filter(|line| of_all(line)).all(|line| has(record, line))
    }
}

/// Which wordings are of one record, as far as changes tell.
pub(super) struct Kin(Vec<WordingId>);

impl Kin {
    pub(super) fn new(events: &Events) -> Self {
        let mut kin = Self((0..events.wordings.len() as u32).collect());
        for event in &events.list {
            for &before in &event.before {
                if let Some(now) = event.now {
                    let (one, other) = (kin.head(before), kin.head(now));
                    kin.0[one as usize] = other;
                }
            }
        }
        kin
    }

    /// The wording that stands for all of its record.
    pub(super) fn head(&mut self, mut id: WordingId) -> WordingId {
        while self.0[id as usize] != id {
            // Halving the way each time it is walked keeps it short.
            self.0[id as usize] = self.0[self.0[id as usize] as usize];
            id = self.0[id as usize];
        }
        id
    }
}
