//! The movements of every material, in the order of time.

use chrono::NaiveDate;

use crate::journal::{At, BrewId, Journal, Material, MaterialId, PutDose};
use crate::quantity::{Amount, Exact};
use crate::season::{Season, SprayFacts, add};
use crate::text::Span;

/// What moved a material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// It was delivered: a place in [`Journal::receipts`].
    Received(usize),
    /// A batch of it was made.
    Made(BrewId),
    /// It went into a tank: a place in [`Season::sprays`].
    Sprayed(usize),
    /// It went into a batch of something else.
    Brewed(BrewId),
    /// It left the shed unused: a place in [`Journal::discards`].
    Discarded(usize),
    /// The shelf was counted: a place in [`Journal::counts`].
    Counted(usize),
}

impl Cause {
    /// On one day what came in stands before what was used and what was thrown out, and the shelf is counted after all
    /// of it.
    fn rank(self) -> u8 {
        match self {
            Cause::Received(_) | Cause::Made(_) => 0,
            Cause::Sprayed(_) | Cause::Brewed(_) => 1,
            Cause::Discarded(_) => 2,
            Cause::Counted(_) => 3,
        }
    }

    /// Whether it uses the material up.
    pub fn is_use(self) -> bool {
        matches!(self, Cause::Sprayed(_) | Cause::Brewed(_))
    }

    /// Whether it takes something away.
    pub fn is_out(self) -> bool {
        self.is_use() || matches!(self, Cause::Discarded(_))
    }
}

/// One movement.
#[derive(Clone, Debug)]
pub struct Move {
    /// The day of its page.
    pub day: NaiveDate,
    /// What it was.
    pub cause: Cause,
    /// How much, as written; `None` where it is not known.
    pub amount: Option<Amount>,
    /// How many of the material's unit that is; `None` where it is not known or there is no way across.
    pub value: Option<Exact>,
    /// What is there afterwards, in the material's unit; `None` where that is not known.
    pub after: Option<Exact>,
    /// Which lots it says it is of; `None` where it says nothing.
    pub lots: Option<Box<Lots>>,
    /// Where the amount stands, or the name of the material where none does.
    pub span: Span,
    /// The whole entry.
    pub entry: Span,
    /// The first line of the entry.
    pub line: Span,
}

/// Which lots a movement says it is of.
#[derive(Clone, Debug, Default)]
pub struct Lots {
    /// What is of a named lot.
    pub named: Vec<Draw>,
    /// The batches that the rest is of, by their places in the material's lots.
    pub batches: Vec<usize>,
}

/// What a movement says is of one lot.
#[derive(Clone, Copy, Debug)]
pub struct Draw {
    /// The lot as written.
    pub words: Span,
    /// Which one that is, by its place in the material's lots; `None` where no entry knows it.
    pub lot: Option<usize>,
    /// How much, as written.
    pub amount: Option<Amount>,
    /// How many of the material's unit that is.
    pub value: Option<Exact>,
    /// Where the amount stands.
    pub span: Span,
}

impl Move {
    /// Whether the whole shelf of the material was counted, and not one lot of it.
    pub fn is_whole_count(&self) -> bool {
        matches!(self.cause, Cause::Counted(_)) && self.lots.is_none()
    }

    /// The lots that it names.
    pub fn named(&self) -> &[Draw] {
        self.lots.as_ref().map_or(&[], |lots| &lots.named)
    }

    /// The lot that it came into, or that was counted.
    pub fn lot(&self) -> Option<usize> {
        if self.cause.is_out() { None } else { self.named().first()?.lot }
    }

    /// Says which lot it came into.
    pub(super) fn put_into(&mut self, lot: usize) {
        let (amount, span) = (self.amount, self.span);
        let named = &mut self.lots.get_or_insert_default().named;
        match named.first_mut() {
            Some(draw) => draw.lot = Some(lot),
            None => named.push(Draw { words: span, lot: Some(lot), amount, value: None, span }),
        }
    }

    /// The batches that it names, by their places in the material's lots.
    pub fn batches(&self) -> &[usize] {
        self.lots.as_ref().map_or(&[], |lots| &lots.batches)
    }
}

/// The movements of each material, sorted.
pub(super) fn collect(season: &Season<'_>) -> Vec<Vec<Move>> {
    let journal = season.journal;
    let mut found = Collector { journal, moves: vec![Vec::new(); journal.materials.len()] };
    for (at, one) in journal.receipts.iter().enumerate() {
        let amount = one.amount.map(|amount| amount.value);
        let span = one.amount.map_or(one.material.span, |amount| amount.span);
        let lot = one.lot.map(|lot| (lot, amount, span));
        found.add(one.material.id, one.at, Cause::Received(at), amount, lot, span);
    }
    for (at, one) in journal.brews.iter().enumerate() {
        let brew = BrewId::at(at);
        let amount = one.amount.map(|amount| amount.value);
        let span = one.amount.map_or(one.named.span, |amount| amount.span);
        let made = one.material.and_then(|made| made.id);
        found.add(made, one.at, Cause::Made(brew), amount, None, span);
        for put in &one.puts {
            let amount = match put.dose {
                Some(PutDose::Amount(amount)) => Some(amount),
                // A rate says how much only where the batch's own volume is what it is for; that is not guessed.
                Some(PutDose::Rate(_)) | None => None,
            };
            let lot = put.lot.map(|lot| (lot, amount, put.span));
            found.add(put.material.id, one.at, Cause::Brewed(brew), amount, lot, put.span);
        }
    }
    for (at, facts) in season.sprays.iter().enumerate() {
        found.spray(at, facts);
    }
    for (at, one) in journal.discards.iter().enumerate() {
        let amount = one.amount.map(|amount| amount.value);
        let span = one.amount.map_or(one.material.span, |amount| amount.span);
        let lot = one.lot.map(|lot| (lot, amount, span));
        found.add(one.material.id, one.at, Cause::Discarded(at), amount, lot, span);
    }
    for (at, one) in journal.counts.iter().enumerate() {
        let amount = one.amount.map(|amount| amount.value);
        let span = one.amount.map_or(one.material.span, |amount| amount.span);
        let lot = one.lot.map(|lot| (lot, amount, span));
        found.add(one.material.id, one.at, Cause::Counted(at), amount, lot, span);
    }
    let mut moves = found.moves;
    for moves in &mut moves {
        // Ties are broken by what is written, never by where: the order of files changes nothing.
        moves.sort_by_cached_key(|one| {
            // Sprays are in the order of time; what goes into a batch goes in as the day begins.
            let place = if let Cause::Sprayed(at) = one.cause { at + 1 } else { 0 };
            // Of lots that came on one day the one that must be used up first is the older.
            let use_by = match one.cause {
                Cause::Received(at) => journal.receipts[at].use_by,
                Cause::Made(brew) => journal.brew(brew).use_by,
                _ => None,
            };
            let use_by = use_by.map_or(NaiveDate::MAX, |day| day.value);
            let lot = one.named().first().map_or("", |draw| season.words(draw.words).trim());
            let inside = one.span.start.saturating_sub(one.entry.start);
            (one.day, one.cause.rank(), place, use_by, lot, season.words(one.entry), inside)
        });
    }
    moves
}

struct Collector<'j> {
    journal: &'j Journal,
    moves: Vec<Vec<Move>>,
}

impl Collector<'_> {
    fn add(
        &mut self,
        material: Option<MaterialId>,
        at: At,
        cause: Cause,
        amount: Option<Amount>,
        lot: Option<(Span, Option<Amount>, Span)>,
        span: Span,
    ) {
        let Some(id) = material else { return };
        let lots = lot.map(|(words, amount, span)| {
            let draw = draw(self.journal.material(id), words, amount, span);
            Box::new(Lots { named: vec![draw], batches: Vec::new() })
        });
        let amount = settled(self.journal.material(id), amount);
        self.moves[id.index()].push(moved(at, cause, amount, lots, span));
    }

    /// What a spray used: one movement of each material, however many doses of it there are.
    fn spray(&mut self, at: usize, facts: &SprayFacts) {
        let spray = facts.spray(self.journal);
        let cause = Cause::Sprayed(at);
        for dose in &facts.doses {
            let moves = &mut self.moves[dose.material.index()];
            let amount = settled(self.journal.material(dose.material), dose.amount());
            if let Some(known) = moves.last_mut().filter(|known| known.cause == cause) {
                let both = known.amount.zip(amount);
                known.amount = both.and_then(|(one, other)| add(self.journal, dose.material, one, other));
                continue;
            }
            let written = dose.measured.map(|measured| measured.span);
            let own = Some(dose.span).filter(|span| spray.at.entry.covers(*span));
            let made = spray.mix.and_then(|used| Some(used.volume?.span));
            let span = written.or(own).or(made).or(spray.volume.map(|volume| volume.span)).unwrap_or(spray.at.line);
            moves.push(moved(spray.at, cause, amount, None, span));
        }
        for line in &spray.measured {
            let Some(id) = line.material.id else { continue };
            // What could not be read went in all the same.
            if line.amount.is_none() && self.moves[id.index()].last().is_none_or(|last| last.cause != cause) {
                self.moves[id.index()].push(moved(spray.at, cause, None, None, line.span));
            }
            let Some(words) = line.lot else { continue };
            let Some(one) = self.moves[id.index()].last_mut().filter(|one| one.cause == cause) else { continue };
            let draw = draw(self.journal.material(id), words, line.amount, line.span);
            one.lots.get_or_insert_default().named.push(draw);
        }
    }
}

fn moved(at: At, cause: Cause, amount: Option<Amount>, lots: Option<Box<Lots>>, span: Span) -> Move {
    Move { day: at.day, cause, amount, value: None, after: None, lots, span, entry: at.entry, line: at.line }
}

fn draw(material: &Material, words: Span, amount: Option<Amount>, span: Span) -> Draw {
    Draw { words, lot: None, amount: settled(material, amount), value: None, span }
}

/// Plain ounces as what the material's form says they are.
fn settled(material: &Material, amount: Option<Amount>) -> Option<Amount> {
    amount.and_then(|amount| amount.settle(material.form()).ok())
}
