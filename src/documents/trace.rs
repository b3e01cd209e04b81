//! From a picked lot back to everything that went on its rows: sprays, what was in the tank, batches, deliveries. Lots of
//! the same ground with no spray on it between them have one history, which is told once.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, Months, NaiveDate};
use rustc_hash::FxHashSet;
use serde::Serialize;

use super::book::Book;
use super::supply::{BatchMade, Supply};
use super::words::{count, day, days, list, moment, stated};
use crate::journal::{BlockId, BrewId, Harvest, Interval, MaterialId, Stated};
use crate::season::{Dose, Moment, SprayFacts, disjoint, rows_of, rows_treated, share_on};

/// A lot, or picks without one, and what went on its rows before.
#[derive(Clone, Debug, Serialize)]
pub struct Trace {
    /// `Lot CP-0914`, `Lots A1, A2 and picks without a lot`, or `Picks without a lot`.
    pub title: String,
    /// Its days.
    pub when: String,
    /// The picks.
    pub picks: Vec<TracedPick>,
    /// What happened on each block before.
    pub chains: Vec<Chain>,
    /// The materials of all chains together, each with where it came from.
    pub materials: Vec<TracedMaterial>,
    /// The home-made batches that the sprays name.
    pub batches: Vec<BatchMade>,
    /// Intervals that were not kept, in all chains.
    pub short: usize,
}

/// A pick of a lot.
#[derive(Clone, Debug, Serialize)]
pub struct TracedPick {
    /// The day, with the time where one is recorded.
    pub when: String,
    /// The lot.
    pub lot: Option<String>,
    /// Which ground.
    pub ground: String,
    /// How much, in both systems.
    pub amount: Option<String>,
    /// Who.
    pub who: Option<String>,
    /// Where the entry is.
    pub place: String,
}

/// What went on a block before it was picked.
#[derive(Clone, Debug, Serialize)]
pub struct Chain {
    /// The block.
    pub block: String,
    /// Crop, cultivars, location and certified status, as far as they are recorded.
    pub about: Option<String>,
    /// The sprays, in the order of time.
    pub sprays: Vec<TracedSpray>,
    /// How many earlier ones are not listed.
    pub earlier: usize,
}

/// A spray in a chain.
#[derive(Clone, Debug, Serialize)]
pub struct TracedSpray {
    /// The day, with the time where one is recorded.
    pub when: String,
    /// Which rows; absent for all.
    pub rows: Option<String>,
    /// Whether only what was left in a tank went here.
    pub leftover: bool,
    /// When re-entry ended, or that no label states an interval; absent where none is recorded.
    pub reentry: Option<String>,
    /// What was in the tank.
    pub products: Vec<TracedProduct>,
    /// The home-made batches it names.
    pub batches: Option<String>,
    /// Where the entry is.
    pub place: String,
}

/// A material in a chain.
#[derive(Clone, Debug, Serialize)]
pub struct TracedProduct {
    /// The material.
    pub material: String,
    /// How much of it went on the block, in both systems.
    pub amount: Option<String>,
    /// The harvest interval for the crop.
    pub interval: Option<String>,
    /// The days from the end of the spray to the next pick of these rows: `26 days`.
    pub kept: String,
    /// Whether the pick came too soon.
    pub short: bool,
}

/// A material of a lot.
#[derive(Clone, Debug, Serialize)]
pub struct TracedMaterial {
    /// The material.
    pub material: String,
    /// The registration number.
    pub registration: Option<String>,
    /// In how many of the sprays it was.
    pub sprays: usize,
    /// Where it came from, up to its last use here.
    pub from: Vec<String>,
}

/// How many sprays a chain lists at most. More in a year is no way of working; the latest are listed, and the rest is
/// counted, so that a binder grows with its journal.
const MOST: usize = 120;

/// For how many months before a pick a chain goes back: a whole year holds the season of either hemisphere.
const BACK: Months = Months::new(12);

/// What was on the ground of a pick: for each block how many sprays of it came before, and the rows.
type Ground = (Vec<(BlockId, usize)>, String);

/// The traces of the part to show, in the order of their first picks.
pub(super) fn traces(book: &Book<'_>, supply: &Supply<'_>) -> Vec<Trace> {
    let mut picks: Vec<&Harvest> = book.journal().harvests.iter().collect();
    picks.retain(|pick| {
        let lot = book.some_words(pick.lot);
        book.scope.has_day(pick.at.day) && book.scope.has_ground(&pick.ground) && book.scope.has_lot(lot.as_deref())
    });
    picks.sort_by_key(|pick| (pick.at.day, pick.at.entry.start));
    // A lot name that is used again another year is another lot; a pick without a lot is one of its own.
    let mut lots: BTreeMap<(i32, Result<String, u32>), Vec<&Harvest>> = BTreeMap::new();
    for pick in picks {
        let lot = book.some_words(pick.lot).ok_or(pick.at.entry.start);
        lots.entry((pick.at.day.year(), lot)).or_default().push(pick);
    }
    let mut alike: BTreeMap<BTreeSet<Ground>, Vec<&Harvest>> = BTreeMap::new();
    for picks in lots.into_values() {
        alike.entry(picks.iter().map(|pick| ground(book, pick)).collect()).or_default().extend(picks);
    }
    let mut groups: Vec<Vec<&Harvest>> = alike.into_values().collect();
    for picks in &mut groups {
        picks.sort_by_key(|pick| (pick.at.day, pick.at.entry.start));
    }
    groups.sort_by_key(|picks| picks.first().map(|pick| (pick.at.day, pick.at.entry.start)));
    groups.into_iter().map(|picks| trace(book, supply, &picks)).collect()
}

fn ground(book: &Book<'_>, pick: &Harvest) -> Ground {
    let began = began(book, pick);
    let before = |block: BlockId| {
        let sprays = &book.season.by_block[block.index()];
        sprays.partition_point(|&at| book.season.sprays[at].start < began)
    };
    let mut blocks: Vec<(BlockId, usize)> =
        pick.ground.blocks.iter().filter_map(|block| block.id).map(|block| (block, before(block))).collect();
    blocks.sort_unstable();
    // Ground that is not known is like no other, and neither is that of another year.
    let unknown = blocks.is_empty() || pick.ground.blocks.iter().any(|block| block.id.is_none());
    let alone = if unknown { format!(" {}", pick.at.entry.start) } else { String::new() };
    let rows = book.rows(&pick.ground).unwrap_or_default();
    (blocks, format!("{} {rows}{alone}", pick.at.day.year()))
}

/// What a trace gathers over its chains.
#[derive(Default)]
struct Gathered {
    /// By material: in how many sprays, the last day, and whether any of them names no batch of it.
    materials: BTreeMap<MaterialId, (usize, NaiveDate, bool)>,
    batches: Vec<BrewId>,
    short: usize,
}

fn trace(book: &Book<'_>, supply: &Supply<'_>, picks: &[&Harvest]) -> Trace {
    let mut blocks: Vec<BlockId> =
        picks.iter().flat_map(|pick| &pick.ground.blocks).filter_map(|block| block.id).collect();
    blocks.sort_unstable();
    blocks.dedup();
    let mut gathered = Gathered::default();
    let chains = blocks.into_iter().map(|block| chain(book, block, picks, &mut gathered)).collect();
    let (first, last) = (picks.first().map(|pick| pick.at.day), picks.last().map(|pick| pick.at.day));
    gathered.batches.sort_unstable();
    gathered.batches.dedup();
    let mut materials: Vec<(&str, MaterialId)> = gathered.materials.keys().map(|&id| (book.material(id), id)).collect();
    materials.sort_unstable();
    let one = |(name, id): (&str, MaterialId)| {
        let (sprays, until, unnamed) = gathered.materials[&id];
        let of_it = |batch: &&BrewId| batch_of(book, **batch) == Some(id);
        let named = gathered.batches.iter().filter(of_it).map(|&batch| supply.named(book, batch));
        let named: Vec<String> =
            named.map(|one| format!("batch {} {} of {}", one.number, one.name, one.made)).collect();
        TracedMaterial {
            material: name.to_string(),
            registration: book.some_words(book.journal().material(id).registration),
            sprays,
            // Where every spray says which batch, nothing else can have gone in.
            from: if named.is_empty() || unnamed { supply.came_from(book, id, until) } else { named },
        }
    };
    Trace {
        title: title(book, picks),
        when: days(first.unwrap_or_default(), last.unwrap_or_default()).trim_start_matches("on ").to_string(),
        picks: picks.iter().map(|pick| picked(book, pick)).collect(),
        chains,
        materials: materials.into_iter().map(one).collect(),
        batches: gathered.batches.iter().map(|&id| supply.named(book, id)).collect(),
        short: gathered.short,
    }
}

/// What a batch is of.
fn batch_of(book: &Book<'_>, batch: BrewId) -> Option<MaterialId> {
    book.journal().brew(batch).material.and_then(|material| material.id)
}

fn title(book: &Book<'_>, picks: &[&Harvest]) -> String {
    let mut seen = FxHashSet::default();
    let written = picks.iter().filter_map(|pick| book.some_words(pick.lot));
    let mut lots: Vec<String> = written.filter(|lot| seen.insert(lot.clone())).collect();
    let word = if lots.len() == 1 { "Lot" } else { "Lots" };
    if lots.is_empty() {
        return if picks.len() == 1 { "A pick without a lot" } else { "Picks without a lot" }.to_string();
    }
    if picks.iter().any(|pick| pick.lot.is_none()) {
        lots.push("picks without a lot".to_string());
    }
    format!("{word} {}", list(&lots))
}

fn picked(book: &Book<'_>, pick: &Harvest) -> TracedPick {
    let who: Vec<String> = book.people(&pick.by).into_iter().chain(book.some_words(pick.crew)).collect();
    let time = pick.sessions.first().map(|session| session.start.local.format(" %H:%M").to_string());
    TracedPick {
        when: format!("{}{}", day(pick.at.day), time.unwrap_or_default()),
        lot: book.some_words(pick.lot),
        ground: book.ground(&pick.ground),
        amount: pick.amount.map(|amount| book.amount(amount.value)),
        who: (!who.is_empty()).then(|| who.join("; ")),
        place: book.place(pick.at.line),
    }
}

/// When a pick began; the end of its day where no time is recorded, since it may have been as late as that.
fn began(book: &Book<'_>, pick: &Harvest) -> Moment {
    let zone = &book.season.zone;
    let starts = pick.sessions.iter().map(|session| zone.written(session.start, false).0);
    starts.min().unwrap_or_else(|| zone.end_of(pick.at.day))
}

fn chain(book: &Book<'_>, block: BlockId, picks: &[&Harvest], gathered: &mut Gathered) -> Chain {
    let season = book.season;
    // The picks of this block, in the order of time.
    let mut here: Vec<(Moment, &Harvest)> = picks
        .iter()
        .filter(|pick| pick.ground.blocks.iter().any(|named| named.id == Some(block)))
        .map(|pick| (began(book, pick), *pick))
        .collect();
    here.sort_by_key(|(began, pick)| (*began, pick.at.entry.start));
    let since = here.first().and_then(|(_, pick)| pick.at.day.checked_sub_months(BACK)).unwrap_or(NaiveDate::MIN);
    let last = here.last().map(|(began, _)| *began);
    let list = &season.by_block[block.index()];
    let from = list.partition_point(|&at| season.sprays[at].start.local.date() <= since);
    let to = list.partition_point(|&at| last.is_some_and(|last| season.sprays[at].start < last));
    let candidates = list.get(from..to).unwrap_or_default();
    let earlier = candidates.len().saturating_sub(MOST);
    let mut sprays = Vec::new();
    for &at in &candidates[earlier..] {
        let facts = &season.sprays[at];
        let spray = facts.spray(season.journal);
        // The first pick after it of rows that it was on.
        let next = here.partition_point(|(began, _)| *began <= facts.start);
        let on_rows = |pick: &Harvest| rows_treated(spray, block).any(|rows| !disjoint(rows, rows_of(&pick.ground)));
        let Some((began, pick)) = here[next..].iter().take(MOST).find(|(_, pick)| on_rows(pick)) else { continue };
        sprays.push(sprayed(book, block, facts, *began, pick.at.day, gathered));
    }
    Chain { block: book.block(block).to_string(), about: about(book, block), sprays, earlier }
}

fn sprayed(
    book: &Book<'_>,
    block: BlockId,
    facts: &SprayFacts,
    began: Moment,
    picked: NaiveDate,
    gathered: &mut Gathered,
) -> TracedSpray {
    let spray = facts.spray(book.journal());
    // A block that is not known may have had any part of the tank.
    let known = spray.ground.blocks.iter().all(|named| named.id.is_some());
    let share = share_on(facts, spray, block).filter(|_| known);
    let days = picked.signed_duration_since(facts.end.local.date()).num_days();
    let kept = count(usize::try_from(days).unwrap_or(0), "day", "days");
    let mut products = Vec::with_capacity(facts.doses.len());
    for dose in &facts.doses {
        let id = dose.material;
        let amount = dose.amount().and_then(|amount| book.in_own_unit(id, amount).times(share?));
        let interval = book.season.preharvest(id, book.season.crop(block));
        let short = interval.is_some_and(|interval| too_soon(book, facts, interval, began));
        gathered.short += usize::from(short);
        let names = spray.batches.iter().any(|batch| batch.id.and_then(|batch| batch_of(book, batch)) == Some(id));
        let seen = gathered.materials.entry(id).or_insert((0, spray.at.day, false));
        *seen = (seen.0 + 1, seen.1.max(spray.at.day), seen.2 || !names);
        products.push(TracedProduct {
            material: book.material(id).to_string(),
            amount: amount.map(|amount| book.amount(amount)),
            interval: interval.map(|interval| stated(interval.time)),
            kept: kept.clone(),
            short,
        });
    }
    gathered.batches.extend(spray.batches.iter().filter_map(|batch| batch.id));
    let batches: Vec<String> = spray
        .batches
        .iter()
        .map(|batch| batch.id.map_or_else(|| book.words(batch.span), |id| book.journal().brew(id).named.shown().into()))
        .collect();
    let time = (!spray.sessions.is_empty()).then(|| facts.start.local.format(" %H:%M").to_string());
    let leftover = !spray.ground.blocks.iter().any(|named| named.id == Some(block));
    let ground = spray.leftover.as_ref().filter(|_| leftover).map_or(&spray.ground, |leftover| &leftover.ground);
    TracedSpray {
        when: format!("{}{}", day(spray.at.day), time.unwrap_or_default()),
        rows: book.rows(ground),
        leftover,
        reentry: reentry(book, facts),
        products,
        batches: (!batches.is_empty()).then(|| list(&batches)),
        place: book.place(spray.at.line),
    }
}

/// Whether a pick came before a harvest interval was over. A pick whose time is not recorded is taken as late as can be.
fn too_soon(book: &Book<'_>, facts: &SprayFacts, interval: &Interval, began: Moment) -> bool {
    book.season.clear_after(facts.end, interval).is_some_and(|clear| began.seconds < clear.seconds)
}

/// When re-entry ended, or that every label in the tank states no interval.
fn reentry(book: &Book<'_>, facts: &SprayFacts) -> Option<String> {
    let none_stated = |dose: &Dose| {
        book.journal().material(dose.material).reentry.is_some_and(|time| time.value == Stated::NoneStated)
    };
    let none = !facts.doses.is_empty() && facts.doses.iter().all(none_stated);
    facts.reentry.map(|hold| moment(hold.until)).or_else(|| none.then(|| "none stated".to_string()))
}

fn about(book: &Book<'_>, block: BlockId) -> Option<String> {
    let block = book.journal().block(block);
    let crop = block.crop.as_ref().map(|crop| crop.value.to_string());
    let parts: Vec<String> = [crop]
        .into_iter()
        .chain([block.cultivar, block.location, block.certified].map(|words| book.some_words(words)))
        .flatten()
        .collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}
