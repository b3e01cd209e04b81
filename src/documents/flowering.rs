//! What was sprayed while flower buds were set, beside the bloom that came of them.

use chrono::Datelike;
use serde::Serialize;

use super::book::Book;
use super::words;
use crate::journal::BlockId;
use crate::trade::bud_set;

/// The flower buds of one year's bloom on a block.
#[derive(Clone, Debug, Serialize)]
pub struct BudSet {
    /// The block.
    pub block: String,
    /// The year of the bloom.
    pub bloom_year: i32,
    /// When its buds were set.
    pub set: String,
    /// What was sprayed then: a day and the materials each.
    pub sprays: Vec<String>,
    /// What was seen of the bloom; absent where the journal does not go so far.
    pub seen: Option<String>,
}

/// How the names of time zones begin where spring comes in September.
const SOUTHERN: &[&str] = &[
    "Africa/Gaborone",
    "Africa/Harare",
    "Africa/Johannesburg",
    "Africa/Lusaka",
    "Africa/Maputo",
    "Africa/Maseru",
    "Africa/Mbabane",
    "Africa/Windhoek",
    "America/Argentina",
    "America/Asuncion",
    "America/Buenos_Aires",
    "America/La_Paz",
    "America/Lima",
    "America/Montevideo",
    "America/Punta_Arenas",
    "America/Santiago",
    "America/Sao_Paulo",
    "Australia/",
    "Chile/",
    "NZ",
    "Pacific/Auckland",
];

/// The buds of every bloom that the part to show says anything of: sprayed while they were set.
pub(super) fn bud_sets(book: &Book<'_>) -> Vec<BudSet> {
    let mut sets = Vec::new();
    // The published days are those of northern orchards; no days are known here for southern ones.
    let zone = book.journal().farm.as_ref().and_then(|farm| farm.zone);
    if zone.is_some_and(|zone| SOUTHERN.iter().any(|south| zone.value.name().starts_with(south))) {
        return sets;
    }
    let mut years: Vec<i32> = book.sprays().map(|facts| facts.start.local.year()).collect();
    years.dedup();
    for block in book.blocks() {
        let Some(crop) = book.season.crop(block) else { continue };
        for &year in &years {
            let Some(set) = bud_set(crop, year + 1) else { continue };
            // A block's sprays are in the order of time.
            let all = &book.season.by_block[block.index()];
            let day = |at: usize| book.season.sprays[at].start.local.date();
            let from = all.partition_point(|&at| day(at) < *set.start());
            let to = all.partition_point(|&at| day(at) <= *set.end());
            let sprays: Vec<String> = all[from..to]
                .iter()
                .map(|&at| &book.season.sprays[at])
                .filter(|facts| book.scope.has_spray(book.journal(), facts))
                .map(|facts| {
                    let materials: Vec<&str> = facts.doses.iter().map(|dose| book.material(dose.material)).collect();
                    format!("{}: {}", words::day_short(facts.start.local.date()), words::list(&materials))
                })
                .collect();
            sets.push(BudSet {
                block: book.block(block).to_string(),
                bloom_year: year + 1,
                set: words::days(*set.start(), *set.end()),
                sprays,
                seen: bloom(book, block, year + 1),
            });
        }
    }
    sets
}

/// The widest bloom and the fruit set that were recorded of a block in a year.
fn bloom(book: &Book<'_>, block: BlockId, year: i32) -> Option<String> {
    let looks = book.looks(block).iter().filter(|seen| seen.at.day.year() == year);
    let widest = looks.clone().filter_map(|seen| seen.bloom).map(|bloom| bloom.value).max();
    let set = looks.filter_map(|seen| seen.fruit_set).next_back();
    let parts: Vec<String> = [
        widest.map(|percent| format!("{} % open at the widest", percent.decimal(1))),
        set.map(|set| format!("{} fruits of {} flowers", set.found, set.of)),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!parts.is_empty()).then(|| words::list(&parts))
}
