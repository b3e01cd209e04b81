//! Which sprays and blocks a check looks at: all of which it is not known that it finds nothing there. In a season that
//! follows another of the same farm, those are few.
//!
//! That a check finds nothing in a spray may depend on the spray, on what it names (blocks, mix, materials, sprayer), and on
//! what the check says that it judges by besides; that it finds nothing on a block, on the sprays, observations, work and
//! picks of that block, and on what they name. What else it depends on is asked before any of them are looked at. See [`crate::season::Known`], which
//! forgets by the same rule.

use super::Findings;
use crate::journal::BlockId;
use crate::season::{Besides, Season, SprayFacts};

impl Findings {
    /// Looks at the sprays, each with its place in the season's list, and gathers what is seen. One in which nothing is
    /// seen or found need not be looked at again.
    pub(super) fn in_sprays<'s, T, S: IntoIterator<Item = T>>(
        &mut self,
        season: &'s Season<'_>,
        besides: &'static [Besides],
        mut look: impl FnMut(&mut Self, usize, &'s SprayFacts) -> S,
    ) -> Vec<T> {
        self.quiet.besides = besides;
        let mut all = Vec::new();
        for (at, facts) in season.sprays.iter().enumerate() {
            if facts.quiet.holds(self.quiet.check) {
                continue;
            }
            let before = (all.len(), self.found.len());
            all.extend(look(self, at, facts));
            if (all.len(), self.found.len()) == before {
                self.quiet.sprays.push(at);
            }
        }
        all
    }

    /// Looks at the sprays, and finds what there is.
    pub(super) fn each_spray<'s>(
        &mut self,
        season: &'s Season<'_>,
        besides: &'static [Besides],
        mut look: impl FnMut(&mut Self, &'s SprayFacts),
    ) {
        self.in_sprays(season, besides, |found, _, facts| {
            look(found, facts);
            None::<()>
        });
    }

    /// Looks at the blocks, each with its sprays in the order of time, and gathers what is seen. One on which nothing is
    /// seen need not be looked at again.
    pub(super) fn on_blocks<'s, T, S: IntoIterator<Item = T>>(
        &mut self,
        season: &'s Season<'_>,
        besides: &'static [Besides],
        mut look: impl FnMut(&Self, BlockId, &'s [usize]) -> S,
    ) -> Vec<T> {
        self.quiet.besides = besides;
        let mut all = Vec::new();
        for (index, sprays) in season.by_block.iter().enumerate() {
            let block = BlockId::at(index);
            if !self.asks_about(season, block) {
                continue;
            }
            let before = all.len();
            all.extend(look(self, block, sprays));
            if all.len() == before {
                self.quiet.blocks.push(block);
            }
        }
        all
    }

    /// Whether a block is to be looked at.
    pub(super) fn asks_about(&self, season: &Season<'_>, block: BlockId) -> bool {
        !season.quiet_on[block.index()].holds(self.quiet.check)
    }
}
