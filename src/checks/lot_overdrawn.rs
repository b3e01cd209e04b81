//! See the Markdown beside this file.

use super::asked::STOCK;
use super::{Ahead, Check, Findings, lots, rates, same_spray_twice, say, stock_disagrees};
use crate::finding::{Finding, Level};
use crate::journal::MaterialId;
use crate::quantity::{Amount, Exact, show, show_apart};
use crate::season::{Cause, LotOrigin, MaterialStock, Season};
use crate::syntax::EntryWord;
use crate::text::Span;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "lot-overdrawn",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "More used of a lot or a batch than there was of it",
    explain: include_str!("lot_overdrawn.md"),
    run,
};

/// How many places that something came in are shown.
const SHOWN: usize = 5;

/// What is known of one lot so far.
#[derive(Clone)]
struct Tally {
    /// What came in, or was counted last; `None` where that is not known.
    came: Option<Exact>,
    used: Option<Exact>,
    /// Where it came in, or was counted last.
    from: Vec<Span>,
    told: bool,
}

impl Tally {
    const NEW: Self = Self { came: Some(Exact::ZERO), used: Some(Exact::ZERO), from: Vec::new(), told: false };
}

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, STOCK, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    if [EntryWord::Receive, EntryWord::Brew, EntryWord::Count].into_iter().any(|kind| season.lost(kind)) {
        return;
    }
    let mut doubled = None;
    if !season.keeps_stock() {
        return;
    }
    for id in season.stock().moved() {
        let stock = season.stock().of(id);
        let names_lots = |one: &crate::season::Move| one.cause.is_out() && one.lots.is_some();
        if stock.lots.is_empty() || !stock.moves.iter().any(names_lots) {
            continue;
        }
        // A spray that stands in the journal twice has its own finding; what it seems to take is none.
        let doubled = doubled.get_or_insert_with(|| same_spray_twice::doubled(season));
        look(season, id, stock, doubled, found);
    }
}

fn look(
    season: &Season<'_>,
    id: MaterialId,
    stock: &MaterialStock,
    doubled: &rustc_hash::FxHashSet<usize>,
    found: &mut Findings,
) {
    let mut tallies = vec![Tally::NEW; stock.lots.len()];
    for one in &stock.moves {
        match one.cause {
            Cause::Received(_) | Cause::Made(_) => {
                let Some(tally) = one.lot().map(|lot| &mut tallies[lot]) else { continue };
                tally.came = tally.came.zip(one.value).and_then(|(known, more)| known.add(more));
                tally.from.push(one.span);
            }
            Cause::Counted(_) => {
                let Some(lot) = one.lot() else { continue };
                let told = tallies[lot].told;
                tallies[lot] = Tally { came: one.value, used: Some(Exact::ZERO), from: vec![one.span], told };
            }
            Cause::Sprayed(at) if doubled.contains(&at) => {}
            Cause::Sprayed(_) | Cause::Brewed(_) | Cause::Discarded(_) => {
                for part in lots::named(one) {
                    let tally = &mut tallies[part.lot];
                    let before = tally.used;
                    tally.used = before.zip(part.value).and_then(|(known, more)| known.add(more));
                    let over = || {
                        let (came, used) = (tally.came?, tally.used?);
                        (used > came.mul(Exact::new(102, 100)?)?).then_some((came, used))
                    };
                    if let (Some((came, used)), false) = (over(), tally.told) {
                        tally.told = true;
                        let batch = matches!(stock.lots[part.lot].origin, LotOrigin::Batch(_));
                        // Used before it was made is `batch-out-of-date`; more than there is of all lots together is
                        // `stock-disagrees`.
                        if batch && tally.from.is_empty() || stock_disagrees::short_at(season, id) == Some(one.span) {
                            continue;
                        }
                        let said = Over { id, lot: part.lot, came, used, before, at: part.span };
                        let finding = overdrawn(season, stock, one, &said, &tally.from, found);
                        found.add(finding);
                    }
                }
            }
        }
    }
}

/// A lot of which more was used than there was.
struct Over {
    id: MaterialId,
    lot: usize,
    came: Exact,
    used: Exact,
    before: Option<Exact>,
    at: Span,
}

fn overdrawn(
    season: &Season<'_>,
    stock: &MaterialStock,
    one: &crate::season::Move,
    over: &Over,
    from: &[Span],
    found: &Findings,
) -> Finding {
    let lot = &stock.lots[over.lot];
    let (name, deed) = (lots::name(season, over.id, lot), lots::deed(season, one));
    let unit = stock.unit.unwrap_or(crate::quantity::Unit::EACH);
    let amount = |value: Exact| Amount::new(value, unit);
    let (used, came) = rates::amounts(season, amount(over.used), amount(over.came));
    let headline = if from.is_empty() {
        format!("{deed} is of {name}, which came on {}", say::day(lot.since))
    } else {
        format!("with {deed}, {used} of {name} is gone, but there was only {came} of it")
    };
    let mut finding = found.finding(over.at, headline);
    for place in from.iter().take(SHOWN) {
        finding = finding.label(*place, "what there was of it");
    }
    if from.is_empty() {
        let brought = stock.moves.iter().find(|one| !one.cause.is_out() && one.lot() == Some(over.lot));
        if let Some(brought) = brought {
            finding = finding.label(brought.span, "came here");
        }
        return finding.help("put the day or the lot right").source("the days and lots are your own entries");
    }
    let (shown_used, shown_came) = show_apart(amount(over.used), amount(over.came));
    let this = over.before.and_then(|before| over.used.sub(before));
    if let (Some(before), Some(this)) = (over.before, this) {
        finding =
            finding.working(format!("{} before, {} here: {shown_used}", show(amount(before)), show(amount(this))));
    }
    if let Some(more) = over.used.sub(over.came) {
        finding = finding.working(format!("{shown_used} - {shown_came} = {} too much", show(amount(more))));
    }
    // Only where one use alone is more than there was does its ratio tell anything.
    let alone = over.before.is_some_and(Exact::is_zero);
    let slip = || {
        let clues =
            Clues { of: Some(unit.dimension()), written: one.amount.map(|amount| amount.unit), ..Clues::default() };
        likely_slip(this.filter(|_| alone)?.div(over.came)?, &clues)
    };
    finding
        .slip(slip())
        .help("look for another lot that was used, a delivery of this lot that was not written down, or a wrong amount")
        .source("arithmetic of your own entries; within 2 % nothing is said")
}
