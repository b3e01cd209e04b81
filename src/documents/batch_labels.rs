//! Labels for home-made batches: to print, cut out and stick on the carboy.

use chrono::NaiveDate;
use serde::Serialize;

use super::assumed;
use super::book::Book;
use super::cautions::cautions;
use super::head::{Head, farm_name};
use super::stock_rows::batch_inputs;
use super::stock_sheet::last_day;
use super::words::{count, day};
use crate::journal::{Brew, BrewId, MaterialId};

/// The labels of the batches that can still be used.
#[derive(Clone, Debug, Serialize)]
pub struct BatchLabels {
    /// What stands at the top and the foot.
    pub head: Head,
    /// The day that counts as today.
    pub day: String,
    /// How many are on a sheet.
    pub on_a_sheet: usize,
    /// The labels, sheet by sheet.
    pub sheets: Vec<Vec<BatchLabel>>,
    /// Batches without a label, each with the reason.
    pub left_out: Vec<String>,
    /// What is taken as so.
    pub assumed: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// One label.
#[derive(Clone, Debug, Serialize)]
pub struct BatchLabel {
    /// The batch's name.
    pub name: String,
    /// Of what it is.
    pub material: Option<String>,
    /// The day it was started.
    pub started: String,
    /// The first day it may be used.
    pub ready: Option<String>,
    /// The last day it may be used.
    pub use_by: Option<String>,
    /// Its pH.
    pub ph: Option<String>,
    /// How much it gave.
    pub made: Option<String>,
    /// What went in.
    pub inputs: Option<String>,
    /// How it is used: `1 gal per 10 gal (Culture wash)`.
    pub uses: Vec<String>,
    /// Which farm.
    pub farm: String,
    /// How much there is to print: `much` for smaller letters.
    pub fit: &'static str,
    /// What whoever finds the carboy must know.
    pub warnings: &'static [&'static str],
}

/// How many labels are on a sheet: two beside each other, four rows.
const ON_A_SHEET: usize = 8;
/// How many uses are told; the rest is counted.
const USES: usize = 3;
/// How many letters of what went in are printed.
const LETTERS: usize = 150;
/// From how many letters on a label is printed smaller.
const MUCH: usize = 160;

/// What stands on every label. Common practice, no source.
const WARNINGS: &[&str] = &[
    "Not for drinking. Keep from children and animals.",
    "A living brew makes gas: never close it tight.",
    "Labels of what is in it and local law come first.",
];

/// The labels of a book; nothing where no batch was ever made.
pub fn batch_labels(book: &Book<'_>) -> Option<BatchLabels> {
    let on = last_day(book);
    let journal = book.journal();
    let mut brews: Vec<BrewId> = (0..journal.brews.len()).map(BrewId::at).collect();
    brews.retain(|&id| {
        let made = journal.brew(id);
        made.at.day <= on && made.material.and_then(|of| of.id).is_none_or(|of| book.scope.has_material(of))
    });
    if brews.is_empty() {
        return None;
    }
    brews.sort_by_key(|&id| (journal.brew(id).at.day, &journal.brew(id).named.name));
    let mut labels = Vec::new();
    let mut left_out = Vec::new();
    for id in brews {
        match without_label(book, id, on) {
            Some(why) => left_out.push(format!("{}: {why}", journal.brew(id).named.shown())),
            None => labels.push(label(book, journal.brew(id))),
        }
    }
    Some(BatchLabels {
        head: Head::new(book),
        day: day(on),
        on_a_sheet: ON_A_SHEET,
        sheets: labels.chunks(ON_A_SHEET).map(<[BatchLabel]>::to_vec).collect(),
        left_out,
        assumed: assumed::of_labels(book),
        cautions: cautions(book),
    })
}

/// Why a batch gets no label.
fn without_label(book: &Book<'_>, id: BrewId, on: NaiveDate) -> Option<String> {
    let brew = book.journal().brew(id);
    if let Some(use_by) = brew.use_by.filter(|use_by| use_by.value < on) {
        return Some(format!("past its use-by of {}", day(use_by.value)));
    }
    let (material, lot) = book.season.stock().batch(id)?;
    let shelf = book.season.stock().by_lot(material, on)?;
    let left = shelf.lots[lot].left;
    let yielded = brew.amount.is_some();
    left.filter(|left| yielded && !left.is_positive()).map(|_| "used up".to_string())
}

fn label(book: &Book<'_>, brew: &Brew) -> BatchLabel {
    let of = brew.material;
    let inputs = batch_inputs(book, brew).join("; ");
    let inputs = shortened(&inputs, LETTERS);
    let uses = of.and_then(|of| of.id).map(|id| uses(book, id)).unwrap_or_default();
    let letters = inputs.chars().count() + uses.iter().map(|one| one.chars().count()).sum::<usize>();
    BatchLabel {
        name: shortened(brew.named.shown(), 40),
        material: of.map(|of| {
            let name = of.id.map_or_else(|| book.words(of.span), |id| book.material(id).to_string());
            shortened(&name, 60)
        }),
        started: day(brew.at.day),
        ready: brew.ready.map(|ready| day(ready.value)),
        use_by: brew.use_by.map(|use_by| day(use_by.value)),
        ph: brew.ph.map(|ph| ph.value.to_string()),
        made: brew.amount.map(|amount| book.amount(amount.value)),
        inputs: (!inputs.is_empty()).then_some(inputs),
        uses,
        farm: shortened(&farm_name(book), 60),
        fit: if letters > MUCH { "much" } else { "" },
        warnings: WARNINGS,
    }
}

/// How the mixes of the journal use a material.
fn uses(book: &Book<'_>, material: MaterialId) -> Vec<String> {
    let recipes = book.journal().mixes.iter().zip(&book.season.recipes);
    let mut uses: Vec<String> = recipes
        .flat_map(|(mix, recipe)| {
            let parts = recipe.parts.iter().filter(|part| part.material.id == Some(material));
            parts.filter_map(|part| {
                let rate = part.rate?.show();
                Some(format!("{rate} ({})", shortened(mix.named.shown(), 40)))
            })
        })
        .collect();
    uses.sort();
    uses.dedup();
    let more = uses.len().saturating_sub(USES);
    uses.truncate(USES);
    if more > 0 {
        uses.push(format!("and {}", count(more, "other mix", "other mixes")));
    }
    uses
}

/// Words cut to so many letters, so that a label holds them.
fn shortened(words: &str, letters: usize) -> String {
    match words.char_indices().nth(letters) {
        Some((end, _)) => format!("{} …", words[..end].trim_end()),
        None => words.to_string(),
    }
}
