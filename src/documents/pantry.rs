//! The materials that come with the program: what is stated of each, where it comes from and how it is known.

use serde::Serialize;

use super::notes::unindented;
use crate::journal::{ContentShare, FactSource, Journal, Material, PANTRY};
use crate::quantity::{Exact, Form};
use crate::syntax::{FieldWord, read_entry};
use crate::text::{Sources, Span};

/// What holds for all of it.
const CAUTIONS: &[&str] = &[
    "The label of what is in your hand, local law and licensed practice come first. What a material is used for decides how the law judges it, also where it is food or fertiliser.",
    "A published rate is what somebody wrote down about their trees or trial. It is no permission and no advice, and nothing is checked by it.",
    "No re-entry interval, harvest interval, allowed rate or season limit stands here: copy them from your label into an entry of your own.",
    "Products differ. Where yours states its density or analysis, yours is right; an entry of your own under the same name takes the place of the pantry's.",
    "That two materials are not kept apart here does not show that they may share a tank.",
];

/// The pantry, or a part of it.
#[derive(Clone, Debug, Serialize)]
pub struct PantryShelf {
    /// Which program it comes with.
    pub made_by: &'static str,
    /// What it is called where a fact of it is told.
    pub pantry: &'static str,
    /// Its materials, by name.
    pub materials: Vec<PantryMaterial>,
    /// What to mind.
    pub cautions: &'static [&'static str],
}

/// A material of the pantry.
#[derive(Clone, Debug, Serialize)]
pub struct PantryMaterial {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// `dry` or `liquid`.
    pub form: Option<&'static str>,
    /// Its classes, by which rules know it.
    pub classes: Vec<String>,
    /// What turns its volume into weight, in grams per millilitre, to four places.
    pub grams_per_ml: Option<String>,
    /// The substances in it.
    pub contents: Vec<PantryShare>,
    /// What is stated of it, in the order of its entry.
    pub facts: Vec<PantryFact>,
    /// Its notes, in Markdown.
    pub notes: Vec<String>,
    /// The file that it stands in.
    pub file: String,
    /// The entry as journal text.
    pub text: String,
}

/// A substance in a material.
#[derive(Clone, Debug, Serialize)]
pub struct PantryShare {
    /// The substance.
    pub substance: String,
    /// Its share by weight, in percent, as stated; absent where it is stated otherwise.
    pub percent: Option<String>,
}

/// What one field states.
#[derive(Clone, Debug, Serialize)]
pub struct PantryFact {
    /// The field's word.
    pub field: &'static str,
    /// What it states, as written; one for each line.
    pub values: Vec<String>,
    /// Where that comes from.
    pub sources: Vec<PantrySource>,
}

/// Where a fact comes from.
#[derive(Clone, Debug, Serialize)]
pub struct PantrySource {
    /// The source.
    pub words: String,
    /// How the fact is known: read, computed, from memory or common practice.
    pub known: Option<&'static str>,
}

/// The pantry's materials that are wanted, of a journal that holds nothing else.
pub fn pantry_shelf(sources: &Sources, journal: &Journal, wanted: impl Fn(&Material) -> bool) -> PantryShelf {
    let wanted = journal.materials.iter().filter(|material| wanted(material));
    let mut materials: Vec<PantryMaterial> = wanted.map(|material| shown(sources, material)).collect();
    materials.sort_by(|one, other| one.name.cmp(&other.name));
    PantryShelf {
        made_by: concat!("foliary ", env!("CARGO_PKG_VERSION")),
        pantry: PANTRY,
        materials,
        cautions: CAUTIONS,
    }
}

fn shown(sources: &Sources, material: &Material) -> PantryMaterial {
    let entry = material.named.entry;
    let text = sources.slice(entry).trim_end();
    PantryMaterial {
        name: material.named.name.to_string(),
        title: material.named.shown().to_string(),
        form: material.form().map(|form| match form {
            Form::Liquid => "liquid",
            Form::Dry => "dry",
        }),
        classes: material.classes.iter().map(|class| class.value.to_string()).collect(),
        grams_per_ml: material.bridge().map(|density| density.grams_per_ml().decimal(4)),
        contents: material
            .contents
            .iter()
            .chain(&material.actives)
            .map(|content| PantryShare {
                substance: content.substance.to_string(),
                percent: match content.share {
                    ContentShare::ByWeight(share) => share.mul(Exact::int(100)).map(|percent| percent.decimal(6)),
                    ContentShare::PerVolume(_) => None,
                },
            })
            .collect(),
        facts: facts(sources, material),
        notes: material.named.notes.iter().map(|&note| unindented(sources.slice(note))).collect(),
        file: sources.get(sources.source_of(entry)).path().display().to_string(),
        text: format!("{text}\n"),
    }
}

/// What the entry's fields state, but its form, its classes and what is said about them.
fn facts(sources: &Sources, material: &Material) -> Vec<PantryFact> {
    let entry = material.named.entry;
    let mut facts: Vec<PantryFact> = Vec::new();
    for field in read_entry(sources.slice(entry), entry.start).fields {
        if matches!(field.word, FieldWord::Form | FieldWord::Class | FieldWord::Source | FieldWord::Note) {
            continue;
        }
        let value = sources.slice(Span::new(field.at.end, field.span.end)).trim().to_string();
        let word = field.word.word();
        match facts.iter_mut().find(|fact| fact.field == word) {
            Some(fact) => fact.values.push(value),
            None => {
                let of_field = material.fact_sources.iter().filter(|source| source.field == field.word);
                let sources = of_field.map(|source| source_shown(sources, source)).collect();
                facts.push(PantryFact { field: word, values: vec![value], sources });
            }
        }
    }
    facts
}

fn source_shown(sources: &Sources, source: &FactSource) -> PantrySource {
    PantrySource { words: sources.slice(source.words).to_string(), known: source.known.map(|known| known.word()) }
}
