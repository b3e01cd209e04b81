//! Home-made batches that a planned round could use: made, ready, in date, and with enough left.

use chrono::NaiveDate;

use super::obstacles::{Conflict, Obstacle, beside};
use crate::checks::{day as said_day, list};
use crate::finding::Level;
use crate::journal::{Journal, MaterialId};
use crate::quantity::{Amount, Exact, Unit};
use crate::season::{Lot, LotLeft, LotOrigin, Season, like};

/// A batch as it stands today, less what planned rounds have taken of it.
#[derive(Clone, Debug)]
struct Batch {
    name: String,
    ready: NaiveDate,
    use_by: Option<NaiveDate>,
    /// What is left, in the unit of the shelf; `None` where that is not known.
    left: Option<Exact>,
    /// Whether a planned round has taken of it.
    drawn: bool,
}

impl Batch {
    fn may_be_used(&self, day: NaiveDate) -> bool {
        self.ready <= day && self.use_by.is_none_or(|use_by| day <= use_by)
    }

    fn said(&self, day: NaiveDate) -> String {
        match self.use_by {
            Some(use_by) if use_by < day => format!("{} was good until {}", self.name, said_day(use_by)),
            _ => format!("{} is ready from {}", self.name, said_day(self.ready)),
        }
    }
}

/// The batches of each material that comes from nothing else.
#[derive(Clone, Debug)]
pub(super) struct Batches {
    materials: Vec<Option<(Unit, Vec<Batch>)>>,
}

impl Batches {
    /// As they stand at the end of a day. Looked through once: planned rounds ask many times.
    pub(super) fn new(season: &Season<'_>, today: NaiveDate) -> Self {
        let of = |index| of(season, MaterialId::at(index), today);
        Self { materials: (0..season.journal.materials.len()).map(of).collect() }
    }

    /// Whether what is on the shelf of a material is told by its batches.
    pub(super) fn has(&self, material: MaterialId) -> bool {
        self.materials[material.index()].is_some()
    }

    /// Takes what a round needs on a day, of the batch that goes off first at first; what is wrong with all batches for it.
    pub(super) fn take(
        &mut self,
        journal: &Journal,
        (material, dose): (MaterialId, Option<Amount>),
        day: NaiveDate,
    ) -> Option<Conflict> {
        let (unit, batches) = self.materials[material.index()].as_mut()?;
        let name = &journal.material(material).named.name;
        let (mut usable, others): (Vec<&mut Batch>, Vec<&mut Batch>) =
            batches.iter_mut().partition(|batch| batch.may_be_used(day));
        let others: Vec<String> = others.iter().map(|batch| batch.said(day)).collect();
        let (headline, working) = if usable.is_empty() {
            (format!("no batch of {name} may be used on {}: {}", said_day(day), list(&others)), Vec::new())
        } else {
            let left = usable.iter().try_fold(Exact::ZERO, |sum, batch| sum.add(batch.left?))?;
            let needed = like(journal, material, dose?, *unit)?;
            let names: Vec<String> = usable.iter().map(|batch| batch.name.clone()).collect();
            let before =
                if usable.iter().any(|batch| batch.drawn) { " after the rounds planned before it" } else { "" };
            usable.sort_by_key(|batch| (batch.use_by.is_none(), batch.use_by));
            let mut still = needed.value;
            for batch in usable {
                let taken = batch.left?.min(still);
                batch.drawn |= taken.is_positive();
                batch.left = batch.left?.sub(taken);
                still = still.sub(taken)?;
            }
            still.is_positive().then_some(())?;
            let (there, asked) = beside(journal, material, Amount::new(left, *unit), needed);
            let headline = format!(
                "{} {} {there} of {name} on {}{before}; this round takes {asked}",
                list(&names),
                if names.len() == 1 { "holds" } else { "hold" },
                said_day(day)
            );
            (headline, others)
        };
        Some(Conflict {
            by: Obstacle::Batch,
            level: Level::Warning,
            headline,
            working,
            help: Some("wait for the next batch, or start one".to_string()),
            source: Some("the days of a batch are your own entry".to_string()),
            moves: true,
        })
    }
}

/// What is wrong with the batches that a spray of a day could take, by what the shelf held at the end of another day: none
/// that is ready and in date, or too little.
pub fn batches_in_the_way(
    season: &Season<'_>,
    doses: impl Iterator<Item = (MaterialId, Option<Amount>)>,
    day: NaiveDate,
    shelf: NaiveDate,
) -> Vec<Conflict> {
    let mut batches = Batches::new(season, shelf);
    doses.filter_map(|dose| batches.take(season.journal, dose, day)).collect()
}

/// Nothing where something of the material is no batch, or its stock cannot be known.
fn of(season: &Season<'_>, material: MaterialId, today: NaiveDate) -> Option<(Unit, Vec<Batch>)> {
    let stock = season.stock().of(material);
    let shelf = stock.by_lot(today)?;
    let batch = |(lot, left): (&Lot, &LotLeft)| {
        let LotOrigin::Batch(id) = lot.origin else { return None };
        let brew = season.journal.brew(id);
        let name = brew.named.name.to_string();
        let ready = brew.ready.map_or(brew.at.day, |ready| ready.value);
        Some(Batch { name, ready, use_by: lot.use_by, left: left.left, drawn: false })
    };
    let batches: Option<Vec<Batch>> = stock.lots.iter().zip(&shelf.lots).map(batch).collect();
    let mut batches = batches.filter(|batches| !batches.is_empty())?;
    batches.retain(|batch| batch.left.is_none_or(Exact::is_positive));
    // What is of no batch was counted or used without one: of it nothing is known.
    (shelf.loose == Some(Exact::ZERO) && !batches.is_empty()).then_some((shelf.unit?, batches))
}
