//! What stands on the shelf, lot by lot, as one movement after another is taken.
//!
//! A use that names its lot, or its batches, is of these; of several batches the first made goes first. Any other is of
//! what is there the longest: what no lot is known of, then the oldest lot that still has some. Where more is used than
//! there is, what is left is below nothing and stays so until a count. The lots and what is of no known lot add up to
//! what is there, exactly.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::lots::Lot;
use super::moves::{Cause, Move};
use crate::quantity::{Exact, Unit};

/// What stands on the shelf.
#[derive(Clone, Debug)]
pub struct Shelf {
    /// The unit that everything is counted in.
    pub unit: Option<Unit>,
    /// What no lot is known of: found by a count, or used beyond all lots and so below nothing. `None` where not known.
    pub loose: Option<Exact>,
    /// What is left of each lot.
    pub lots: Vec<LotLeft>,
    /// The movement that it is not known from, as a place in the material's list, while it is not.
    pub lost_at: Option<usize>,
    /// The sum of all lots that are known; `None` where the exact result does not fit.
    sum: Option<Exact>,
    /// The lots with something left; those below nothing; those of which it is not known.
    open: BTreeSet<usize>,
    below: BTreeSet<usize>,
    unknown: BTreeSet<usize>,
    /// The last whole count.
    counted: Option<NaiveDate>,
    /// Whether what is there can be known: the first movement came in or was counted, or all was counted since.
    opened: bool,
    /// What was there by the last whole count and came in since.
    came_in: Option<Exact>,
}

/// What is left of a lot, and where the rest went. All are numbers of the material's unit.
#[derive(Clone, Copy, Debug)]
pub struct LotLeft {
    /// What is left; `None` where that is not known. It may be below nothing.
    pub left: Option<Exact>,
    /// What came in.
    pub came: Exact,
    /// What was used.
    pub used: Exact,
    /// What was thrown out.
    pub discarded: Exact,
    /// By how much counts corrected it.
    pub corrected: Exact,
    /// Whether it came, was made or was counted yet.
    pub here: bool,
    /// Whether an amount that came or went is not known.
    pub gaps: bool,
    /// Whether what was left of it was counted together with others, so that it is now of no known lot.
    pub together: bool,
}

/// A count against what should have been there.
#[derive(Clone, Copy, Debug)]
pub struct Counted {
    /// The count, as a place in the material's movements.
    pub at: usize,
    /// The lot that was counted; `None` for all of the material.
    pub lot: Option<usize>,
    /// The whole count before; `None` where there is none.
    pub since: Option<NaiveDate>,
    /// What should have been there; `None` where that is not known, and where nothing came before the count.
    pub expected: Option<Exact>,
    /// What was counted.
    pub counted: Option<Exact>,
    /// What was there by the count before and came in since: what a difference is a share of.
    pub came_in: Option<Exact>,
    /// Whether something was used before anything came in or was counted, so that what should have been there hangs on
    /// taking it that there was nothing.
    pub from_nothing: bool,
}

impl LotLeft {
    const NOTHING: Self = Self {
        left: Some(Exact::ZERO),
        came: Exact::ZERO,
        used: Exact::ZERO,
        discarded: Exact::ZERO,
        corrected: Exact::ZERO,
        here: false,
        gaps: false,
        together: false,
    };
}

/// Where something of a lot went.
#[derive(Clone, Copy)]
enum Gone {
    Used,
    Discarded,
    Corrected,
}

impl Shelf {
    pub(super) fn new(unit: Option<Unit>, lots: &[Lot]) -> Self {
        Self {
            unit,
            loose: Some(Exact::ZERO),
            lots: vec![LotLeft::NOTHING; lots.len()],
            lost_at: None,
            sum: Some(Exact::ZERO),
            open: BTreeSet::new(),
            below: BTreeSet::new(),
            unknown: BTreeSet::new(),
            counted: None,
            opened: false,
            came_in: Some(Exact::ZERO),
        }
    }

    /// All that is there, as far as the movements go; `None` where that is not known.
    pub fn total(&self) -> Option<Exact> {
        if self.unknown.is_empty() { self.sum?.add(self.loose?) } else { None }
    }

    /// Whether what is there can be known: see [`super::MaterialStock::opened`].
    pub fn is_opened(&self) -> bool {
        self.opened
    }

    /// The oldest lot with something left: what a use that names none is of, once nothing is left of no known lot.
    pub fn next_lot(&self) -> Option<usize> {
        self.open.first().copied()
    }

    /// Takes the next movement. A count gives what it found and should have found.
    pub(super) fn take(&mut self, moves: &[Move], at: usize) -> Option<Counted> {
        let one = &moves[at];
        if at == 0 {
            self.opened = !one.cause.is_out();
        }
        match one.cause {
            Cause::Received(_) | Cause::Made(_) => self.comes_in(one, at),
            Cause::Sprayed(_) | Cause::Brewed(_) => self.goes(one, at, Gone::Used),
            Cause::Discarded(_) => self.goes(one, at, Gone::Discarded),
            Cause::Counted(_) => {
                return Some(match one.lot() {
                    Some(lot) => self.count_lot(one, at, lot),
                    None => self.count_all(one, at),
                });
            }
        }
        None
    }

    fn comes_in(&mut self, one: &Move, at: usize) {
        let Some(lot) = one.lot() else { return };
        self.lots[lot].here = true;
        let left = self.lots[lot].left;
        self.came_in = self.came_in.zip(one.value).and_then(|(known, more)| known.add(more));
        let came = one.value.and_then(|more| self.lots[lot].came.add(more));
        match came {
            Some(came) => self.lots[lot].came = came,
            None => self.lots[lot].gaps = true,
        }
        let now = left.zip(one.value).and_then(|(left, more)| left.add(more));
        self.set(lot, now);
        if now.is_none() {
            self.lost_at.get_or_insert(at);
        }
    }

    fn goes(&mut self, one: &Move, at: usize, gone: Gone) {
        let Some(mut rest) = one.value else {
            return match (one.named(), one.batches()) {
                // Only that lot is in doubt.
                ([draw], []) if !matches!(one.cause, Cause::Sprayed(_)) && draw.lot.is_some() => {
                    self.lose_lots(draw.lot, at);
                }
                ([], batches @ [_, ..]) => self.lose_lots(batches.iter().copied(), at),
                _ => self.lose(at),
            };
        };
        for draw in one.named() {
            let (Some(lot), Some(value)) = (draw.lot, draw.value) else { continue };
            let part = value.min(rest);
            self.draw(lot, part, at, gone);
            rest = rest.sub(part).unwrap_or(Exact::ZERO);
        }
        let Some((last, first)) = one.batches().split_last() else { return self.draw_oldest(rest, at, gone) };
        if !first.is_empty() && one.batches().iter().any(|lot| self.unknown.contains(lot)) {
            return self.lose_lots(one.batches().iter().copied(), at);
        }
        for &lot in first {
            let left = self.lots[lot].left.filter(|left| left.is_positive());
            let part = left.unwrap_or(Exact::ZERO).min(rest);
            self.draw(lot, part, at, gone);
            rest = rest.sub(part).unwrap_or(Exact::ZERO);
        }
        self.draw(*last, rest, at, gone);
    }

    /// Takes from what is there the longest, and from nothing what is not there.
    fn draw_oldest(&mut self, amount: Exact, at: usize, gone: Gone) {
        let mut rest = amount;
        if !rest.is_positive() {
            return;
        }
        // Which of them it came from hangs on how much there is of those that nothing is known of.
        if !self.unknown.is_empty() {
            return self.lose(at);
        }
        let Some(loose) = self.loose else { return self.lose(at) };
        if loose.is_positive() {
            let part = loose.min(rest);
            self.loose = loose.sub(part);
            rest = rest.sub(part).unwrap_or(Exact::ZERO);
        }
        while let (true, Some(&lot)) = (rest.is_positive(), self.open.first()) {
            let part = self.lots[lot].left.unwrap_or(Exact::ZERO).min(rest);
            self.draw(lot, part, at, gone);
            rest = rest.sub(part).unwrap_or(Exact::ZERO);
        }
        self.loose = self.loose.and_then(|loose| loose.sub(rest));
    }

    /// Takes from one lot, below nothing where it must be. Of a lot that was counted together with others, what it has
    /// not is taken from there.
    fn draw(&mut self, lot: usize, amount: Exact, at: usize, gone: Gone) {
        let known = self.lots[lot];
        let Some(left) = known.left else {
            self.lots[lot].gaps = true;
            return;
        };
        let own = if known.together { left.min(amount) } else { amount };
        if let Some(more) = amount.sub(own).filter(|more| more.is_positive()) {
            self.loose = self.loose.and_then(|loose| loose.sub(more));
        }
        let tally = &mut self.lots[lot];
        let place = match gone {
            Gone::Used => &mut tally.used,
            Gone::Discarded => &mut tally.discarded,
            Gone::Corrected => &mut tally.corrected,
        };
        let change = if matches!(gone, Gone::Corrected) { amount.neg() } else { amount };
        match place.add(change) {
            Some(sum) => *place = sum,
            None => tally.gaps = true,
        }
        let now = left.sub(own);
        self.set(lot, now);
        if now.is_none() {
            self.lost_at.get_or_insert(at);
        }
    }

    /// A count of all of it. What is missing is taken as used of what is there the longest; what is over is of no known
    /// lot.
    fn count_all(&mut self, one: &Move, at: usize) -> Counted {
        let expected = self.total().filter(|_| at > 0);
        let counted = Counted {
            at,
            lot: None,
            since: self.counted,
            expected,
            counted: one.value,
            came_in: self.came_in,
            from_nothing: !self.opened,
        };
        self.counted = Some(one.day);
        self.came_in = one.value;
        let Some(found) = one.value else {
            self.lose(at);
            return counted;
        };
        self.opened = true;
        if self.total().is_some() {
            self.level(found, at)
        } else {
            self.begin_again(found)
        }
        counted
    }

    /// Makes what is known of each lot fit what was found.
    fn level(&mut self, found: Exact, at: usize) {
        // What is below nothing was more than the lot held: it is of no known lot.
        while let Some(&lot) = self.below.first() {
            let owed = self.lots[lot].left.unwrap_or(Exact::ZERO);
            self.draw(lot, owed, at, Gone::Corrected);
        }
        let in_lots = self.sum.unwrap_or(Exact::ZERO);
        let over = found.sub(in_lots);
        self.loose = Some(Exact::ZERO);
        match over {
            Some(over) if over.is_negative() => {
                self.draw_oldest(over.neg(), at, Gone::Corrected);
            }
            over => self.loose = over,
        }
    }

    /// From a count after which it is not known how much of each lot there is.
    fn begin_again(&mut self, found: Exact) {
        let held: Vec<usize> = self.open.iter().chain(&self.unknown).chain(&self.below).copied().collect();
        for lot in held {
            self.lots[lot].together = true;
            self.set(lot, Some(Exact::ZERO));
        }
        self.loose = Some(found);
        self.lost_at = None;
    }

    fn count_lot(&mut self, one: &Move, at: usize, lot: usize) -> Counted {
        let known = self.lots[lot];
        let counted = Counted {
            at,
            lot: Some(lot),
            since: self.counted,
            expected: known.left.filter(|_| known.here && !known.together),
            counted: one.value,
            came_in: Some(known.came),
            from_nothing: false,
        };
        self.lots[lot].here = true;
        if let (Some(found), true) = (one.value, known.together) {
            // It was a part of what was counted together.
            self.loose = self.loose.and_then(|loose| loose.sub(found));
        }
        // A lot that no delivery brought was there before the journal began.
        let first = !known.here && known.left == Some(Exact::ZERO);
        let off = one.value.zip(known.left).and_then(|(found, left)| found.sub(left));
        let place = if first { &mut self.lots[lot].came } else { &mut self.lots[lot].corrected };
        match off.and_then(|off| place.add(off)) {
            Some(sum) => *place = sum,
            None => self.lots[lot].gaps = true,
        }
        if first {
            self.came_in = self.came_in.zip(one.value).and_then(|(known, more)| known.add(more));
        }
        self.lots[lot].together = false;
        self.set(lot, one.value);
        if one.value.is_none() {
            self.lost_at.get_or_insert(at);
        } else if self.total().is_some() {
            self.lost_at = None;
        }
        counted
    }

    /// From here on nothing is known of these lots.
    fn lose_lots(&mut self, lots: impl IntoIterator<Item = usize>, at: usize) {
        for lot in lots {
            self.lots[lot].gaps = true;
            self.set(lot, None);
        }
        self.lost_at.get_or_insert(at);
    }

    /// From here on it is not known how much there is of anything that was there.
    fn lose(&mut self, at: usize) {
        let open: Vec<usize> = self.open.iter().copied().collect();
        self.loose = None;
        self.lose_lots(open, at);
    }

    /// Sets what is left of a lot.
    fn set(&mut self, lot: usize, now: Option<Exact>) {
        let before = self.lots[lot].left.unwrap_or(Exact::ZERO);
        self.sum = self.sum.and_then(|sum| sum.sub(before)?.add(now.unwrap_or(Exact::ZERO)));
        self.lots[lot].left = now;
        for (set, is) in [
            (&mut self.open, now.is_some_and(Exact::is_positive)),
            (&mut self.below, now.is_some_and(Exact::is_negative)),
            (&mut self.unknown, now.is_none()),
        ] {
            if is {
                set.insert(lot);
            } else {
                set.remove(&lot);
            }
        }
    }
}
