//! See the Markdown beside this file.

use chrono::NaiveDate;

use super::asked::STOCK;
use super::{Ahead, Check, Findings, rates, same_spray_twice, say, written};
use crate::finding::{Finding, Level};
use crate::journal::MaterialId;
use crate::quantity::{Amount, Exact, show, show_apart};
use crate::season::{self, Cause, Dose, Season, add, like};
use crate::syntax::EntryWord;
use crate::text::Span;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "stock-disagrees",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "More used than was ever received",
    explain: include_str!("stock_disagrees.md"),
    run,
};

/// How many deliveries are shown.
const SHOWN: usize = 5;

/// Something of a material coming in or going out.
struct Move {
    way: Way,
    day: NaiveDate,
    amount: Amount,
    span: Span,
    /// Whose use it is, as a place in the season's list of sprays.
    spray: Option<usize>,
}

/// Which way something went.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    In,
    Used,
    ThrownOut,
    /// All of it was counted, so that what was before no longer matters.
    Counted,
}

impl Move {
    fn out(&self) -> bool {
        matches!(self.way, Way::Used | Way::ThrownOut)
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, STOCK, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if [EntryWord::Receive, EntryWord::Brew, EntryWord::Count].into_iter().any(|kind| season.lost(kind)) {
        return;
    }
    if season.journal.receipts.is_empty() && season.journal.brews.is_empty() {
        return;
    }
    let mut doubled = None;
    for id in season.stock().moved() {
        let moves = moves(season, id);
        let Some(short) = first_shortage(season, id, moves.iter()) else { continue };
        // A spray that stands in the journal twice has its own finding; what it seems to take is none.
        let doubled = doubled.get_or_insert_with(|| same_spray_twice::doubled(season));
        let once = |one: &&Move| one.spray.is_none_or(|spray| !doubled.contains(&spray));
        if doubled.is_empty() || first_shortage(season, id, moves.iter().filter(once)).is_some() {
            found.add(shortage(season, id, &moves, short, found));
        }
    }
}

/// The use of a material at which its stock first runs below nothing, if any.
pub(super) fn short_at(season: &Season<'_>, id: MaterialId) -> Option<Span> {
    let moves = moves(season, id);
    first_shortage(season, id, moves.iter()).map(|short| moves[short.at].span)
}

/// The movements of a material whose amounts are known; none where something came in and it is not known how much, and
/// where nothing came in.
fn moves(season: &Season<'_>, id: MaterialId) -> Vec<Move> {
    let stock = season.stock().of(id);
    let came_in = |one: &season::Move| matches!(one.cause, Cause::Received(_) | Cause::Made(_));
    let known = |one: &season::Move| one.cause.is_out() || one.amount.is_some();
    if !stock.moves.iter().any(came_in) || !stock.moves.iter().all(known) {
        return Vec::new();
    }
    let mut counts = stock.counts.iter().peekable();
    let mut moves = Vec::with_capacity(stock.moves.len());
    for (at, one) in stock.moves.iter().enumerate() {
        let count = counts.next_if(|count| count.at == at);
        let (way, amount, spray) = match one.cause {
            Cause::Received(_) | Cause::Made(_) => (Way::In, one.amount, None),
            Cause::Sprayed(at) => (Way::Used, went_in(season, at, id), Some(at)),
            Cause::Brewed(_) => (Way::Used, one.amount, None),
            Cause::Discarded(_) => (Way::ThrownOut, one.amount, None),
            Cause::Counted(_) if one.is_whole_count() => (Way::Counted, one.amount, None),
            // What is found of a lot beyond what it should hold came in.
            Cause::Counted(_) => {
                let found = count.and_then(|count| count.counted?.sub(count.expected.unwrap_or(Exact::ZERO)));
                let more = found.filter(|more| more.is_positive());
                (Way::In, more.zip(stock.unit).map(|(more, unit)| Amount::new(more, unit)), None)
            }
        };
        moves.extend(amount.map(|amount| Move { way, day: one.day, amount, span: one.span, spray }));
    }
    moves
}

/// What of a material went into a spray, as exactly as it is known.
fn went_in(season: &Season<'_>, at: usize, id: MaterialId) -> Option<Amount> {
    let facts = &season.sprays[at];
    let spray = facts.spray(season.journal);
    let mut doses = facts.doses.iter().filter(|dose| dose.material == id);
    let form = season.journal.material(id).form();
    let amount = |dose: &Dose| written::went_in(season, spray, dose)?.settle(form).ok();
    let first = amount(doses.next()?)?;
    doses.try_fold(first, |sum, dose| add(season.journal, id, sum, amount(dose)?))
}

/// Where a material runs short.
#[derive(Clone, Copy)]
struct Short {
    /// The place of what the sum begins with: the last count, or the first that came in.
    begins: usize,
    /// The place of the use.
    at: usize,
    received: Amount,
    /// Before this use, and with it.
    used: [Amount; 2],
}

/// The first use of a material that takes over 2 % more than was there by the last count and came in since.
fn first_shortage<'m>(season: &Season<'_>, id: MaterialId, moves: impl Iterator<Item = &'m Move>) -> Option<Short> {
    let mut moves = moves.enumerate().peekable();
    // Used before the first delivery: there was stock that the journal does not know, until it is counted.
    let unknown = moves.peek().is_some_and(|(_, first)| first.out());
    let mut moves = moves.skip_while(|(_, one)| unknown && one.way != Way::Counted).peekable();
    let (zero, unit) = (Exact::ZERO, moves.peek()?.1.amount.unit);
    let (mut begins, mut received, mut used) = (moves.peek()?.0, zero, zero);
    for (at, one) in moves {
        let amount = like(season.journal, id, one.amount, unit)?.value;
        match one.way {
            Way::In => received = received.add(amount)?,
            Way::Counted => (begins, received, used) = (at, amount, zero),
            Way::Used | Way::ThrownOut => {
                let before = used;
                used = used.add(amount)?;
                if used > received.mul(Exact::new(102, 100)?)? {
                    let received = Amount::new(received, unit);
                    let used = [before, used].map(|value| Amount::new(value, unit));
                    return Some(Short { begins, at, received, used });
                }
            }
        }
    }
    None
}

fn shortage(season: &Season<'_>, id: MaterialId, moves: &[Move], short: Short, found: &Findings) -> Finding {
    let Short { begins, at, received, used: [before, used] } = short;
    let (one, since) = (&moves[at], &moves[begins..at]);
    let name = say::material(season, id);
    let (took, had) = rates::amounts(season, used, received);
    let day = say::day(one.day);
    let this = if one.way == Way::ThrownOut { "what was thrown out" } else { "this use" };
    // Said only where something was, so that nobody looks for it in vain.
    let gone =
        if moves[begins..=at].iter().any(|one| one.way == Way::ThrownOut) { "used or thrown out" } else { "used" };
    let counted = since.first().filter(|first| first.way == Way::Counted);
    let when = counted.map(|count| format!(" since the count of {}", say::day(count.day))).unwrap_or_default();
    let came = if counted.is_some() { "was there or came in" } else { "ever came in" };
    let mut finding = found
        .finding(
            one.span,
            format!("with {this} on {day}, {took} of {name} has been {gone}{when}, but only {had} {came}"),
        )
        .here("here the stock runs below nothing");
    let (took, had) = show_apart(used, received);
    let deliveries = || since.iter().filter(|one| one.way == Way::In);
    if let Some(count) = counted {
        finding = finding.label(count.span, format!("counted on {}", say::day(count.day)));
    }
    for delivery in deliveries().take(SHOWN) {
        finding = finding.label(delivery.span, format!("came in on {}", say::day(delivery.day)));
    }
    let others = deliveries().count().saturating_sub(SHOWN);
    if others > 0 {
        finding =
            finding.working(format!("and {others} other {}", if others == 1 { "delivery" } else { "deliveries" }));
    }
    let in_words = if counted.is_some() { "was there or came in" } else { "came in" };
    finding =
        finding.working(format!("{had} {in_words}, {} was {gone} before, {} here", show(before), show(one.amount)));
    if let Some(over) = used.minus(received) {
        finding = finding.working(format!("{took} - {had} = {} too much", show(over)));
    }
    let clues = Clues { of: Some(one.amount.dimension()), written: Some(one.amount.unit), ..Clues::default() };
    let left = received.minus(before).filter(|left| left.value.is_positive());
    let slip = || {
        let this = like(season.journal, id, one.amount, used.unit)?;
        likely_slip(this.ratio(left?)?, &clues).or_else(|| likely_slip(used.ratio(received)?, &clues))
    };
    finding
        .slip(slip())
        .help("look for a delivery that was not written down, a wrong unit or a wrong material")
        .source("arithmetic of your own entries; within 2 % nothing is said")
}
