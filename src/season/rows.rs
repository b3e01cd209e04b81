//! Rows against rows: whether two pieces of work were on the same trees, and what was last known of each piece of a block.

use crate::journal::{BlockId, Ground, PickedRows, Spray};

/// The rows that an entry took; `None` for all.
pub type Rows<'j> = Option<&'j PickedRows>;

/// The rows of an entry's ground.
pub fn rows_of(ground: &Ground) -> Rows<'_> {
    ground.rows.as_ref().map(|picked| &picked.rows)
}

/// The rows of a block that a spray treated: those of its own ground, and those of a leftover put there.
pub fn rows_treated(spray: &Spray, block: BlockId) -> impl Iterator<Item = Rows<'_>> {
    let names = |ground: &Ground| ground.blocks.iter().any(|named| named.id == Some(block));
    let own = Some(&spray.ground).filter(|ground| names(ground));
    let leftover = spray.leftover.as_ref().map(|leftover| &leftover.ground).filter(|ground| names(ground));
    own.into_iter().chain(leftover).map(rows_of)
}

/// Whether two picks of rows surely have no row in common. Every other alley treats all rows from one side, so it has
/// a row in common with any pick.
pub fn disjoint(one: Rows<'_>, other: Rows<'_>) -> bool {
    use PickedRows::{Even, Listed, Odd};
    match (one, other) {
        (Some(Listed(one)), Some(Listed(other))) => lists_disjoint(one, other),
        (Some(Odd), Some(Even)) | (Some(Even), Some(Odd)) => true,
        (Some(Odd), Some(Listed(runs))) | (Some(Listed(runs)), Some(Odd)) => {
            !runs.iter().any(|&(first, last)| last > first || first % 2 == 1)
        }
        (Some(Even), Some(Listed(runs))) | (Some(Listed(runs)), Some(Even)) => {
            !runs.iter().any(|&(first, last)| last > first || first % 2 == 0)
        }
        _ => false,
    }
}

fn lists_disjoint(one: &[(u32, u32)], other: &[(u32, u32)]) -> bool {
    // A list that could not be read says nothing.
    if one.is_empty() || other.is_empty() {
        return false;
    }
    let apart = |one: &(u32, u32), other: &(u32, u32)| one.1 < other.0 || other.1 < one.0;
    if one.len().min(other.len()) <= 4 {
        return one.iter().all(|run| other.iter().all(|against| apart(run, against)));
    }
    let (mut one, mut other) = (one.to_vec(), other.to_vec());
    one.sort_unstable();
    other.sort_unstable();
    let mut against = other.iter().peekable();
    let mut reach = 0;
    one.iter().all(|&(first, last)| {
        while let Some(&&(start, end)) = against.peek()
            && start <= last
        {
            reach = reach.max(end.saturating_add(1));
            against.next();
        }
        reach <= first
    })
}

/// How many picks of rows are remembered of a block at most. More than that is no way of working; the oldest are
/// forgotten, so that time stays in proportion to the journal.
const MOST_PICKS: usize = 64;

/// What is known of a block, pick of rows by pick of rows.
#[derive(Debug)]
pub struct ByRows<'j, T> {
    picks: Vec<(Rows<'j>, T)>,
}

impl<T> Default for ByRows<'_, T> {
    fn default() -> Self {
        Self { picks: Vec::new() }
    }
}

impl<'j, T> ByRows<'j, T> {
    /// Notes what is known of some rows, in place of what the new fact `replaces`: facts about the same rows, and when it
    /// is about the whole block, about any rows.
    pub fn put(&mut self, rows: Rows<'j>, fact: T, replaces: impl Fn(&T) -> bool) {
        if let Some(known) = self.picks.iter_mut().find(|(known, _)| *known == rows) {
            if !replaces(&known.1) {
                return;
            }
            known.1 = fact;
            return;
        }
        if rows.is_none() {
            self.picks.retain(|(_, known)| !replaces(known));
        }
        if self.picks.len() >= MOST_PICKS {
            self.picks.remove(0);
        }
        self.picks.push((rows, fact));
    }

    /// The facts about rows that some rows have in common with.
    pub fn touching(&self, rows: Rows<'j>) -> impl Iterator<Item = &T> {
        self.picks.iter().filter(move |(known, _)| !disjoint(*known, rows)).map(|(_, fact)| fact)
    }

    /// Forgets everything.
    pub fn clear(&mut self) {
        self.picks.clear();
    }
}
