//! Which share of a tank went onto which block.

use super::book::Book;
use crate::journal::BlockId;
use crate::quantity::Exact;
use crate::season::{SprayFacts, share_on};

/// The blocks of a spray with the share of the tank that each got. `None` where it cannot be known.
pub(super) fn shares(book: &Book<'_>, facts: &SprayFacts) -> Option<Vec<(BlockId, Exact)>> {
    let spray = facts.spray(book.journal());
    if spray.ground.blocks.iter().any(|block| block.id.is_none()) {
        return None;
    }
    let mut blocks: Vec<BlockId> = facts.touched.iter().map(|touched| touched.block).collect();
    blocks.sort_unstable();
    blocks.dedup();
    blocks.into_iter().map(|block| Some((block, share_on(facts, spray, block)?))).collect()
}
