//! Which share of a tank went onto which block.

use super::book::Book;
use crate::journal::BlockId;
use crate::quantity::{Amount, Exact};
use crate::season::SprayFacts;

/// The blocks of a spray with the share of the tank that each got. What was left and put on another block goes there by
/// its volume; the rest is shared out by treated area. `None` where it cannot be known.
pub(super) fn shares(book: &Book<'_>, facts: &SprayFacts) -> Option<Vec<(BlockId, Exact)>> {
    let spray = facts.spray(book.journal());
    if spray.ground.blocks.iter().any(|block| block.id.is_none()) {
        return None;
    }
    let part = |leftover: bool| -> Vec<(BlockId, Option<Amount>)> {
        let touched = facts.touched.iter().filter(|touched| touched.leftover == leftover);
        touched.map(|touched| (touched.block, touched.area)).collect()
    };
    let (main, elsewhere) = (part(false), part(true));
    let left = match (&spray.leftover, elsewhere.is_empty()) {
        (Some(leftover), false) => leftover.volume?.ratio(facts.finished?)?,
        _ => Exact::ZERO,
    };
    let mut shares = shared_out(&main, Exact::ONE.sub(left)?)?;
    if !elsewhere.is_empty() {
        shares.extend(shared_out(&elsewhere, left)?);
    }
    Some(shares)
}

fn shared_out(blocks: &[(BlockId, Option<Amount>)], whole: Exact) -> Option<Vec<(BlockId, Exact)>> {
    if let &[(block, _)] = blocks {
        return Some(vec![(block, whole)]);
    }
    let areas: Vec<Exact> = blocks.iter().map(|(_, area)| (*area)?.base()).collect::<Option<_>>()?;
    let total = areas.iter().try_fold(Exact::ZERO, |sum, &area| sum.add(area))?;
    blocks.iter().zip(areas).map(|(&(block, _), area)| Some((block, whole.mul(area.div(total)?)?))).collect()
}
