//! How much of each material went where.

use serde::Serialize;

use super::book::Book;
use super::shares::shares;
use super::words::{count, ground_unit, other_system};
use crate::journal::{BlockId, MaterialId};
use crate::quantity::{Amount, Exact, System, Unit, show, tidy};
use crate::season::{add, block_area};

/// A material and where it went.
#[derive(Clone, Debug, Serialize)]
pub struct MaterialTotal {
    /// The material.
    pub material: String,
    /// All of it, in both systems; absent where nothing could be added up.
    pub total: Option<String>,
    /// In how many sprays it was.
    pub sprays: usize,
    /// Why the total is less than what was used.
    pub short: Option<String>,
    /// The blocks it went to.
    pub blocks: Vec<BlockTotal>,
}

/// A material on one block.
#[derive(Clone, Debug, Serialize)]
pub struct BlockTotal {
    /// The block.
    pub block: String,
    /// In how many sprays of the block it was.
    pub sprays: usize,
    /// How much, in both systems.
    pub total: Option<String>,
    /// How much for the block's ground, such as `1.5 lb per acre (1.68 kg per ha)`.
    pub per_area: Option<String>,
}

/// A sum that knows what it could not add.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sum {
    /// The sum so far.
    pub amount: Option<Amount>,
    /// How many sprays are in it.
    pub sprays: usize,
    /// How many sprays could not be added.
    pub missing: usize,
    /// The sum over the block's ground, in the base unit of the amount per m².
    pub per_ground: Option<Exact>,
    /// Whether some of it has no known amount or ground.
    pub ground_missing: bool,
}

/// What each material came to on each block, and in all.
#[derive(Debug)]
pub(super) struct Tally {
    /// By material: all blocks together.
    pub whole: Vec<Sum>,
    /// By material, then by block.
    pub on_block: Vec<Vec<Sum>>,
}

/// Adds up the part of the journal to show.
pub(super) fn tally(book: &Book<'_>) -> Tally {
    let journal = book.journal();
    let mut whole = vec![Sum::default(); journal.materials.len()];
    let mut on_block = vec![Vec::new(); journal.materials.len()];
    for facts in book.sprays() {
        let shares = shares(book, facts);
        let day = facts.spray(journal).at.day;
        for dose in &facts.doses {
            let id = dose.material.index();
            let amount = dose.amount().map(|amount| book.in_own_unit(dose.material, amount));
            let list: &mut Vec<Sum> = &mut on_block[id];
            if list.is_empty() {
                list.resize(journal.blocks.len(), Sum::default());
            }
            // All of a tank was used, even what was left and poured away; of some blocks, only what they got.
            let mut shown = if book.scope.blocks.is_empty() { Exact::ONE } else { Exact::ZERO };
            match &shares {
                Some(shares) => {
                    for &(block, share) in shares.iter().filter(|(block, _)| book.scope.has_block(*block)) {
                        let part = amount.and_then(|amount| amount.times(share));
                        take(book, dose.material, &mut list[block.index()], part);
                        let area = block_area(journal.block(block), day);
                        on_ground(book, dose.material, &mut list[block.index()], part, area);
                        if !book.scope.blocks.is_empty() {
                            shown = shown.add(share).unwrap_or(shown);
                        }
                    }
                }
                None => {
                    for touched in facts.touched.iter().filter(|touched| book.scope.has_block(touched.block)) {
                        take(book, dose.material, &mut list[touched.block.index()], None);
                    }
                }
            }
            let part = amount.filter(|_| shown.is_positive()).and_then(|amount| amount.times(shown));
            take(book, dose.material, &mut whole[id], part);
        }
    }
    Tally { whole, on_block }
}

/// Adds what one spray used of a material to a sum, or counts it as missing.
pub(super) fn take(book: &Book<'_>, material: MaterialId, sum: &mut Sum, part: Option<Amount>) {
    sum.sprays += 1;
    let added = match (sum.amount, part) {
        (_, None) => None,
        (None, part) => part,
        (Some(known), Some(part)) => add(book.journal(), material, known, part),
    };
    match added {
        Some(added) => sum.amount = Some(added),
        None => sum.missing += 1,
    }
}

fn on_ground(book: &Book<'_>, material: MaterialId, sum: &mut Sum, part: Option<Amount>, area: Option<Amount>) {
    let per_ground = || {
        let unit = sum.amount?.unit;
        let part = crate::season::like(book.journal(), material, part?, unit)?.base()?;
        let dose = part.div(area?.base()?)?;
        sum.per_ground.unwrap_or(Exact::ZERO).add(dose)
    };
    match per_ground() {
        Some(known) => sum.per_ground = Some(known),
        None => sum.ground_missing = true,
    }
}

/// The totals of a summary, in the order of the materials' names.
pub(super) fn totals(book: &Book<'_>, tally: &Tally) -> Vec<MaterialTotal> {
    let mut used: Vec<usize> = (0..tally.whole.len()).filter(|&id| tally.whole[id].sprays > 0).collect();
    used.sort_by_key(|&id| book.material(MaterialId::at(id)));
    used.into_iter().map(|id| material_total(book, MaterialId::at(id), &tally.whole[id], &tally.on_block[id])).collect()
}

fn material_total(book: &Book<'_>, id: MaterialId, whole: &Sum, blocks: &[Sum]) -> MaterialTotal {
    let blocks = blocks.iter().enumerate().filter(|(_, sum)| sum.sprays > 0).map(|(block, sum)| BlockTotal {
        block: book.block(BlockId::at(block)).to_string(),
        sprays: sum.sprays,
        total: shown(book, id, sum.amount),
        per_area: per_area(book, id, sum),
    });
    MaterialTotal {
        material: book.material(id).to_string(),
        total: shown(book, id, whole.amount),
        sprays: whole.sprays,
        short: (whole.missing > 0)
            .then(|| format!("without {} whose amount is not known", count(whole.missing, "spray", "sprays"))),
        blocks: blocks.collect(),
    }
}

fn shown(book: &Book<'_>, id: MaterialId, amount: Option<Amount>) -> Option<String> {
    Some(book.amount(book.in_own_unit(id, amount?)))
}

fn per_area(book: &Book<'_>, id: MaterialId, sum: &Sum) -> Option<String> {
    if sum.missing > 0 || sum.ground_missing {
        return None;
    }
    material_per_area(book, id, sum.per_ground?, sum.amount?.unit)
}

/// A dose of a material for ground, in base units of a unit per m², in both systems: in the first in the unit that all
/// documents say the material in.
pub(super) fn material_per_area(
    book: &Book<'_>,
    id: MaterialId,
    per_square_metre: Exact,
    unit: Unit,
) -> Option<String> {
    let form = book.journal().material(id).form();
    both(book, |system| {
        let amount = for_ground(per_square_metre, unit, system)?;
        Some(if system == book.home() { book.in_ground_unit(id, amount) } else { tidy(amount, system, form) })
    })
}

/// A volume for ground, in base units of a unit per m², in both systems.
pub(super) fn both_per_area(book: &Book<'_>, per_square_metre: Exact, unit: Unit) -> Option<String> {
    both(book, |system| Some(tidy(for_ground(per_square_metre, unit, system)?, system, None)))
}

/// What a dose comes to on an acre or a hectare.
fn for_ground(per_square_metre: Exact, unit: Unit, system: System) -> Option<Amount> {
    Amount::from_base(per_square_metre.mul(ground_unit(system).to_base())?, unit)
}

fn both(book: &Book<'_>, amount: impl Fn(System) -> Option<Amount>) -> Option<String> {
    let said = |system| Some(format!("{} per {}", show(amount(system)?), ground_unit(system).word()));
    Some(format!("{} ({})", said(book.home())?, said(other_system(book.home()))?))
}
