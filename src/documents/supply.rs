//! Where materials came from: deliveries and home-made batches, numbered so that one place can point to another.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::ledger::Ledger;
use super::words::{count, day};
use crate::journal::{Brew, BrewId, MaterialId, Put, PutDose, Receipt};
use crate::quantity::show;
use crate::season::Cause;

/// A delivery.
#[derive(Clone, Debug, Serialize)]
pub struct Arrival {
    /// Its number, such as `D3`.
    pub number: String,
    /// The day.
    pub day: String,
    /// What.
    pub material: String,
    /// How much, in both systems.
    pub amount: Option<String>,
    /// The maker's lot.
    pub lot: Option<String>,
    /// Who delivered.
    pub supplier: Option<String>,
    /// The receipt.
    pub invoice: Option<String>,
    /// Where the entry is.
    pub place: String,
}

/// A home-made batch.
#[derive(Clone, Debug, Serialize)]
pub struct BatchMade {
    /// Its number, such as `B2`.
    pub number: String,
    /// Its name.
    pub name: String,
    /// Of what.
    pub material: Option<String>,
    /// The day it was started.
    pub made: String,
    /// How much it gave, in both systems.
    pub amount: Option<String>,
    /// The first day it may be used.
    pub ready: Option<String>,
    /// The last day it may be used.
    pub use_by: Option<String>,
    /// The water it was made with.
    pub water: Option<String>,
    /// Who made it.
    pub by: Option<String>,
    /// What went in.
    pub parts: Vec<BatchPart>,
    /// Where the entry is.
    pub place: String,
}

/// Something that went into a batch.
#[derive(Clone, Debug, Serialize)]
pub struct BatchPart {
    /// What.
    pub material: String,
    /// How much.
    pub amount: Option<String>,
    /// Where it came from, up to the day of the batch.
    pub from: Vec<String>,
}

/// How many deliveries or batches are told with a material; the rest is pointed to.
const TOLD: usize = 3;

/// The deliveries and batches of a ledger.
pub(super) struct Supply<'a> {
    /// By material: the number of its first delivery, and its deliveries in the order of time.
    received: Vec<(usize, Vec<&'a Receipt>)>,
    /// By material: the same for the batches made of it.
    made: Vec<(usize, Vec<&'a Brew>)>,
    /// The materials in the order of the numbers.
    order: Vec<MaterialId>,
    /// By its place in the journal: the number of a batch; 0 for one of no known material.
    numbers: Vec<usize>,
}

impl<'a> Supply<'a> {
    pub(super) fn new(book: &Book<'a>, ledger: &Ledger<'a>) -> Self {
        let journal = book.journal();
        let order = ledger.moved();
        let mut received: Vec<(usize, Vec<&Receipt>)> = vec![(0, Vec::new()); journal.materials.len()];
        let mut made: Vec<(usize, Vec<&Brew>)> = vec![(0, Vec::new()); journal.materials.len()];
        let (mut deliveries, mut batches) = (1, 1);
        for &id in &order {
            let (came, brewed) = (&mut received[id.index()], &mut made[id.index()]);
            (came.0, brewed.0) = (deliveries, batches);
            for one in ledger.of(id) {
                match one.cause {
                    Cause::Received(at) => came.1.push(&journal.receipts[at]),
                    Cause::Made(brew) => brewed.1.push(journal.brew(brew)),
                    _ => {}
                }
            }
            deliveries += came.1.len();
            batches += brewed.1.len();
        }
        let mut by_entry: Vec<(u32, usize)> = made
            .iter()
            .flat_map(|(first, brews)| brews.iter().enumerate().map(|(at, brew)| (brew.at.entry.start, *first + at)))
            .collect();
        by_entry.sort_unstable();
        let number = |brew: &Brew| {
            let at = by_entry.binary_search_by_key(&brew.at.entry.start, |(entry, _)| *entry);
            at.map_or(0, |at| by_entry[at].1)
        };
        let numbers = journal.brews.iter().map(number).collect();
        Self { received, made, order, numbers }
    }

    /// Every delivery of the part to show, by its number.
    pub(super) fn arrivals(&self, book: &Book<'_>) -> Vec<Arrival> {
        let shown = self.order.iter().filter(|&&id| book.scope.has_material(id));
        shown.flat_map(|&id| self.arrivals_of(book, id)).collect()
    }

    /// The deliveries of a material, by their numbers.
    pub(super) fn arrivals_of(&self, book: &Book<'_>, id: MaterialId) -> Vec<Arrival> {
        let (first, receipts) = &self.received[id.index()];
        let one = |(at, receipt): (usize, &&Receipt)| Arrival {
            number: format!("D{}", first + at),
            day: day(receipt.at.day),
            material: book.material(id).to_string(),
            amount: receipt.amount.map(|amount| book.amount(amount.value)),
            lot: book.some_words(receipt.lot),
            supplier: book.some_words(receipt.supplier),
            invoice: book.some_words(receipt.invoice),
            place: book.place(receipt.at.line),
        };
        receipts.iter().enumerate().map(one).collect()
    }

    /// Every batch of the part to show, by its number.
    pub(super) fn batches(&self, book: &Book<'_>) -> Vec<BatchMade> {
        let shown = self.order.iter().filter(|&&id| book.scope.has_material(id));
        shown.flat_map(|&id| self.batches_of(book, id)).collect()
    }

    /// The batches of a material, by their numbers.
    pub(super) fn batches_of(&self, book: &Book<'_>, id: MaterialId) -> Vec<BatchMade> {
        let (first, brews) = &self.made[id.index()];
        brews.iter().enumerate().map(|(at, brew)| self.batch(book, brew, first + at)).collect()
    }

    /// A batch of the journal, whatever it is of.
    pub(super) fn named(&self, book: &Book<'_>, id: BrewId) -> BatchMade {
        self.batch(book, book.journal().brew(id), self.numbers[id.index()])
    }

    fn batch(&self, book: &Book<'_>, brew: &Brew, number: usize) -> BatchMade {
        let journal = book.journal();
        let material = brew
            .material
            .map(|material| material.id.map_or_else(|| book.words(material.span), |id| book.material(id).to_string()));
        let water = brew
            .water
            .map(|water| water.id.map_or_else(|| book.words(water.span), |id| journal.water(id).named.shown().into()));
        BatchMade {
            number: if number == 0 { "B?".to_string() } else { format!("B{number}") },
            name: brew.named.shown().to_string(),
            material,
            made: day(brew.at.day),
            amount: brew.amount.map(|amount| book.amount(amount.value)),
            ready: brew.ready.map(|ready| day(ready.value)),
            use_by: brew.use_by.map(|use_by| day(use_by.value)),
            water,
            by: book.people(&brew.by),
            parts: brew.puts.iter().map(|put| self.part(book, put, brew.at.day)).collect(),
            place: book.place(brew.at.line),
        }
    }

    fn part(&self, book: &Book<'_>, put: &Put, made: NaiveDate) -> BatchPart {
        let amount = put.dose.map(|dose| match dose {
            PutDose::Amount(amount) => show(amount),
            PutDose::Rate(rate) => rate.show(),
        });
        BatchPart {
            material: put.material.id.map_or_else(|| book.words(put.material.span), |id| book.material(id).to_string()),
            amount,
            from: match book.some_words(put.lot) {
                Some(lot) => vec![format!("lot {lot}")],
                None => put.material.id.map(|id| self.came_from(book, id, made)).unwrap_or_default(),
            },
        }
    }

    /// Where a material came from, as far as the journal says, up to a day: the latest deliveries and batches told, the
    /// earlier ones pointed to. A journal does not say which delivery a tank was filled from.
    pub(super) fn came_from(&self, book: &Book<'_>, id: MaterialId, until: NaiveDate) -> Vec<String> {
        let (first, receipts) = &self.received[id.index()];
        let known = receipts.partition_point(|receipt| receipt.at.day <= until);
        let mut said = Vec::new();
        for (at, receipt) in receipts[..known].iter().enumerate().rev().take(TOLD) {
            let lot =
                book.some_words(receipt.lot).map_or_else(|| "lot not recorded".into(), |lot| format!("lot {lot}"));
            let invoice = book.some_words(receipt.invoice).map(|invoice| format!(", invoice {invoice}"));
            said.push(format!(
                "delivery D{} of {}, {lot}{}",
                first + at,
                day(receipt.at.day),
                invoice.unwrap_or_default()
            ));
        }
        said.extend(earlier(known, "delivery", "deliveries", 'D', *first));
        let (first, brews) = &self.made[id.index()];
        let known = brews.partition_point(|brew| brew.at.day <= until);
        for (at, brew) in brews[..known].iter().enumerate().rev().take(TOLD) {
            said.push(format!("batch B{} {} of {}", first + at, brew.named.shown(), day(brew.at.day)));
        }
        said.extend(earlier(known, "batch", "batches", 'B', *first));
        said
    }
}

/// `and 2 earlier deliveries, D1 to D2`.
fn earlier(known: usize, one: &str, many: &str, letter: char, first: usize) -> Option<String> {
    let rest = known.checked_sub(TOLD).filter(|rest| *rest > 0)?;
    let which =
        if rest == 1 { format!("{letter}{first}") } else { format!("{letter}{first} to {letter}{}", first + rest - 1) };
    Some(format!("and {}, {which}", count(rest, &format!("earlier {one}"), &format!("earlier {many}"))))
}
