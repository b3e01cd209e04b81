//! What a check looks at: all of which it is not known that it finds nothing there. In a season that follows another of
//! the same farm, that is little.
//!
//! That a check finds nothing in a spray depends on the spray's own entry, and on what the check says that it judges it by
//! besides; that it finds nothing on a block, on the sprays, observations, work and picks of that block, and on what it
//! says; that it finds nothing among entries of some kinds, on all entries of those kinds. What else it depends on is asked
//! before any of them are looked at, and a check that looks several times says at the first what all looks judge by. See [`crate::season::Known`], which forgets by the same rule.

use rayon::prelude::*;

use super::Findings;
use crate::journal::BlockId;
use crate::season::{By, Fact, Season, SprayFacts};
use crate::syntax::EntryWord::{self, self as E};

/// At least so many sprays are looked at in one go.
const TOGETHER: usize = 256;

/// Nothing but the entry itself, or the records of a block.
pub(super) const ALONE: By = By { named: &[], facts: &[], any: &[] };
/// What is in a tank, and how much of it, and the ground that it goes on.
pub(super) const TANK: By = By {
    named: &[E::Block, E::Material, E::Mix],
    facts: &[Fact::Materials, Fact::Amounts, Fact::Volume, Fact::Area],
    any: &[],
};
/// What is in a tank, however much of it, and the ground that it goes on.
pub(super) const MATERIALS: By = By { named: &[E::Block, E::Material], facts: &[Fact::Materials], any: &[] };
/// Materials, and what the farm's limits and any of its materials ask of others.
pub(super) const MATERIALS_AND_RULES: By = By { any: &[E::Limits, E::Material], ..MATERIALS };
/// A tank, and the limits of the farm.
pub(super) const TANK_AND_LIMITS: By = By { any: &[E::Limits], ..TANK };
/// Everything that a spray names, and on how much ground it went: rulebooks ask by any of it.
pub(super) const RECORD: By =
    By { named: &[E::Block, E::Material, E::Person, E::Rig], facts: &[Fact::Materials, Fact::Area], any: &[] };

/// People in blocks.
pub(super) const VISITS: &[EntryWord] = &[E::Work, E::Harvest];

/// What was sprayed, by what rulebooks ask of it besides its record.
pub(super) const USES: &[EntryWord] =
    &[E::Spray, E::Block, E::Material, E::Mix, E::Person, E::Rig, E::Water, E::Limits, E::Sample, E::Brew];
/// Sheets and signs, and what they are of.
pub(super) const POSTINGS: &[EntryWord] =
    &[E::Post, E::Spray, E::Block, E::Material, E::Mix, E::Person, E::Rig, E::Water];
/// Records that can be amended, and what amends them.
pub(super) const AMENDED: &[EntryWord] =
    &[E::Amend, E::Spray, E::Observe, E::Skip, E::Forecast, E::Weather, E::Harvest, E::Work, E::Post];
/// Programs, and what was done by them.
pub(super) const ROUNDS: &[EntryWord] =
    &[E::Program, E::Spray, E::Skip, E::Observe, E::Weather, E::Block, E::Material, E::Mix];
/// What came into the shed, and what left it.
pub(super) const STOCK: &[EntryWord] =
    &[E::Receive, E::Brew, E::Count, E::Discard, E::Spray, E::Block, E::Material, E::Mix, E::Rig];
/// Sprayers, and how they were measured.
pub(super) const SPRAYERS: &[EntryWord] = &[E::Calibrate, E::Rig];

impl Findings {
    /// Looks at the sprays, each with its place in the season's list, and gathers what is seen. One in which nothing is
    /// seen need not be looked at again.
    pub(super) fn in_sprays<'s, T: Send, S: IntoIterator<Item = T>>(
        &mut self,
        season: &'s Season<'_>,
        by: By,
        look: impl Fn(usize, &'s SprayFacts) -> S + Sync,
    ) -> Vec<T> {
        let asked = self.asked(season);
        // A line that everything hangs on has a check look at all of them, while others are done.
        let seen = asked.par_iter().with_min_len(TOGETHER);
        let seen = seen.map(|&at| look(at, &season.sprays[at]).into_iter().collect());
        let seen: Vec<Vec<T>> = seen.collect();
        let silent = asked.iter().zip(&seen).filter(|(_, seen)| seen.is_empty()).map(|(&at, _)| at).collect();
        self.note_sprays(by, silent);
        seen.into_iter().flatten().collect()
    }

    /// Looks at the sprays, each with its place in the season's list, and finds what there is. One in which nothing is found
    /// need not be looked at again.
    pub(super) fn each_spray<'s>(
        &mut self,
        season: &'s Season<'_>,
        by: By,
        mut look: impl FnMut(&mut Self, usize, &'s SprayFacts),
    ) {
        let mut silent = self.asked(season);
        silent.retain(|&at| {
            let before = self.found.len();
            look(self, at, &season.sprays[at]);
            self.found.len() == before
        });
        self.note_sprays(by, silent);
    }

    /// The sprays to look at, as places in the season's list.
    fn asked(&self, season: &Season<'_>) -> Vec<usize> {
        let quiet = season.silence.in_sprays().iter().enumerate();
        quiet.filter(|(_, quiet)| !quiet.holds(self.noted.check)).map(|(at, _)| at).collect()
    }

    fn note_sprays(&mut self, by: By, silent: Vec<usize>) {
        self.noted.by.push(by);
        self.noted.sprays = Some(in_both(self.noted.sprays.take(), silent));
    }

    /// Looks at the blocks, each with its sprays in the order of time, and gathers what is seen. One on which nothing is
    /// seen need not be looked at again.
    pub(super) fn on_blocks<'s, T, S: IntoIterator<Item = T>>(
        &mut self,
        season: &'s Season<'_>,
        by: By,
        mut look: impl FnMut(&Self, BlockId, &'s [usize]) -> S,
    ) -> Vec<T> {
        let (mut all, mut silent) = (Vec::new(), Vec::new());
        for (index, sprays) in season.by_block.iter().enumerate() {
            let block = BlockId::at(index);
            if !self.asks_about(season, block) {
                continue;
            }
            let before = all.len();
            all.extend(look(self, block, sprays));
            if all.len() == before {
                silent.push(block);
            }
        }
        self.noted.by.push(by);
        self.noted.blocks = Some(in_both(self.noted.blocks.take(), silent));
        all
    }

    /// Whether a block is to be looked at.
    pub(super) fn asks_about(&self, season: &Season<'_>, block: BlockId) -> bool {
        !season.silence.on_block(self.noted.check, block)
    }

    /// Looks among all entries of some kinds. Where nothing is found there, they need not be looked at again until one of
    /// them changes.
    pub(super) fn among(&mut self, season: &Season<'_>, kinds: &'static [EntryWord], look: impl FnOnce(&mut Self)) {
        if season.silence.is_among(self.noted.check, kinds) {
            self.noted.among.push(kinds);
            return;
        }
        let before = self.found.len();
        look(self);
        if self.found.len() == before {
            self.noted.among.push(kinds);
        }
    }
}

/// What a check that looks several times found nothing in each time; both in order.
fn in_both<T: Ord>(earlier: Option<Vec<T>>, mut silent: Vec<T>) -> Vec<T> {
    if let Some(earlier) = earlier {
        silent.retain(|one| earlier.binary_search(one).is_ok());
    }
    silent
}
