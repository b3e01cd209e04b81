//! See the Markdown beside this file.

use super::asked::STOCK;
use super::{Ahead, Check, Findings, lots, say};
use crate::finding::Level;
use crate::season::{Cause, LotOrigin, MaterialStock, Season};
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "lot-unknown",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "A lot that never came in",
    explain: include_str!("lot_unknown.md"),
    run,
};

/// How many lots are named.
const NAMED: usize = 5;
/// How many lots one that is not known is compared with.
const LOOKED_AT: usize = 100;

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, STOCK, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if [EntryWord::Receive, EntryWord::Brew, EntryWord::Count].into_iter().any(|kind| season.lost(kind)) {
        return;
    }
    if !season.keeps_stock() {
        return;
    }
    for id in season.stock().moved() {
        let stock = season.stock().of(id);
        if !all_named(stock) {
            continue;
        }
        for one in &stock.moves {
            for draw in one.named().iter().filter(|draw| draw.lot.is_none()) {
                let (words, name) = (season.words(draw.words).trim(), say::material(season, id));
                let headline = format!("{} is of lot {words} of {name}, which never came in", lots::deed(season, one));
                // The latest are looked at: with thousands of lots the one that was meant is among them.
                let latest = &stock.lots[stock.lots.len().saturating_sub(LOOKED_AT)..];
                let known: Vec<&str> =
                    latest.iter().filter_map(|lot| lot.words).map(|words| season.words(words).trim()).collect();
                let help = match lots::nearest(words, &known) {
                    Some(near) => format!("lot {near} of {name} came in; if that is meant, write it so"),
                    None => {
                        let last = known[known.len().saturating_sub(NAMED)..].join(", ");
                        let which = if stock.lots.len() > NAMED { "the latest lots" } else { "the lots" };
                        format!("{which} of {name} that came in: {last}")
                    }
                };
                let finding = found.finding(draw.words, headline).here("no delivery, batch or count has this lot");
                found.add(finding.help(help).source("the lots are your own entries"));
            }
        }
    }
}

/// Whether every lot that was ever there has a name, so that one of another name cannot have been.
fn all_named(stock: &MaterialStock) -> bool {
    let first_in = stock.moves.first().is_some_and(|first| matches!(first.cause, Cause::Received(_) | Cause::Made(_)));
    let by_lot = stock.moves.first().is_some_and(|first| first.lot().is_some());
    let delivered = stock.lots.iter().any(|lot| !matches!(lot.origin, LotOrigin::Batch(_)));
    (first_in || by_lot) && delivered && stock.lots.iter().all(|lot| lot.words.is_some())
}
