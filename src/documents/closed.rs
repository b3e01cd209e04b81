//! Until when a block is closed by everything that was sprayed on it: a sheet or a sign about one spray must not let people
//! in while another's interval runs.

use crate::journal::BlockId;
use crate::season::{Moment, Season};

/// For each block, in the order of its sprays, the latest end of re-entry up to there.
#[derive(Debug)]
pub(super) struct Closed(Vec<Vec<Option<Moment>>>);

impl Closed {
    /// Of a season.
    pub(super) fn new(season: &Season<'_>) -> Self {
        let of_block = |sprays: &Vec<usize>| {
            let mut latest = None;
            let ends = sprays.iter().map(|&at| season.sprays[at].reentry.map(|hold| hold.until));
            ends.map(|end| {
                latest = end.max(latest);
                latest
            })
            .collect()
        };
        Self(season.by_block.iter().map(of_block).collect())
    }

    /// The latest end of re-entry in a block, of all its sprays that begin by a moment.
    pub(super) fn until(&self, season: &Season<'_>, block: BlockId, by: Moment) -> Option<Moment> {
        let begun = season.by_block[block.index()].partition_point(|&at| season.sprays[at].start <= by);
        self.0[block.index()][..begun].last().copied().flatten()
    }
}
