//! Until when a block is closed by everything that was sprayed on it: a sheet or a sign about one spray must not let people
//! in while another's interval runs.

use crate::journal::BlockId;
use crate::season::{Moment, Season};

/// For each block, in the order of its sprays and in that of rinse water put there, the latest end of re-entry up to there.
#[derive(Debug)]
pub(super) struct Closed {
    sprays: Vec<Vec<Option<Moment>>>,
    rinses: Vec<Vec<Option<Moment>>>,
}

impl Closed {
    /// Of a season.
    pub(super) fn new(season: &Season<'_>) -> Self {
        let sprays = |at: &usize| season.sprays[*at].reentry.map(|hold| hold.until);
        let rinses = |at: &usize| season.rinses[*at].reentry.map(|(_, hold)| hold.until);
        Self {
            sprays: season.by_block.iter().map(|list| latest(list.iter().map(sprays))).collect(),
            rinses: season.rinsed.iter().map(|list| latest(list.iter().map(rinses))).collect(),
        }
    }

    /// The latest end of re-entry in a block, of all that was put there and began by a moment.
    pub(super) fn until(&self, season: &Season<'_>, block: BlockId, by: Moment) -> Option<Moment> {
        let at = block.index();
        let sprays = season.by_block[at].partition_point(|&at| season.sprays[at].start <= by);
        let rinses = season.rinsed[at].partition_point(|&at| season.rinses[at].start <= by);
        let last = |list: &[Option<Moment>]| list.last().copied().flatten();
        last(&self.sprays[at][..sprays]).max(last(&self.rinses[at][..rinses]))
    }
}

/// For each end, the latest up to there.
fn latest(ends: impl Iterator<Item = Option<Moment>>) -> Vec<Option<Moment>> {
    let mut latest = None;
    ends.map(|end| {
        latest = end.max(latest);
        latest
    })
    .collect()
}
