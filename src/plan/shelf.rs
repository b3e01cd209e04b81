//! What is on the shelf: counted, or what came in less what went out.

use chrono::NaiveDate;

use crate::journal::{MaterialId, PutDose};
use crate::quantity::Amount;
use crate::season::{Season, add};

/// What is on the shelf of each material.
#[derive(Debug)]
pub struct Shelf {
    on_hand: Vec<Option<Amount>>,
}

/// One movement.
enum Move {
    In(Amount),
    Out(Amount),
    Counted(Amount),
    /// An amount that is not known: from here on, until the next count, so is what is there.
    Unknown,
}

impl Shelf {
    /// The shelf at the end of a day. Nothing is known of a material that was neither delivered, made nor counted.
    pub fn new(season: &Season<'_>, day: NaiveDate) -> Self {
        let journal = season.journal;
        let mut moves: Vec<Vec<(NaiveDate, u8, u32, Move)>> = Vec::new();
        moves.resize_with(journal.materials.len(), Vec::new);
        // On one day what came in stands before what went out, and the shelf is counted after both.
        let mut note =
            |material: Option<MaterialId>, on, order, at, amount: Option<Amount>, made: fn(Amount) -> Move| {
                let Some(id) = material.filter(|_| on <= day) else { return };
                let amount = amount.and_then(|amount| amount.settle(journal.material(id).form()).ok());
                moves[id.index()].push((on, order, at, amount.map_or(Move::Unknown, made)));
            };
        for one in &journal.receipts {
            let amount = one.amount.map(|amount| amount.value);
            note(one.material.id, one.at.day, 0, one.at.entry.start, amount, Move::In);
        }
        for one in &journal.brews {
            let amount = one.amount.map(|amount| amount.value);
            note(one.material.and_then(|made| made.id), one.at.day, 0, one.at.entry.start, amount, Move::In);
            for put in &one.puts {
                let amount = match put.dose {
                    Some(PutDose::Amount(amount)) => Some(amount),
                    Some(PutDose::Rate(_)) | None => None,
                };
                note(put.material.id, one.at.day, 1, one.at.entry.start, amount, Move::Out);
            }
        }
        for facts in &season.sprays {
            let spray = facts.spray(journal);
            for dose in &facts.doses {
                note(Some(dose.material), spray.at.day, 1, spray.at.entry.start, dose.amount(), Move::Out);
            }
        }
        for one in &journal.discards {
            let amount = one.amount.map(|amount| amount.value);
            note(one.material.id, one.at.day, 1, one.at.entry.start, amount, Move::Out);
        }
        for one in &journal.counts {
            let amount = one.amount.map(|amount| amount.value);
            note(one.material.id, one.at.day, 2, one.at.entry.start, amount, Move::Counted);
        }
        let balance = |(index, mut moves): (usize, Vec<(NaiveDate, u8, u32, Move)>)| {
            moves.sort_by_key(|&(on, order, at, _)| (on, order, at));
            balance(season, MaterialId::at(index), moves.into_iter().map(|(.., one)| one))
        };
        Self { on_hand: moves.into_iter().enumerate().map(balance).collect() }
    }

    /// What there is of a material; `None` where that is not known. Below nothing where more went out than came in.
    pub fn on_hand(&self, material: MaterialId) -> Option<Amount> {
        self.on_hand[material.index()]
    }
}

fn balance(season: &Season<'_>, material: MaterialId, moves: impl Iterator<Item = Move>) -> Option<Amount> {
    let mut there: Option<Amount> = None;
    let mut lost = false;
    for one in moves {
        match one {
            Move::Counted(amount) => (there, lost) = (Some(amount), false),
            Move::Unknown => lost = true,
            Move::In(amount) => match there {
                None => there = Some(amount),
                Some(known) => match add(season.journal, material, known, amount) {
                    Some(sum) => there = Some(sum),
                    None => lost = true,
                },
            },
            // What was used before anything was delivered or counted was there before the journal began.
            Move::Out(amount) => {
                if let Some(known) = there {
                    let less = amount.times(crate::quantity::Exact::int(-1));
                    match less.and_then(|less| add(season.journal, material, known, less)) {
                        Some(rest) => there = Some(rest),
                        None => lost = true,
                    }
                }
            }
        }
    }
    there.filter(|_| !lost)
}

/// What a material costs on a day, by its entry.
pub(super) fn price(season: &Season<'_>, material: MaterialId, day: NaiveDate) -> Option<crate::journal::Price> {
    crate::journal::in_force(&season.journal.material(material).prices, day).map(|price| price.value)
}
