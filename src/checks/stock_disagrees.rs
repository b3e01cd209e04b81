//! See the Markdown beside this file.

use chrono::NaiveDate;

use super::{Check, Findings, rates, same_spray_twice, say, written};
use crate::finding::{Finding, Level};
use crate::journal::{Journal, MaterialId, PutDose};
use crate::quantity::{Amount, Exact, show, show_apart};
use crate::season::{Season, like};
use crate::syntax::EntryWord;
use crate::text::Span;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "stock-disagrees",
    level: Level::Warning,
    summary: "More used than was ever received",
    explain: include_str!("stock_disagrees.md"),
    run,
};

/// How many deliveries are shown.
const SHOWN: usize = 5;

/// Something of a material coming in or going out.
struct Move {
    material: MaterialId,
    day: NaiveDate,
    /// Deliveries of a day come before its uses.
    out: bool,
    /// The moment of a use; what is thrown out on a day comes after its uses.
    seconds: i64,
    amount: Amount,
    span: Span,
    /// Whose use it is, as a place in the season's list of sprays.
    spray: Option<usize>,
}

/// In place of the moment, for what was thrown out.
const THROWN_OUT: i64 = i64::MAX;

impl Move {
    fn thrown_out(&self) -> bool {
        self.seconds == THROWN_OUT
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Receive) || season.lost(EntryWord::Brew) {
        return;
    }
    let stocked = stocked(season.journal);
    if !stocked.contains(&true) {
        return;
    }
    let mut moves = moves(season, &stocked);
    moves.sort_by_key(|one| (one.material, one.day, one.out, one.seconds, one.span.start));
    let mut doubled = None;
    for moves in moves.chunk_by(|one, other| one.material == other.material) {
        let Some(short) = first_shortage(season, moves.iter()) else { continue };
        // A spray that stands in the journal twice has its own finding; what it seems to take is none.
        let doubled = doubled.get_or_insert_with(|| same_spray_twice::doubled(season));
        let once = |one: &&Move| one.spray.is_none_or(|spray| !doubled.contains(&spray));
        if doubled.is_empty() || first_shortage(season, moves.iter().filter(once)).is_some() {
            found.add(shortage(season, moves, short, found));
        }
    }
}

/// Which materials have deliveries or batches, each with its amount known.
fn stocked(journal: &Journal) -> Vec<bool> {
    let mut known = vec![None; journal.materials.len()];
    let received = journal.receipts.iter().map(|receipt| (receipt.material.id, receipt.amount.is_some()));
    let brewed = journal.brews.iter().map(|brew| (brew.material.and_then(|made| made.id), brew.amount.is_some()));
    for (material, amount) in received.chain(brewed) {
        if let Some(known) = material.and_then(|id| known.get_mut(id.index())) {
            *known = Some(known.unwrap_or(true) && amount);
        }
    }
    known.into_iter().map(|known| known == Some(true)).collect()
}

fn moves(season: &Season<'_>, stocked: &[bool]) -> Vec<Move> {
    let journal = season.journal;
    let mut moves = Vec::new();
    let mut add = |material: Option<MaterialId>, day, out, seconds, amount: Option<Amount>, span, spray| {
        let Some(material) = material.filter(|id| stocked[id.index()]) else { return };
        let settled = amount.and_then(|amount| amount.settle(journal.material(material).form()).ok());
        moves.extend(settled.map(|amount| Move { material, day, out, seconds, amount, span, spray }));
    };
    for receipt in &journal.receipts {
        if let Some(amount) = receipt.amount {
            add(receipt.material.id, receipt.at.day, false, 0, Some(amount.value), amount.span, None);
        }
    }
    for brew in &journal.brews {
        if let Some(amount) = brew.amount {
            add(brew.material.and_then(|made| made.id), brew.at.day, false, 0, Some(amount.value), amount.span, None);
        }
        for put in &brew.puts {
            let Some(PutDose::Amount(amount)) = put.dose else { continue };
            add(put.material.id, brew.at.day, true, 0, Some(amount), put.span, None);
        }
    }
    for (at, facts) in season.sprays.iter().enumerate() {
        let spray = facts.spray(journal);
        for dose in &facts.doses {
            if stocked[dose.material.index()] {
                let amount = written::went_in(season, spray, dose);
                let place = written::place(spray, dose);
                add(Some(dose.material), spray.at.day, true, facts.start.seconds, amount, place, Some(at));
            }
        }
    }
    for discard in &journal.discards {
        let Some(amount) = discard.amount else { continue };
        add(discard.material.id, discard.at.day, true, THROWN_OUT, Some(amount.value), amount.span, None);
    }
    moves
}

/// Where a material runs short.
#[derive(Clone, Copy)]
struct Short {
    /// The place of the use.
    at: usize,
    received: Amount,
    /// Before this use, and with it.
    used: [Amount; 2],
}

/// The first use of a material that takes over 2 % more than was ever received.
fn first_shortage<'m>(season: &Season<'_>, mut moves: impl Iterator<Item = &'m Move>) -> Option<Short> {
    let first = moves.next()?;
    // Used before the first delivery: there was stock that the journal does not know.
    if first.out {
        return None;
    }
    let (unit, zero) = (first.amount.unit, Exact::ZERO);
    let (mut received, mut used) = (first.amount.value, zero);
    for (at, one) in moves.enumerate() {
        let amount = like(season.journal, one.material, one.amount, unit)?.value;
        if !one.out {
            received = received.add(amount)?;
            continue;
        }
        let before = used;
        used = used.add(amount)?;
        if used > received.mul(Exact::new(102, 100)?)? {
            let received = Amount::new(received, unit);
            return Some(Short { at: at + 1, received, used: [before, used].map(|value| Amount::new(value, unit)) });
        }
    }
    None
}

fn shortage(season: &Season<'_>, moves: &[Move], short: Short, found: &Findings) -> Finding {
    let Short { at, received, used: [before, used] } = short;
    let one = &moves[at];
    let name = say::material(season, one.material);
    let (took, had) = rates::amounts(season, used, received);
    let day = say::day(one.day);
    let this = if one.thrown_out() { "what was thrown out" } else { "this use" };
    // Said only where something was, so that nobody looks for it in vain.
    let gone = if moves[..=at].iter().any(|one| one.thrown_out()) { "used or thrown out" } else { "used" };
    let mut finding = found
        .finding(
            one.span,
            format!("with {this} on {day}, {took} of {name} has been {gone}, but only {had} ever came in"),
        )
        .here("here the stock runs below nothing");
    let (took, had) = show_apart(used, received);
    let deliveries = || moves[..at].iter().filter(|one| !one.out);
    for delivery in deliveries().take(SHOWN) {
        finding = finding.label(delivery.span, format!("came in on {}", say::day(delivery.day)));
    }
    let others = deliveries().count().saturating_sub(SHOWN);
    if others > 0 {
        finding =
            finding.working(format!("and {others} other {}", if others == 1 { "delivery" } else { "deliveries" }));
    }
    finding = finding.working(format!("{had} came in, {} was {gone} before, {} here", show(before), show(one.amount)));
    if let Some(over) = used.minus(received) {
        finding = finding.working(format!("{took} - {had} = {} too much", show(over)));
    }
    let clues = Clues { of: Some(one.amount.dimension()), written: Some(one.amount.unit), ..Clues::default() };
    let left = received.minus(before).filter(|left| left.value.is_positive());
    let slip = || {
        let this = like(season.journal, one.material, one.amount, used.unit)?;
        likely_slip(this.ratio(left?)?, &clues).or_else(|| likely_slip(used.ratio(received)?, &clues))
    };
    finding
        .slip(slip())
        .help("look for a delivery that was not written down, a wrong unit or a wrong material")
        .source("arithmetic of your own entries; within 2 % nothing is said")
}
