//! What people may have met: every product of some sprays, with what those who treat them ask for.

use serde::Serialize;

use super::book::Book;
use super::element_values::actives;
use super::words::{day, list, stated};
use crate::journal::{BlockId, MaterialId};
use crate::season::SprayFacts;

/// A product, and where it was used.
#[derive(Clone, Debug, Serialize)]
pub struct Exposure {
    /// Its title.
    pub product: String,
    /// The registration number.
    pub registration: Option<String>,
    /// Active ingredients with their share.
    pub actives: Option<String>,
    /// Its classes, and its resistance group.
    pub kind: Option<String>,
    /// Whether it is made on the farm.
    pub home_made: bool,
    /// Where the safety data sheet is filed.
    pub sds: Option<String>,
    /// Where the label is filed.
    pub label: Option<String>,
    /// Protective equipment on the label.
    pub protection: Option<String>,
    /// The re-entry interval on the label.
    pub reentry: Option<String>,
    /// The days it was used on the block in the time.
    pub here: Option<String>,
    /// The days it was used there before, in sprays that still matter.
    pub before: Option<String>,
    /// The other blocks it was used on in the time, with the days.
    pub elsewhere: Option<String>,
}

/// The products of sprays of a block, of those before, and of those elsewhere, in this order.
pub(super) fn exposures(book: &Book<'_>, block: BlockId, sprays: [&[&SprayFacts]; 3]) -> Vec<Exposure> {
    let mut order: Vec<MaterialId> = Vec::new();
    let mut used: Vec<[Vec<String>; 3]> = vec![Default::default(); book.journal().materials.len()];
    for (group, sprays) in sprays.into_iter().enumerate() {
        for facts in sprays {
            let on = day(facts.spray(book.journal()).at.day);
            let said = if group == 2 { format!("{} {on}", others(book, facts, block)) } else { on };
            for dose in &facts.doses {
                let lists = &mut used[dose.material.index()];
                if lists.iter().all(Vec::is_empty) {
                    order.push(dose.material);
                }
                if lists[group].last() != Some(&said) {
                    lists[group].push(said.clone());
                }
            }
        }
    }
    order.into_iter().map(|id| one(book, id, &used[id.index()])).collect()
}

fn others(book: &Book<'_>, facts: &SprayFacts, block: BlockId) -> String {
    let names: Vec<&str> = facts
        .touched
        .iter()
        .filter(|touched| touched.block != block)
        .map(|touched| book.block(touched.block))
        .collect();
    if names.is_empty() { "ground not known".to_string() } else { list(&names) }
}

fn one(book: &Book<'_>, id: MaterialId, used: &[Vec<String>; 3]) -> Exposure {
    let material = book.journal().material(id);
    let kinds: Vec<String> = material
        .classes
        .iter()
        .map(|class| class.value.to_string())
        .chain(book.some_words(material.group).map(|group| format!("group {group}")))
        .collect();
    let joined = |list: &Vec<String>| (!list.is_empty()).then(|| list.join("; "));
    Exposure {
        product: material.named.shown().to_string(),
        registration: book.some_words(material.registration),
        actives: actives(material),
        kind: (!kinds.is_empty()).then(|| kinds.join(", ")),
        home_made: material.home_made.is_some_and(|made| made.value),
        sds: book.some_words(material.sds),
        label: book.some_words(material.label),
        protection: book.some_words(material.protection),
        reentry: material.reentry.map(|time| stated(time.value)),
        here: joined(&used[0]),
        before: joined(&used[1]),
        elsewhere: joined(&used[2]),
    }
}
