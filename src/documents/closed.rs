//! Until when a block is closed by everything that was sprayed on it: a sheet or a sign about one spray must not let people
//! in while another's interval runs.

use crate::journal::BlockId;
use crate::season::{Moment, Season, SprayFacts};

/// For each block, in the order of its sprays, the latest end of a hold up to there.
#[derive(Debug)]
pub(super) struct Closed(Vec<Vec<Option<Moment>>>);

impl Closed {
    /// To everybody, by re-entry intervals.
    pub(super) fn new(season: &Season<'_>) -> Self {
        Self::by(season, |facts, _| facts.reentry.map(|hold| hold.until))
    }

    /// To picking, by harvest intervals and re-entry intervals.
    pub(super) fn to_picking(season: &Season<'_>) -> Self {
        Self::by(season, |facts, block| season.harvest_hold(facts, block).map(|hold| hold.until))
    }

    fn by(season: &Season<'_>, end: impl Fn(&SprayFacts, BlockId) -> Option<Moment>) -> Self {
        let of_block = |(block, sprays): (usize, &Vec<usize>)| {
            let mut latest = None;
            let ends = sprays.iter().map(|&at| end(&season.sprays[at], BlockId::at(block)));
            ends.map(|end| {
                latest = end.max(latest);
                latest
            })
            .collect()
        };
        Self(season.by_block.iter().enumerate().map(of_block).collect())
    }

    /// The latest end in a block, of all its sprays that begin by a moment.
    pub(super) fn until(&self, season: &Season<'_>, block: BlockId, by: Moment) -> Option<Moment> {
        let begun = season.by_block[block.index()].partition_point(|&at| season.sprays[at].start <= by);
        self.0[block.index()][..begun].last().copied().flatten()
    }

    /// The latest end in a block, of all its sprays.
    pub(super) fn latest(&self, block: BlockId) -> Option<Moment> {
        self.0[block.index()].last().copied().flatten()
    }
}
