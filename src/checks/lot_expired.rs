//! See the Markdown beside this file.

use super::asked::STOCK;
use super::{Ahead, Check, Findings, When, lots, say, scene};
use crate::finding::Level;
use crate::journal::MaterialId;
use crate::season::{LotOrigin, MaterialStock, Move, Season};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "lot-expired",
    level: Level::Warning,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "A delivery used after its use-by",
    explain: include_str!("lot_expired.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, STOCK, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    if season.journal.receipts.iter().all(|receipt| receipt.use_by.is_none()) {
        return;
    }
    if !season.keeps_stock() {
        return;
    }
    for id in season.stock().moved() {
        let stock = season.stock().of(id);
        if stock.lots.iter().all(|lot| lot.use_by.is_none()) {
            continue;
        }
        // The day after which every lot that has come so far is past its use-by.
        let mut all_past = None;
        let mut came = 0;
        for one in &stock.moves {
            while stock.lots.get(came).is_some_and(|lot| lot.since <= one.day) {
                let last = stock.lots[came].use_by.map(|use_by| (use_by, came));
                all_past = if came == 0 { last } else { all_past.zip(last).map(|(one, other)| one.max(other)) };
                came += 1;
            }
            if one.cause.is_use() {
                look(season, id, stock, one, all_past.map(|(_, lot)| lot), found);
            }
        }
    }
}

/// A use of a lot that it names, or of one of which nothing else can have been used, after its use-by. Batches are
/// `batch-out-of-date`'s matter.
fn look(
    season: &Season<'_>,
    id: MaterialId,
    stock: &MaterialStock,
    one: &Move,
    latest: Option<usize>,
    found: &mut Findings,
) {
    let mut used: Vec<(usize, Span)> = Vec::new();
    for draw in one.named() {
        used.extend(draw.lot.map(|lot| (lot, draw.span)));
    }
    // Stock from before the journal began has no use-by that is known.
    let opened = stock.opened().is_some_and(|opened| opened == stock.moves[0].day) && !stock.moves[0].is_whole_count();
    if one.lots.is_none() && opened {
        used.extend(latest.map(|lot| (lot, one.span)));
    }
    for (at, span) in used {
        let lot = &stock.lots[at];
        let Some(use_by) = lot.use_by.filter(|use_by| *use_by < one.day) else { continue };
        if matches!(lot.origin, LotOrigin::Batch(_)) {
            continue;
        }
        let late = scene::days(scene::between(use_by, one.day));
        let (name, deed) = (lots::name(season, id, lot), lots::deed(season, one));
        let headline = if one.lots.is_some() {
            format!("{deed} is of {name}, {late} after its use-by")
        } else {
            format!("{deed} took {}, of which all was past its use-by, the latest by {late}", say::material(season, id))
        };
        let mut finding = found.finding(span, headline);
        let dates = lot.arrivals.iter().filter_map(|&receipt| season.journal.receipts[receipt].use_by);
        for date in dates.filter(|date| date.value == use_by).take(1) {
            finding = finding.label(date.span, "use-by set here");
        }
        found.add(
            finding
                .working(format!("used on {}; the date is {}", say::day(one.day), say::day(use_by)))
                .help("put the lot or the date right; if it was used so on purpose, accept this with the reason")
                .source("the dates are your own entry"),
        );
    }
}
