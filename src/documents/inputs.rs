//! The input list for a certifier: every material used or received, where it came from, and whether it was approved.

use chrono::NaiveDate;
use rustc_hash::FxHashSet;
use serde::Serialize;

use super::approvals::{Approvals, Approved, Standing};
use super::assumed;
use super::book::Book;
use super::cautions::cautions;
use super::element_values::actives;
use super::head::Head;
use super::input_rows::input_table;
use super::ledger::Ledger;
use super::supply::{Arrival, BatchMade, Supply};
use super::table::Table;
use super::totals::{Sum, Tally, tally};
use super::words::{count, day, list};
use crate::journal::{Material, MaterialId, PANTRY, Purpose};
use crate::season::{Cause, Move, add};

/// The input list of a farm.
#[derive(Clone, Debug, Serialize)]
pub struct Inputs {
    /// Top and foot.
    pub head: Head,
    /// What stands out, in a sentence.
    pub opening: String,
    /// Whether any material is marked as used without an approval that held.
    pub marked: usize,
    /// The materials, in the order of their names.
    pub inputs: Vec<Input>,
    /// The same for other programs.
    #[serde(skip)]
    pub table: Table,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// A material.
#[derive(Clone, Debug, Serialize)]
pub struct Input {
    /// Its title.
    pub material: String,
    /// Its name in the journal, where that differs.
    pub name: Option<String>,
    /// Whether it is made on the farm.
    pub home_made: bool,
    /// What it is to the law here, as written or by its registration number.
    pub status: Option<&'static str>,
    /// How it came to be.
    pub origin: Option<&'static str>,
    /// The registration number.
    pub registration: Option<String>,
    /// Active ingredients with their share.
    pub actives: Option<String>,
    /// Where what the journal says about it comes from.
    pub source: Option<String>,
    /// Who delivered it.
    pub suppliers: Option<String>,
    /// Where the label is filed.
    pub label: Option<String>,
    /// What it is declared to be for, and the reasons and targets of its sprays.
    pub purpose: Option<String>,
    /// The blocks it went on.
    pub blocks: Option<String>,
    /// The first day it was used.
    pub first_use: Option<String>,
    /// The last day it was used.
    pub last_use: Option<String>,
    /// In how many sprays it was.
    pub sprays: usize,
    /// In how many batches it was.
    pub in_batches: usize,
    /// All that was sprayed, in both systems.
    pub sprayed: Option<String>,
    /// All that went into batches, in both systems.
    pub brewed: Option<String>,
    /// What the sums are without.
    pub short: Option<String>,
    /// How its uses stand against its approvals.
    pub standing: Standing,
    /// Its approvals.
    pub approvals: Vec<Approved>,
    /// Its deliveries.
    pub arrivals: Vec<Arrival>,
    /// The batches made of it.
    pub batches: Vec<BatchMade>,
    /// The same facts as numbers and days.
    #[serde(skip)]
    pub(super) figures: Figures,
}

/// Numbers and days of a material, for machines.
#[derive(Clone, Copy, Debug)]
pub(super) struct Figures {
    pub id: MaterialId,
    /// First and last use.
    pub used: Option<(NaiveDate, NaiveDate)>,
    pub sprayed: Sum,
    pub brewed: Sum,
}

/// How many reasons and targets are told of one material.
const TOLD: usize = 6;

/// The input list of a book.
pub fn inputs(book: &Book<'_>) -> Inputs {
    let ledger = Ledger::new(book);
    let supply = Supply::new(book, &ledger);
    let approvals = Approvals::new(book);
    let tally = tally(book);
    let shown = ledger.moved().into_iter().filter(|&id| book.scope.has_material(id));
    let inputs: Vec<Input> = shown.filter_map(|id| input(book, &ledger, &supply, &approvals, &tally, id)).collect();
    let marked = inputs.iter().filter(|input| input.standing.mark).count();
    Inputs {
        head: Head::new(book),
        opening: opening(&inputs, marked, approvals.judged()),
        marked,
        table: input_table(book, &inputs),
        inputs,
        assumed: assumed::of_inputs(book),
        cautions: cautions(book),
    }
}

fn opening(inputs: &[Input], marked: usize, judged: bool) -> String {
    if inputs.is_empty() {
        return "No material was used or received".to_string();
    }
    let all = count(inputs.len(), "material", "materials");
    let used = inputs.iter().filter(|input| input.first_use.is_some()).count();
    let marked = match marked {
        0 if !judged => "no approvals are recorded, and no rulebook taken on asks for any".to_string(),
        0 => "none was used without an approval where one is asked for".to_string(),
        1 => "1 was used without an approval that held on the day".to_string(),
        many => format!("{many} were used without an approval that held on the day"),
    };
    if used == 0 { format!("{all} received, none used") } else { format!("{all}, {used} used; {marked}") }
}

fn input(
    book: &Book<'_>,
    ledger: &Ledger<'_>,
    supply: &Supply<'_>,
    approvals: &Approvals<'_>,
    tally: &Tally,
    id: MaterialId,
) -> Option<Input> {
    let journal = book.journal();
    let moves: Vec<&Move> = ledger.of(id).iter().filter(|one| shown(book, one)).collect();
    let first = moves.iter().find(|one| !matches!(one.cause, Cause::Counted(_) | Cause::Discarded(_)));
    first?;
    let uses: Vec<NaiveDate> = moves.iter().filter(|one| one.cause.is_use()).map(|one| one.day).collect();
    let judged: Vec<NaiveDate> = moves
        .iter()
        .filter(|one| matches!(one.cause, Cause::Sprayed(at) if approvals.asked(book, &book.season.sprays[at], id)))
        .map(|one| one.day)
        .collect();
    let used_on = uses.first().copied().zip(uses.last().copied());
    let material = journal.material(id);
    let (brewed, in_batches) = into_batches(book, id, &moves);
    let arrivals = supply.arrivals_of(book, id);
    let sprayed = &tally.whole[id.index()];
    let told = |sum: &Sum| sum.amount.map(|amount| book.amount(book.in_own_unit(id, amount)));
    Some(Input {
        material: material.named.shown().to_string(),
        name: material.named.title.as_ref().map(|_| material.named.name.to_string()),
        home_made: material.home_made.is_some_and(|made| made.value),
        status: material.status().map(|status| status.word()),
        origin: material.origin.map(|origin| origin.value.word()),
        registration: book.some_words(material.registration),
        actives: actives(material),
        source: source(book, material),
        suppliers: distinct(arrivals.iter().filter_map(|arrival| arrival.supplier.as_deref())),
        label: book.some_words(material.label),
        purpose: purpose(book, id, &moves),
        blocks: blocks(book, &tally.on_block[id.index()]),
        first_use: used_on.map(|(first, _)| day(first)),
        last_use: used_on.map(|(_, last)| day(last)),
        sprays: sprayed.sprays,
        in_batches,
        sprayed: told(sprayed),
        brewed: told(&brewed),
        short: short(sprayed, &brewed),
        standing: approvals.standing(id, uses.first().copied(), &judged),
        approvals: approvals.of(book, id),
        batches: supply.batches_of(book, id),
        arrivals,
        figures: Figures { id, used: used_on, sprayed: *sprayed, brewed },
    })
}

/// Where what the journal says about a material comes from.
fn source(book: &Book<'_>, material: &Material) -> Option<String> {
    if book.season.sources.is_shipped(material.named.span) {
        return Some(PANTRY.to_string());
    }
    book.some_words(material.source)
}

/// Whether a movement is of the part to show. What came in belongs to no block.
fn shown(book: &Book<'_>, one: &Move) -> bool {
    match one.cause {
        Cause::Sprayed(at) => book.scope.has_spray(book.journal(), &book.season.sprays[at]),
        _ => book.scope.has_day(one.day),
    }
}

fn into_batches(book: &Book<'_>, id: MaterialId, moves: &[&Move]) -> (Sum, usize) {
    let mut sum = Sum::default();
    for one in moves.iter().filter(|one| matches!(one.cause, Cause::Brewed(_))) {
        sum.sprays += 1;
        let added = match (sum.amount, one.amount) {
            (_, None) => None,
            (None, amount) => amount,
            (Some(known), Some(amount)) => add(book.journal(), id, known, amount),
        };
        match added {
            Some(added) => sum.amount = Some(added),
            None => sum.missing += 1,
        }
    }
    (sum, sum.sprays)
}

fn short(sprayed: &Sum, brewed: &Sum) -> Option<String> {
    let sprays = (sprayed.missing > 0).then(|| count(sprayed.missing, "spray", "sprays"));
    let batches = (brewed.missing > 0).then(|| count(brewed.missing, "batch", "batches"));
    let parts: Vec<String> = sprays.into_iter().chain(batches).collect();
    (!parts.is_empty()).then(|| format!("without {} whose amount is not known", list(&parts)))
}

/// `nutrition; sprayed for foliar feed, against pear scab`.
fn purpose(book: &Book<'_>, id: MaterialId, moves: &[&Move]) -> Option<String> {
    let declared: Vec<&str> =
        book.journal().material(id).purposes.iter().map(|purpose| Purpose::word(purpose.value)).collect();
    let mut seen = FxHashSet::default();
    let mut reasons = Vec::new();
    for one in moves {
        let Cause::Sprayed(at) = one.cause else { continue };
        let spray = book.season.sprays[at].spray(book.journal());
        let said = book.some_words(spray.reason).into_iter();
        for words in said.chain(book.some_words(spray.target).map(|target| format!("against {target}"))) {
            if seen.insert(words.clone()) {
                reasons.push(words);
            }
        }
    }
    let more = reasons.len().saturating_sub(TOLD);
    reasons.truncate(TOLD);
    let mut parts = Vec::new();
    if !declared.is_empty() {
        parts.push(list(&declared));
    }
    if !reasons.is_empty() {
        let others = if more > 0 { format!(" and {more} other reasons") } else { String::new() };
        parts.push(format!("sprayed for {}{others}", reasons.join(", ")));
    }
    (!parts.is_empty()).then(|| parts.join("; "))
}

fn blocks(book: &Book<'_>, sums: &[Sum]) -> Option<String> {
    let on = sums.iter().enumerate().filter(|(_, sum)| sum.sprays > 0);
    let names: Vec<&str> = on.map(|(block, _)| book.block(crate::journal::BlockId::at(block))).collect();
    (!names.is_empty()).then(|| list(&names))
}

fn distinct<'w>(words: impl Iterator<Item = &'w str>) -> Option<String> {
    let mut seen = FxHashSet::default();
    let once: Vec<&str> = words.filter(|&words| seen.insert(words)).collect();
    (!once.is_empty()).then(|| once.join("; "))
}
