//! A block in parts, row by row: what each of its trees got, where not every spray was on all of them.

use super::Rows;
use crate::journal::PickedRows;

/// Into how many parts a block is cut at most. More than that is no way of working: what would cut a part further then
/// counts for none of it, so that time stays in proportion to the journal.
const MOST_PARTS: usize = 64;

/// Rows that got the same: from one to another, all of them or the odd or even ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RowPart {
    first: u32,
    last: u32,
    /// What is left of a row's number when halved; both where absent.
    parity: Option<u32>,
}

impl RowPart {
    /// All rows, however many there are.
    const ALL: Self = Self { first: 1, last: u32::MAX, parity: None };

    /// Whether all of it is among the rows of an entry. A list of rows that could not be read says nothing.
    pub fn is_of(self, rows: Rows<'_>) -> bool {
        match rows {
            None | Some(PickedRows::Alternate) => true,
            Some(PickedRows::Odd) => self.parity == Some(1),
            Some(PickedRows::Even) => self.parity == Some(0),
            Some(PickedRows::Listed(runs)) => {
                runs.iter().any(|&(first, last)| first <= self.first && self.last <= last)
            }
        }
    }

    /// Whether any of it may be among the rows of an entry. A list of rows that could not be read may mean any.
    pub fn meets(self, rows: Rows<'_>) -> bool {
        let has = |parity: u32| {
            self.row_from(self.first).is_some_and(|row| row % 2 == parity || self.parity.is_none() && row < self.last)
        };
        match rows {
            None | Some(PickedRows::Alternate) => true,
            Some(PickedRows::Odd) => has(1),
            Some(PickedRows::Even) => has(0),
            Some(PickedRows::Listed(runs)) => {
                let within = |&(first, last): &(u32, u32)| {
                    let (first, last) = (first.max(self.first), last.min(self.last));
                    first <= last && Self { first, last, ..self }.row_from(first).is_some()
                };
                runs.is_empty() || runs.iter().any(within)
            }
        }
    }

    /// Its rows among runs of rows, first and last of each; on their own where no runs are known.
    pub fn among(self, runs: Option<&[(u32, u32)]>) -> Vec<RowRun> {
        let all = [(self.first, self.last)];
        let runs = runs.unwrap_or(&all);
        let cut = |&(first, last): &(u32, u32)| {
            let part = Self { first: first.max(self.first), last: last.min(self.last), ..self };
            if part.first > part.last {
                return None;
            }
            let first = part.row_from(part.first)?;
            let last = (part.last != u32::MAX).then_some(part.last);
            let last =
                last.map(|last| if self.parity.is_some_and(|parity| last % 2 != parity) { last - 1 } else { last });
            let every_other = self.parity.is_some() && last != Some(first);
            Some(RowRun { first, last, every_other })
        };
        runs.iter().filter_map(cut).collect()
    }

    /// The same rows in as few parts as can be, in their order.
    pub fn joined(mut parts: Vec<Self>) -> Vec<Self> {
        parts.sort_unstable_by_key(|part| (part.parity, part.first));
        let mut parts = Self::end_to_end(parts);
        parts.sort_unstable_by_key(|part| (part.first, part.last, part.parity));
        parts.dedup_by(|odd, even| {
            let both =
                (even.first, even.last) == (odd.first, odd.last) && even.parity.is_some() && odd.parity.is_some();
            if both {
                even.parity = None;
            }
            both
        });
        Self::end_to_end(parts)
    }

    fn end_to_end(parts: Vec<Self>) -> Vec<Self> {
        let mut joined: Vec<Self> = Vec::with_capacity(parts.len());
        for part in parts {
            match joined.last_mut() {
                Some(last) if last.parity == part.parity && last.last.checked_add(1) == Some(part.first) => {
                    last.last = part.last;
                }
                _ => joined.push(part),
            }
        }
        joined
    }

    /// Whether it is all rows.
    pub fn is_all(self) -> bool {
        self == Self::ALL
    }

    /// One of its rows, where it is not all of them.
    pub fn one_row(self) -> Option<u32> {
        if self == Self::ALL { None } else { self.row_from(self.first) }
    }

    /// Its first row from a number on.
    fn row_from(self, from: u32) -> Option<u32> {
        let row = match self.parity {
            Some(parity) if from % 2 != parity => from.checked_add(1)?,
            _ => from,
        };
        (row <= self.last).then_some(row)
    }

    /// Cut before a row: the two parts that have a row in them.
    fn cut_before(self, row: u32) -> [Option<Self>; 2] {
        let below = row.checked_sub(1).map(|last| Self { last: last.min(self.last), ..self });
        let above = Self { first: row.max(self.first), ..self };
        [below, Some(above)].map(|part| part.filter(|part| part.row_from(part.first).is_some()))
    }

    fn by_parity(self) -> [Option<Self>; 2] {
        if self.parity.is_some() {
            return [Some(self), None];
        }
        [1, 0].map(|parity| {
            Some(Self { parity: Some(parity), ..self }).filter(|part| part.row_from(part.first).is_some())
        })
    }
}

/// Rows of a block one behind the other, to print.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RowRun {
    /// The first.
    pub first: u32,
    /// The last; absent where the block does not say how many it has.
    pub last: Option<u32>,
    /// Whether it is every second row from the first on.
    pub every_other: bool,
}

/// What is known of each part of a block.
#[derive(Debug)]
pub struct RowParts<T> {
    parts: Vec<(RowPart, T)>,
}

impl<T: Default + Copy> Default for RowParts<T> {
    fn default() -> Self {
        Self { parts: vec![(RowPart::ALL, T::default())] }
    }
}

impl<T: Default + Copy> RowParts<T> {
    /// Forgets everything.
    pub fn clear(&mut self) {
        self.parts.clear();
        self.parts.push((RowPart::ALL, T::default()));
    }

    /// Changes what is known of some rows.
    pub fn on(&mut self, rows: Rows<'_>, mut change: impl FnMut(&mut T)) {
        match rows {
            None | Some(PickedRows::Alternate) => {}
            Some(PickedRows::Odd | PickedRows::Even) => self.cut(RowPart::by_parity),
            Some(PickedRows::Listed(runs)) => {
                for &(first, last) in runs {
                    self.cut(|part| part.cut_before(first));
                    if let Some(next) = last.checked_add(1) {
                        self.cut(|part| part.cut_before(next));
                    }
                }
            }
        }
        for (_, known) in self.parts.iter_mut().filter(|(part, _)| part.is_of(rows)) {
            change(known);
        }
    }

    fn cut(&mut self, cut: impl Fn(RowPart) -> [Option<RowPart>; 2]) {
        for at in 0..self.parts.len() {
            let (part, known) = self.parts[at];
            match cut(part) {
                [Some(one), Some(other)] if self.parts.len() < MOST_PARTS => {
                    self.parts[at].0 = one;
                    self.parts.push((other, known));
                }
                _ => {}
            }
        }
    }

    /// Every part with what is known of it.
    pub fn iter(&self) -> impl Iterator<Item = (RowPart, &T)> {
        self.parts.iter().map(|(part, known)| (*part, known))
    }
}
