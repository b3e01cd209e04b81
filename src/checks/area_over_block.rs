//! See the Markdown beside this file.

use super::asked::ALONE;
use super::{Ahead, Check, Findings, rates, say, written};
use crate::finding::{Finding, Level};
use crate::journal::{Dated, Spray, Written, in_force};
use crate::quantity::{Amount, Exact, Unit, show_apart};
use crate::season::{By, Season, blocks_of, expected_area};
use crate::syntax::EntryWord as E;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "area-over-block",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "More area treated than the block has",
    explain: include_str!("area_over_block.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.each_spray(season, By { named: &[E::Block], ..ALONE }, |found, _, facts| {
        let spray = facts.spray(season.journal);
        let Some(over) = spray.over else { return };
        let Some((whole, rounding)) = whole(season, spray, over.value.unit) else { return };
        let most = || whole.value.add(rounding)?.add(room(season, over)?.value);
        if most().is_some_and(|most| over.value.value > most) {
            found.add(finding(season, spray, over, whole, found));
        }
    });
}

/// The areas in force of the blocks that a spray names, each block once.
pub(super) fn areas<'j>(season: &Season<'j>, spray: &'j Spray) -> impl Iterator<Item = Option<&'j Dated<Amount>>> {
    let journal = season.journal;
    blocks_of(&spray.ground).into_iter().map(move |block| in_force(&journal.block(block).areas, spray.at.day))
}

/// All blocks of a spray together, in a unit, and by how much that may be off as the areas are rounded.
pub(super) fn whole(season: &Season<'_>, spray: &Spray, unit: Unit) -> Option<(Amount, Exact)> {
    if spray.ground.blocks.is_empty() || spray.ground.blocks.iter().any(|block| block.id.is_none()) {
        return None;
    }
    let mut sum = Amount::new(Exact::ZERO, unit);
    let mut rounding = Exact::ZERO;
    for area in areas(season, spray) {
        let area = area?;
        sum = sum.plus(area.value)?;
        let off = room(season, Written::new(area.value, area.span))?;
        rounding = rounding.add(off.in_unit(unit)?.value)?;
    }
    Some((sum, rounding))
}

/// What an area may be off because its number is rounded: half of the last digit, and never more than a tenth of it,
/// since nobody takes `1 acre` for 1.4.
pub(super) fn room(season: &Season<'_>, area: Written<Amount>) -> Option<Amount> {
    let tenth = area.value.times(Exact::new(1, 10)?)?;
    let half_digit = written::rounding(season, area);
    Some(if half_digit.value < tenth.value { half_digit } else { tenth })
}

/// What the rows that a spray names come to, all blocks together.
fn rows_area(season: &Season<'_>, spray: &Spray) -> Option<Amount> {
    spray.ground.rows.as_ref()?;
    let mut areas =
        spray.ground.blocks.iter().map(|block| expected_area(season.journal, block.id?, &spray.ground, spray.at.day));
    let first = areas.next()??;
    areas.try_fold(first, |sum, area| sum.plus(area?)).filter(|sum| sum.value.is_positive())
}

fn finding(season: &Season<'_>, spray: &Spray, over: Written<Amount>, whole: Amount, found: &Findings) -> Finding {
    let names: Vec<&str> = spray.ground.blocks.iter().map(|block| season.words(block.span)).collect();
    let (treated, has) = rates::amounts(season, over.value, whole);
    let are = if names.len() == 1 { "is" } else { "together are" };
    let day = say::day(spray.at.day);
    let mut finding = found
        .finding(over.span, format!("{treated} treated on {day}, but {} {are} {has}", say::list(&names)))
        .here("more than there is");
    for area in areas(season, spray).flatten() {
        finding = finding.label(area.span, format!("the area in force on {day}"));
    }
    let ratio = over.value.ratio(whole);
    if let Some(ratio) = ratio {
        let (treated, has) = show_apart(over.value, whole);
        finding = finding.working(format!("{treated} / {has} = {}", say::times(ratio)));
    }
    let unit = over.value.unit;
    let clues = Clues { of: Some(unit.dimension()), written: Some(unit), ..Clues::default() };
    let mut slip = ratio.and_then(|ratio| likely_slip(ratio, &clues));
    if let (None, Some(rows)) = (&slip, rows_area(season, spray)) {
        let of_rows = over.value.ratio(rows);
        slip = of_rows.and_then(|ratio| likely_slip(ratio, &clues));
        if let (Some(_), Some(ratio)) = (&slip, of_rows) {
            let (treated, rows) = show_apart(over.value, rows);
            finding = finding.working(format!("the rows named are {rows}: {treated} / {rows} = {}", say::times(ratio)));
        }
    }
    let finding = match slip {
        Some(slip) => finding.slip(Some(slip)).help("put the area right"),
        None => finding.help("if the block has grown, give it the new area from that day on: `area ... from ...`"),
    };
    finding.source("arithmetic of your own entries")
}
