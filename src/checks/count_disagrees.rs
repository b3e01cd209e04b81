//! See the Markdown beside this file.

use super::asked::STOCK;
use super::{Ahead, Check, Findings, lots, rates, same_spray_twice, say, written};
use crate::finding::{Finding, Level};
use crate::journal::{MaterialId, Written};
use crate::quantity::{Amount, Exact, show, show_apart};
use crate::season::{Cause, Counted, MaterialStock, Season, like};
use crate::syntax::EntryWord;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "count-disagrees",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A count that is not what should be there",
    explain: include_str!("count_disagrees.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, STOCK, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    use EntryWord as E;
    // A record that could not be read may be the one that is missing here.
    if season.journal.counts.is_empty()
        || [E::Receive, E::Brew, E::Spray, E::Discard, E::Count].into_iter().any(|kind| season.lost(kind))
    {
        return;
    }
    let mut doubled = None;
    for id in season.stock().moved() {
        let stock = season.stock().of(id);
        let mut from = 0;
        for count in &stock.counts {
            let stretch = from..count.at;
            if count.lot.is_none() {
                from = count.at + 1;
            }
            let Some(off) = off(season, id, stock, count) else { continue };
            // Below nothing the stock has its own finding, and so has a spray that stands in the journal twice.
            let short = stock.moves[stretch.clone()].iter().any(|one| one.after.is_some_and(Exact::is_negative));
            let doubled = doubled.get_or_insert_with(|| same_spray_twice::doubled(season));
            let twice = |one: &crate::season::Move| matches!(one.cause, Cause::Sprayed(at) if doubled.contains(&at));
            if !short && !stock.moves[stretch.clone()].iter().any(twice) {
                found.add(tell(season, id, stock, count, &off, stretch, found));
            }
        }
    }
}

/// A count that is off, in amounts of the material's unit.
struct Off {
    expected: Amount,
    counted: Amount,
    came_in: Amount,
    step: Option<Amount>,
}

/// The count, where it is off by more than anybody can measure: see the Markdown.
fn off(season: &Season<'_>, id: MaterialId, stock: &MaterialStock, count: &Counted) -> Option<Off> {
    if count.from_nothing {
        return None;
    }
    let (expected, counted, came_in) = (count.expected?, count.counted?, count.came_in?);
    let unit = stock.unit?;
    let one = &stock.moves[count.at];
    let off = counted.sub(expected)?.abs();
    let five_percent = came_in.mul(Exact::new(5, 100)?)?;
    let written = Written::new(one.amount?, one.span);
    let rounding = like(season.journal, id, written::rounding(season, written), unit)?;
    let step = smallest(season, id, unit);
    let most = five_percent.add(rounding.value)?;
    if off <= most || step.is_some_and(|step| off <= step.value) {
        return None;
    }
    let amount = |value| Amount::new(value, unit);
    Some(Off { expected: amount(expected), counted: amount(counted), came_in: amount(came_in), step })
}

/// The smallest thing that the material is measured with, its own tools before the farm's.
fn smallest(season: &Season<'_>, id: MaterialId, unit: crate::quantity::Unit) -> Option<Amount> {
    let journal = season.journal;
    let own = &journal.material(id).measures;
    let tools = if own.is_empty() { journal.farm.as_ref().map(|farm| &farm.measures) } else { Some(own) };
    let tools = tools.into_iter().flatten();
    tools.filter_map(|tool| like(journal, id, tool.value, unit)).min_by_key(|tool| tool.value)
}

fn tell(
    season: &Season<'_>,
    id: MaterialId,
    stock: &MaterialStock,
    count: &Counted,
    off: &Off,
    stretch: std::ops::Range<usize>,
    found: &Findings,
) -> Finding {
    let one = &stock.moves[count.at];
    let name = match count.lot {
        Some(lot) => lots::name(season, id, &stock.lots[lot]),
        None => say::material(season, id).to_string(),
    };
    let (counted, expected) = rates::amounts(season, off.counted, off.expected);
    let by = off.counted.minus(off.expected).map(|by| Amount::new(by.value.abs(), by.unit));
    let way = if off.counted.value < off.expected.value { "less" } else { "more" };
    let mut finding = found.finding(
        one.span,
        format!("{counted} of {name} was counted on {}, where {expected} should be", say::day(one.day)),
    );
    if let Some(since) = stock.moves[..stretch.start].last().filter(|_| count.lot.is_none()) {
        finding = finding.label(since.span, format!("counted on {}", say::day(since.day)));
    }
    if count.lot.is_none() {
        finding = finding.working(sums(stock, count, stretch));
    }
    let (counted, expected) = show_apart(off.counted, off.expected);
    if let Some(by) = by {
        let share = by.ratio(off.came_in).and_then(|share| share.mul(Exact::int(100)));
        let share = share.map(|share| format!(", {} % of what was there and came in", share.figures(2)));
        let line = format!("{counted} against {expected}: {} {way}{}", show(by), share.unwrap_or_default());
        finding = finding.working(line);
    }
    let clues =
        Clues { of: Some(off.counted.dimension()), written: one.amount.map(|amount| amount.unit), ..Clues::default() };
    let ratio = off.counted.ratio(off.expected).filter(|ratio| ratio.is_positive());
    let help = if way == "less" {
        "look for a use or a loss that was not written down, or a wrong amount; what is lost for good is a `discard`"
    } else {
        "look for a delivery that was not written down, a use that was not made, or a wrong amount"
    };
    let step = off.step.map(|step| format!(", nor within {}, the smallest measure at hand", show(step)));
    finding.slip(ratio.and_then(|ratio| likely_slip(ratio, &clues))).help(help).source(format!(
        "arithmetic of your own entries; within 5 % and half of the count's last digit nothing is said{}",
        step.unwrap_or_default()
    ))
}

/// `10 lb came in, 6 lb was used, 1 lb was thrown out`.
fn sums(stock: &MaterialStock, count: &Counted, stretch: std::ops::Range<usize>) -> String {
    let mut sums = [Some(Exact::ZERO); 3];
    for one in &stock.moves[stretch.clone()] {
        let place = match one.cause {
            Cause::Received(_) | Cause::Made(_) => 0,
            Cause::Sprayed(_) | Cause::Brewed(_) => 1,
            Cause::Discarded(_) => 2,
            Cause::Counted(_) => continue,
        };
        sums[place] = sums[place].zip(one.value).and_then(|(sum, more)| sum.add(more));
    }
    let said = |value: Exact| stock.unit.map_or_else(String::new, |unit| show(Amount::new(value, unit)));
    let opening = stretch.start.checked_sub(1).and_then(|at| stock.moves[at].value).filter(|_| count.since.is_some());
    let parts = [(opening, "was there"), (sums[0], "came in"), (sums[1], "was used"), (sums[2], "was thrown out")];
    let parts = parts.into_iter().filter_map(|(sum, did)| {
        let sum = sum.filter(|sum| !sum.is_zero())?;
        Some(format!("{} {did}", said(sum)))
    });
    parts.collect::<Vec<_>>().join(", ")
}
