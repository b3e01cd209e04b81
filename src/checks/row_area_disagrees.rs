//! See the Markdown beside this file.

use super::asked::ALONE;
use super::{Ahead, Check, Findings, area_over_block, rates, say};
use crate::finding::{Finding, Level};
use crate::journal::{Block, PickedRows, Spray, Written};
use crate::quantity::{Amount, Exact, show_apart};
use crate::season::{By, Season, block_area, blocks_of, row_share};
use crate::syntax::EntryWord;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "row-area-disagrees",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "An area that disagrees with the rows named",
    explain: include_str!("row_area_disagrees.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.each_spray(season, By { named: &[EntryWord::Block], ..ALONE }, |found, _, facts| {
        let spray = facts.spray(season.journal);
        let (Some(over), Some(picked)) = (spray.over, &spray.ground.rows) else { return };
        let Some((whole, rounding)) = area_over_block::whole(season, spray, over.value.unit) else { return };
        let room = || rounding.add(area_over_block::room(season, over)?.value);
        let Some(rounding) = room() else { return };
        // More than there is has its own finding.
        if whole.value.add(rounding).is_none_or(|room| over.value.value > room) {
            return;
        }
        let alternate = picked.rows == PickedRows::Alternate;
        let by_rows = if alternate { Some((whole, Exact::ZERO)) } else { by_rows(season, spray, over) };
        let Some((expected, one_row)) = by_rows else { return };
        // The last row may be done in part, and a spray that was broken off covered less than its rows.
        let short = expected.value.sub(over.value.value).filter(|short| short.is_positive());
        let in_part = short.is_some_and(|short| short < one_row || spray.stopped.is_some());
        if in_part || agrees(over, expected, rounding) {
            return;
        }
        let by_spacing = spray.ground.blocks.first().and_then(|block| by_spacing(season, spray, block.id?, over));
        if by_spacing.is_some_and(|area| agrees(over, area, rounding)) {
            return;
        }
        found.add(finding(season, spray, over, expected, alternate, found));
    });
}

/// Within 10 %, or as near as the numbers are rounded.
fn agrees(over: Written<Amount>, expected: Amount, rounding: Exact) -> bool {
    let near = || {
        let off = over.value.value.sub(expected.value)?.abs();
        Some(off <= expected.value.mul(Exact::new(1, 10)?)?.max(rounding))
    };
    near().unwrap_or(true)
}

/// The share of a block that its rows are, or of several blocks that odd or even rows are, and the area of the largest
/// row, in the unit of `over`.
fn by_rows(season: &Season<'_>, spray: &Spray, over: Written<Amount>) -> Option<(Amount, Exact)> {
    let listed = matches!(spray.ground.rows.as_ref()?.rows, PickedRows::Listed(_));
    // Of several blocks, which rows were whose is not said.
    let blocks = blocks_of(&spray.ground);
    if listed && (blocks.len() != 1 || !has_all(season, spray)) {
        return None;
    }
    let (mut sum, mut largest) = (Amount::new(Exact::ZERO, over.value.unit), Exact::ZERO);
    for block in blocks {
        let block = season.journal.block(block);
        let area = block_area(block, spray.at.day)?.in_unit(sum.unit)?;
        largest = largest.max(area.value.div(Exact::new(i128::from(known_rows(block)?), 1)?)?);
        sum = sum.plus(area.times(row_share(block, &spray.ground)?)?)?;
    }
    sum.value.is_positive().then_some((sum, largest))
}

fn known_rows(block: &Block) -> Option<u64> {
    block.layout.as_ref().map(|layout| layout.count()).filter(|count| *count > 0)
}

fn has_all(season: &Season<'_>, spray: &Spray) -> bool {
    let (Some(picked), Some(block)) = (&spray.ground.rows, spray.ground.blocks.first()) else { return false };
    let layout = block.id.and_then(|id| season.journal.block(id).layout.as_ref());
    let PickedRows::Listed(rows) = &picked.rows else { return false };
    let inside = |&(first, last): &(u32, u32)| {
        layout.is_some_and(|layout| layout.rows.iter().any(|&(from, to)| from <= first && last <= to))
    };
    rows.iter().all(inside)
}

/// Rows by their spacing and length, where both are known: the other way to measure the same ground.
fn by_spacing(
    season: &Season<'_>,
    spray: &Spray,
    block: crate::journal::BlockId,
    over: Written<Amount>,
) -> Option<Amount> {
    let block = season.journal.block(block);
    let layout = block.layout.as_ref()?;
    let rows = row_share(block, &spray.ground)?.mul(Exact::new(i128::from(layout.count()), 1)?)?;
    layout.length?.by(layout.spacing?)?.times(rows)?.in_unit(over.value.unit)
}

fn finding(
    season: &Season<'_>,
    spray: &Spray,
    over: Written<Amount>,
    expected: Amount,
    alternate: bool,
    found: &Findings,
) -> Finding {
    let names: Vec<&str> = spray.ground.blocks.iter().map(|block| season.words(block.span)).collect();
    let (treated, comes_to) = rates::amounts(season, over.value, expected);
    let names = say::list(&names);
    let rows = spray.ground.rows.as_ref().map_or(spray.at.line, |picked| picked.span);
    let words = season.words(rows);
    let headline = if alternate {
        format!("{treated} is written for alternate rows of {names}, but the whole ground is {comes_to}")
    } else {
        format!("{treated} is written for {words} of {names}, but those rows come to {comes_to}")
    };
    let ratio = over.value.ratio(expected);
    let (treated, comes_to) = show_apart(over.value, expected);
    let mut finding = found.finding(over.span, headline).label(rows, "these rows");
    for (id, area) in blocks_of(&spray.ground).into_iter().zip(area_over_block::areas(season, spray)) {
        let Some(area) = area else { continue };
        let block = season.journal.block(id);
        finding = finding.label(area.span, "the area in force");
        if let (false, Some(layout), Some(share)) = (alternate, &block.layout, row_share(block, &spray.ground)) {
            finding = finding.label(layout.span, "rows set here").working(format!(
                "{} of {} rows of {} are {comes_to}",
                share.mul(Exact::int(i64::try_from(layout.count()).unwrap_or(i64::MAX))).unwrap_or(share),
                layout.count(),
                season.words(area.span)
            ));
        }
    }
    if let Some(ratio) = ratio {
        finding = finding.working(format!("{treated} / {comes_to} = {}", say::times(ratio)));
    }
    if alternate {
        return finding
            .help("write the whole ground: driving every other alley treats all of it from one side")
            .source(
                "record guidance for restricted use pesticides (7 CFR 110.3(a)(3), size of area treated): an alternate-\
                 middle spray of an 80-acre grove is recorded as 80 acres",
            );
    }
    let unit = over.value.unit;
    let clues = Clues { of: Some(unit.dimension()), written: Some(unit), ..Clues::default() };
    finding
        .slip(ratio.and_then(|ratio| likely_slip(ratio, &clues)))
        .help("name the rows that were sprayed, and write the area of those rows")
        .source("arithmetic of your own entries, rows taken as equally large; within 10 % nothing is said")
}
