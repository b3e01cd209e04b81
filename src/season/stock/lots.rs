//! The lots and batches of a material, and which of them each movement is of.

use chrono::NaiveDate;
use rustc_hash::FxHashMap;

use super::moves::{Cause, Move};
use super::value;
use crate::journal::{BrewId, MaterialId};
use crate::quantity::Unit;
use crate::season::Season;
use crate::text::Span;

/// A lot of a material, or a batch of it.
#[derive(Clone, Debug)]
pub struct Lot {
    /// How it came.
    pub origin: LotOrigin,
    /// Its name as first written; `None` for a delivery without one.
    pub words: Option<Span>,
    /// The day it came, was made or was first counted.
    pub since: NaiveDate,
    /// Its deliveries, as places in the journal's list.
    pub arrivals: Vec<usize>,
    /// The last day it may be used; of several deliveries that say different days, the latest.
    pub use_by: Option<NaiveDate>,
}

/// How a lot came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LotOrigin {
    /// It was delivered.
    Delivered,
    /// It was made here.
    Batch(BrewId),
    /// It stood on the shelf when it was first counted.
    Counted,
}

/// The name of a lot as it is compared: capitals and the number of spaces make no difference.
pub fn lot_key(words: &str) -> String {
    let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
    words.join(" ")
}

/// Numbers the lots in the order in which they came, and says of every movement which of them it is of.
pub(super) fn number(season: &Season<'_>, material: MaterialId, unit: Option<Unit>, moves: &mut [Move]) -> Vec<Lot> {
    let mut shed = Shed { season, lots: Vec::new(), names: FxHashMap::default(), batches: FxHashMap::default() };
    for one in moves.iter_mut() {
        match one.cause {
            Cause::Received(receipt) => shed.delivery(one, receipt),
            Cause::Made(brew) => shed.batch(one, brew),
            Cause::Counted(_) if one.lots.is_some() => shed.counted(one),
            _ => {}
        }
    }
    for one in moves.iter_mut() {
        if let Cause::Sprayed(at) = one.cause {
            let spray = season.sprays[at].spray(season.journal);
            let named = spray.batches.iter().filter_map(|batch| shed.batches.get(&batch.id?).copied());
            let mut named: Vec<usize> = named.collect();
            if !named.is_empty() {
                // The order of making.
                named.sort_unstable();
                named.dedup();
                one.lots.get_or_insert_default().batches = named;
            }
        }
        for draw in one.lots.iter_mut().flat_map(|lots| &mut lots.named) {
            draw.lot = draw.lot.or_else(|| shed.names.get(&lot_key(season.words(draw.words))).copied());
            draw.value = value(season.journal, material, draw.amount, unit);
        }
    }
    shed.lots
}

struct Shed<'s, 'j> {
    season: &'s Season<'j>,
    lots: Vec<Lot>,
    names: FxHashMap<String, usize>,
    batches: FxHashMap<BrewId, usize>,
}

impl Shed<'_, '_> {
    /// The lot of a name, or a new one.
    fn lot(&mut self, words: Option<Span>, since: NaiveDate, origin: LotOrigin) -> usize {
        let key = words.map(|words| lot_key(self.season.words(words)));
        if let Some(known) = key.as_ref().and_then(|key| self.names.get(key)) {
            return *known;
        }
        let at = self.lots.len();
        self.lots.push(Lot { origin, words, since, arrivals: Vec::new(), use_by: None });
        if let Some(key) = key {
            self.names.insert(key, at);
        }
        at
    }

    /// Deliveries of one lot are one lot; one whose lot is not written is a lot of its own, which nothing can name.
    fn delivery(&mut self, one: &mut Move, receipt: usize) {
        let words = one.named().first().map(|draw| draw.words);
        let at = self.lot(words, one.day, LotOrigin::Delivered);
        let lot = &mut self.lots[at];
        lot.arrivals.push(receipt);
        lot.use_by = lot.use_by.max(self.season.journal.receipts[receipt].use_by.map(|day| day.value));
        one.put_into(at);
    }

    fn batch(&mut self, one: &mut Move, brew: BrewId) {
        let made = self.season.journal.brew(brew);
        let at = self.lots.len();
        let words = made.named.span;
        let use_by = made.use_by.map(|day| day.value);
        self.lots.push(Lot {
            origin: LotOrigin::Batch(brew),
            words: Some(words),
            since: one.day,
            arrivals: Vec::new(),
            use_by,
        });
        self.names.entry(lot_key(self.season.words(words))).or_insert(at);
        self.batches.insert(brew, at);
        one.put_into(at);
    }

    fn counted(&mut self, one: &mut Move) {
        let words = one.named().first().map(|draw| draw.words);
        let at = self.lot(words, one.day, LotOrigin::Counted);
        one.put_into(at);
    }
}
