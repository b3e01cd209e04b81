//! Which record that was put in is which one that was taken out, worded otherwise.

use rustc_hash::{FxHashMap, FxHashSet};

use super::record::{Wording, word};

/// Lines that stand in more records than this tell nothing of which is which, and would cost much to follow.
const COMMON: usize = 24;

/// For each record put in, the one taken out that it was, as a place in `removed`. None is used twice.
pub(super) fn matched(removed: &[&Wording], added: &[&Wording]) -> Vec<Option<usize>> {
    let mut found = Matching { of: vec![None; added.len()], used: vec![false; removed.len()] };
    if removed.is_empty() || added.is_empty() {
        return found.of;
    }
    // The likeliest first: the same first line on the same day, then the same but for what tidying changes, then the same
    // words on another day, then whatever shares most of its lines.
    found.by_key(removed, added, |wording| (&*wording.day, wording.head()));
    found.by_key(removed, added, |wording| (&*wording.day, wording.laid_out()));
    found.by_key(removed, added, |wording| (&*wording.day, wording.laid_out_head()));
    found.by_key(removed, added, |wording| ("", &*wording.text));
    found.by_lines(removed, added);
    found.of
}

struct Matching {
    of: Vec<Option<usize>>,
    used: Vec<bool>,
}

impl Matching {
    fn pair(&mut self, removed: usize, added: usize) {
        self.of[added] = Some(removed);
        self.used[removed] = true;
    }

    /// Records of the same key. Where several share it, those that share most lines; among many, by their order.
    fn by_key<'w, K: Eq + std::hash::Hash>(
        &mut self,
        removed: &[&'w Wording],
        added: &[&'w Wording],
        key: impl Fn(&'w Wording) -> K,
    ) {
        let mut open: FxHashMap<K, Vec<usize>> = FxHashMap::default();
        for at in (0..removed.len()).filter(|&at| !self.used[at]) {
            open.entry(key(removed[at])).or_default().push(at);
        }
        for (at, wording) in added.iter().enumerate() {
            if self.of[at].is_some() {
                continue;
            }
            let Some(list) = open.get_mut(&key(wording)).filter(|list| !list.is_empty()) else { continue };
            let place = if list.len() <= COMMON {
                let shared = |place: &usize| shared_lines(removed[list[*place]], wording);
                // Of equal ones the first.
                (0..list.len()).rev().max_by_key(shared).unwrap_or(0)
            } else {
                0
            };
            let chosen = list.remove(place);
            self.pair(chosen, at);
        }
    }

    /// Records of one kind that share at least half of their lines, those of the same day before others.
    fn by_lines(&mut self, removed: &[&Wording], added: &[&Wording]) {
        let mut holders: FxHashMap<&str, Vec<usize>> = FxHashMap::default();
        for at in (0..removed.len()).filter(|&at| !self.used[at]) {
            for line in lines(removed[at]) {
                let list = holders.entry(line).or_default();
                if list.last() != Some(&at) {
                    list.push(at);
                }
            }
        }
        for (at, wording) in added.iter().enumerate() {
            if self.of[at].is_some() {
                continue;
            }
            let mut shared: FxHashMap<usize, usize> = FxHashMap::default();
            for line in lines(wording) {
                let list = holders.get(line).map(Vec::as_slice).unwrap_or_default();
                for &holder in list.iter().take(COMMON) {
                    *shared.entry(holder).or_default() += 1;
                }
            }
            let mut candidates: Vec<(usize, usize)> = shared.into_iter().collect();
            candidates.sort_unstable();
            let fits = |&(holder, count): &(usize, usize)| {
                let (before, after) = (removed[holder], *wording);
                let most = lines(before).count().max(lines(after).count());
                !self.used[holder] && same_kind(before, after) && 2 * count >= most
            };
            let best = candidates
                .into_iter()
                .filter(fits)
                .rev()
                .max_by_key(|&(holder, count)| (removed[holder].day == wording.day, count));
            if let Some((holder, _)) = best {
                self.pair(holder, at);
            }
        }
    }
}

/// The lines of a record, the first without its kind: it counts by itself, and may have been misspelt.
fn lines(wording: &Wording) -> impl Iterator<Item = &str> {
    let head = wording.head();
    std::iter::once(head[word(head).len()..].trim_start()).chain(wording.lines().skip(1))
}

/// Whether two records are of one kind; one whose kind is not known may be of any.
fn same_kind(one: &Wording, other: &Wording) -> bool {
    match (one.kind(), other.kind()) {
        (Some(one), Some(other)) => one == other,
        _ => true,
    }
}

fn shared_lines(one: &Wording, other: &Wording) -> usize {
    let known: FxHashSet<&str> = one.lines().collect();
    other.lines().filter(|line| known.contains(line)).count()
}
