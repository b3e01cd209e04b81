//! How much of each element went onto each block, from what the materials declare to contain.

use serde::Serialize;

use super::book::Book;
use super::totals::{Sum, Tally};
use super::words::{ground_unit, other_system};
use crate::journal::{Content, ContentShare, Material, MaterialId};
use crate::quantity::{Dimension, Exact, System, Unit};
use crate::trade::element_of;

/// Elements in the order that growers read them; others follow in the order of their symbols.
const ORDER: &[&str] = &["N", "P", "K", "Ca", "Mg", "S", "Fe", "B", "Cu", "Mn", "Zn", "Mo", "Si", "Na", "Cl"];

/// Elements by block.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Elements {
    /// The unit of the figures, such as `lb per acre`.
    pub unit: String,
    /// The unit of the figures in brackets.
    pub other_unit: String,
    /// The elements.
    pub symbols: Vec<&'static str>,
    /// The blocks.
    pub rows: Vec<ElementRow>,
    /// What could not be counted, and why.
    pub left_out: Vec<String>,
}

/// Elements on a block.
#[derive(Clone, Debug, Serialize)]
pub struct ElementRow {
    /// The block.
    pub block: String,
    /// A figure for each element; absent where the journal declares none of it for this block.
    pub figures: Vec<Option<ElementFigure>>,
}

/// An element on a block.
#[derive(Clone, Debug, Serialize)]
pub struct ElementFigure {
    /// In the first unit.
    pub home: String,
    /// In the other.
    pub other: String,
}

/// The elements of a summary.
pub(super) fn elements(book: &Book<'_>, tally: &Tally) -> Elements {
    let journal = book.journal();
    // By block: each element with its grams per m².
    let mut found: Vec<Vec<(&'static str, Exact)>> = vec![Vec::new(); journal.blocks.len()];
    let mut left_out = Vec::new();
    for (id, blocks) in tally.on_block.iter().enumerate() {
        let material = journal.material(MaterialId::at(id));
        let mut lost = false;
        for (block, sum) in blocks.iter().enumerate().filter(|(_, sum)| sum.sprays > 0) {
            for content in &material.contents {
                let Some((element, factor)) = element_of(&content.substance) else { continue };
                let dose = grams_on_ground(material, sum, content).and_then(|grams| grams.mul(factor));
                let list = &mut found[block];
                let place = list.iter().position(|(symbol, _)| *symbol == element).unwrap_or_else(|| {
                    list.push((element, Exact::ZERO));
                    list.len() - 1
                });
                match dose.and_then(|dose| list[place].1.add(dose)) {
                    Some(added) => list[place].1 = added,
                    None => lost = true,
                }
                lost |= sum.ground_missing;
            }
        }
        if lost {
            left_out.push(format!(
                "{}: not all of it is counted, since an amount, an area or its density is not written",
                book.material(MaterialId::at(id))
            ));
        }
    }
    let mut symbols: Vec<&'static str> = found.iter().flatten().map(|(symbol, _)| *symbol).collect();
    symbols.sort_by_key(|symbol| (ORDER.iter().position(|known| known == symbol).unwrap_or(ORDER.len()), *symbol));
    symbols.dedup();
    let rows = book.blocks().filter(|block| !found[block.index()].is_empty()).map(|block| ElementRow {
        block: book.block(block).to_string(),
        figures: symbols
            .iter()
            .map(|symbol| {
                let (_, dose) = found[block.index()].iter().find(|(known, _)| known == symbol)?;
                Some(ElementFigure {
                    home: figure(*dose, book.home())?,
                    other: figure(*dose, other_system(book.home()))?,
                })
            })
            .collect(),
    });
    let rows: Vec<ElementRow> = rows.collect();
    let unit = |system| format!("{} per {}", weight_unit(system).word(), ground_unit(system).word());
    Elements { unit: unit(book.home()), other_unit: unit(other_system(book.home())), symbols, rows, left_out }
}

/// Grams of what a material contains, per m² of the block.
fn grams_on_ground(material: &Material, sum: &Sum, content: &Content) -> Option<Exact> {
    let dose = sum.per_ground?;
    let weighed = sum.amount?.dimension() == Dimension::Mass;
    match (content.share, weighed) {
        (ContentShare::ByWeight(share), true) => dose.mul(share),
        (ContentShare::ByWeight(share), false) => dose.mul(material.bridge()?.grams_per_ml())?.mul(share),
        (ContentShare::PerVolume(density), false) => dose.mul(density.grams_per_ml()),
        (ContentShare::PerVolume(density), true) => {
            dose.div(material.bridge()?.grams_per_ml())?.mul(density.grams_per_ml())
        }
    }
}

fn weight_unit(system: System) -> Unit {
    if system == System::Metric { Unit::KILOGRAM } else { Unit::POUND }
}

/// Grams per m² as pounds per acre or kilograms per hectare, to three figures.
fn figure(grams_per_square_metre: Exact, system: System) -> Option<String> {
    let grams = grams_per_square_metre.mul(ground_unit(system).to_base())?;
    Some(grams.div(weight_unit(system).to_base())?.figures(3))
}
