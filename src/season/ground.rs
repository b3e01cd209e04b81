//! Which ground a spray treated, and how much of it.

use std::collections::HashSet;

use crate::journal::{Block, BlockId, Ground, Journal, PickedRows, Spray, in_force};
use crate::quantity::{Amount, Exact, Unit};

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

/// The blocks that an entry names, each once however often it is named; those not known left out.
pub fn blocks_of(ground: &Ground) -> Vec<BlockId> {
    let mut blocks: Vec<BlockId> = ground.blocks.iter().filter_map(|block| block.id).collect();
    if blocks.len() > 1 {
        let mut seen = HashSet::with_capacity(blocks.len());
        blocks.retain(|block| seen.insert(*block));
    }
    blocks
}

/// The blocks of a spray with their areas: `over` shared out by the size of the blocks, or else the blocks' own areas.
pub fn touched(journal: &Journal, spray: &Spray) -> Vec<Touched> {
    let day = spray.at.day;
    let blocks = blocks_of(&spray.ground);
    let own = |ground: &Ground, block| expected_area(journal, block, ground, day);
    let areas: Vec<Option<Amount>> = match spray.over {
        None => blocks.iter().map(|&block| own(&spray.ground, block)).collect(),
        // A block that is not known may have had any part of it.
        Some(_) if spray.ground.blocks.iter().any(|block| block.id.is_none()) => vec![None; blocks.len()],
        Some(over) if blocks.len() == 1 => vec![Some(over.value)],
        Some(over) => {
            let areas: Vec<Option<Amount>> = blocks.iter().map(|&block| own(&spray.ground, block)).collect();
            match share_out(over.value, &areas) {
                Some(shares) => shares.into_iter().map(Some).collect(),
                None => vec![None; blocks.len()],
            }
        }
    };
    let mut touched: Vec<Touched> =
        blocks.iter().zip(areas).map(|(&block, area)| Touched { block, area, leftover: false }).collect();
    if let Some(leftover) = &spray.leftover {
        touched.extend(blocks_of(&leftover.ground).into_iter().map(|block| Touched {
            block,
            area: own(&leftover.ground, block),
            leftover: true,
        }));
    }
    touched
}

/// An area shared out in proportion; `None` where a block's own area is not known.
fn share_out(over: Amount, areas: &[Option<Amount>]) -> Option<Vec<Amount>> {
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

/// Which share of a tank was left in it; no more than all of it, whatever is written. `None` where the volume left or
/// made is not known.
fn left(facts: &SprayFacts, spray: &Spray) -> Option<Exact> {
    match &spray.leftover {
        Some(leftover) => Some(leftover.volume?.ratio(facts.finished?)?.max(Exact::ZERO).min(Exact::ONE)),
        None => Some(Exact::ZERO),
    }
}

/// Which share of a tank went on the ground of the spray itself: all but what was left. `None` where the volume left or
/// made is not known.
pub fn share_put_down(facts: &SprayFacts, spray: &Spray) -> Option<Exact> {
    Exact::ONE.sub(left(facts, spray)?)
}

/// Which share of a tank went on a block: by area, what was left in the tank apart. `None` where an area or the volume
/// left is not known.
pub fn share_on(facts: &SprayFacts, spray: &Spray, block: BlockId) -> Option<Exact> {
    shares_on(facts, spray, block).try_fold(Exact::ZERO, |sum, (_, share)| sum.add(share?))
}

/// The same, apart for the ground of the spray itself and for that of its leftover, each with its rows.
pub fn shares_on<'j>(
    facts: &SprayFacts,
    spray: &'j Spray,
    block: BlockId,
) -> impl Iterator<Item = (&'j Ground, Option<Exact>)> {
    let leftover = spray.leftover.as_ref().map(|leftover| (true, &leftover.ground));
    let grounds = std::iter::once((false, &spray.ground)).chain(leftover);
    grounds.filter_map(move |(leftover, ground)| {
        let touched = || facts.touched.iter().filter(move |touched| touched.leftover == leftover);
        let here = touched().find(|touched| touched.block == block)?;
        let share = || {
            let part = if leftover { left(facts, spray)? } else { share_put_down(facts, spray)? };
            if touched().nth(1).is_none() {
                return Some(part);
            }
            let whole = touched().try_fold(Exact::ZERO, |sum, one| sum.add(one.area?.base()?))?;
            part.mul(here.area?.base()?.div(whole)?)
        };
        Some((ground, share()))
    })
}

/// How many metres of row, or trees, a spray treated, reckoned from the area and the spacing of its blocks.
#[derive(Clone, Copy, Debug, Default)]
pub struct Planted {
    /// The length of row; `None` where a block's area or row spacing is not known.
    pub row_length: Option<Amount>,
    /// The number of trees; `None` where a block's area, row or tree spacing is not known.
    pub trees: Option<Exact>,
}

/// What stands on the ground that a spray touched, leftovers apart: area over row spacing is the length of row, and that
/// over tree spacing the number of trees.
pub fn planted(journal: &Journal, touched: &[Touched]) -> Planted {
    let row_length = |touched: &Touched| {
        let spacing = journal.block(touched.block).layout.as_ref()?.spacing?;
        touched.area?.base()?.div(spacing.base()?)
    };
    let trees = |touched: &Touched| {
        let apart = journal.block(touched.block).layout.as_ref()?.trees?;
        row_length(touched)?.div(apart.base()?)
    };
    let sum = |of: &dyn Fn(&Touched) -> Option<Exact>| {
        let own = touched.iter().filter(|touched| !touched.leftover);
        own.map(of).try_fold(Exact::ZERO, |sum, one| sum.add(one?)).filter(|sum| sum.is_positive())
    };
    Planted { row_length: sum(&row_length).map(|metres| Amount::new(metres, Unit::METRE)), trees: sum(&trees) }
}
