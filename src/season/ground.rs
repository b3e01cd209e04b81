//! Which ground a spray treated, and how much of it.

use crate::journal::{Block, BlockId, Ground, Journal, PickedRows, Spray, in_force};
use crate::quantity::{Amount, Exact};

use super::SprayFacts;

/// A block that a spray touched, and the area of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touched {
    /// The block.
    pub block: BlockId,
    /// The area treated; `None` where neither the spray nor the block says.
    pub area: Option<Amount>,
    /// Whether it was only what was left in the tank.
    pub leftover: bool,
}

/// The block's area on a day.
pub fn block_area(block: &Block, day: chrono::NaiveDate) -> Option<Amount> {
    in_force(&block.areas, day).map(|area| area.value)
}

/// Which share of a block's rows an entry takes: 1 where it names none, or where rows are driven every other alley
/// (the whole ground is treated from one side).
pub fn row_share(block: &Block, ground: &Ground) -> Option<Exact> {
    let Some(picked) = &ground.rows else { return Some(Exact::ONE) };
    let layout = block.layout.as_ref();
    match &picked.rows {
        PickedRows::Alternate => Some(Exact::ONE),
        PickedRows::Listed(runs) => {
            let rows: u64 = runs.iter().map(|&(first, last)| u64::from(last - first) + 1).sum();
            Exact::new(i128::from(rows), i128::from(layout?.count()))
        }
        PickedRows::Odd => row_parity(layout?, 1),
        PickedRows::Even => row_parity(layout?, 0),
    }
}

fn row_parity(layout: &crate::journal::Layout, parity: u64) -> Option<Exact> {
    let below = |row: u64| if parity == 1 { row.div_ceil(2) } else { row / 2 };
    let rows: u64 = layout
        .rows
        .iter()
        .map(|&(first, last)| below(u64::from(last)) - below(u64::from(first).saturating_sub(1)))
        .sum();
    Exact::new(i128::from(rows), i128::from(layout.count()))
}

/// The area of a block that a spray should have covered, by its rows.
pub fn expected_area(journal: &Journal, block: BlockId, ground: &Ground, day: chrono::NaiveDate) -> Option<Amount> {
    let block = journal.block(block);
    block_area(block, day)?.times(row_share(block, ground)?)
}

/// The blocks of a spray with their areas: `over` shared out by the size of the blocks, or else the blocks' own areas.
pub fn touched(journal: &Journal, spray: &Spray) -> Vec<Touched> {
    let day = spray.at.day;
    let blocks: Vec<BlockId> = spray.ground.blocks.iter().filter_map(|block| block.id).collect();
    let areas: Vec<Option<Amount>> =
        blocks.iter().map(|&block| expected_area(journal, block, &spray.ground, day)).collect();
    let mut touched: Vec<Touched> = match (spray.over, blocks.as_slice()) {
        (Some(over), &[block]) if spray.ground.blocks.len() == 1 => {
            vec![Touched { block, area: Some(over.value), leftover: false }]
        }
        (Some(over), _) => {
            let share = share_out(over.value, &areas, spray.ground.blocks.len());
            blocks
                .iter()
                .enumerate()
                .map(|(index, &block)| Touched {
                    block,
                    area: share.as_ref().map(|areas| areas[index]),
                    leftover: false,
                })
                .collect()
        }
        (None, _) => {
            blocks.iter().zip(&areas).map(|(&block, &area)| Touched { block, area, leftover: false }).collect()
        }
    };
    if let Some(leftover) = &spray.leftover {
        for block in leftover.ground.blocks.iter().filter_map(|block| block.id) {
            let area = expected_area(journal, block, &leftover.ground, day);
            touched.push(Touched { block, area, leftover: true });
        }
    }
    touched
}

/// An area shared out in proportion; `None` where a block's own area is not known.
fn share_out(over: Amount, areas: &[Option<Amount>], named: usize) -> Option<Vec<Amount>> {
    if areas.len() != named {
        return None;
    }
    let areas: Vec<Exact> = areas.iter().map(|area| area.and_then(Amount::base)).collect::<Option<_>>()?;
    let total = areas.iter().try_fold(Exact::ZERO, |sum, &area| sum.add(area))?;
    areas.iter().map(|&area| over.times(area.div(total)?)).collect()
}

/// The area of a spray: as written, or the sum of what its rows and blocks come to.
pub fn treated_area(spray: &Spray, touched: &[Touched]) -> Option<Amount> {
    if let Some(over) = spray.over {
        return Some(over.value);
    }
    if spray.ground.blocks.iter().any(|block| block.id.is_none()) {
        return None;
    }
    let mut areas = touched.iter().filter(|touched| !touched.leftover).map(|touched| touched.area);
    let first = areas.next()??;
    areas.try_fold(first, |sum, area| sum.plus(area?))
}

/// Which share of a tank went on a block: by area, what was left in the tank apart. `None` where an area or the volume
/// left is not known.
pub fn share_on(facts: &SprayFacts, spray: &Spray, block: BlockId) -> Option<Exact> {
    let left = match &spray.leftover {
        Some(leftover) => leftover.volume?.ratio(facts.finished?)?,
        None => Exact::ZERO,
    };
    let mut share = Exact::ZERO;
    for (leftover, part) in [(false, Exact::ONE.sub(left)?), (true, left)] {
        let touched = || facts.touched.iter().filter(move |touched| touched.leftover == leftover);
        if !touched().any(|touched| touched.block == block) {
            continue;
        }
        if touched().all(|touched| touched.block == block) {
            share = share.add(part)?;
            continue;
        }
        let mut whole = Exact::ZERO;
        let mut own = Exact::ZERO;
        for one in touched() {
            let area = one.area?.base()?;
            whole = whole.add(area)?;
            own = if one.block == block { own.add(area)? } else { own };
        }
        share = share.add(part.mul(own.div(whole)?)?)?;
    }
    Some(share)
}
