//! Where the densities and analyses come from that amounts were reckoned with, as far as entries say so.

use super::book::Book;
use crate::journal::{Material, MaterialId, PANTRY};
use crate::syntax::FieldWord;
use crate::text::Span;

/// A line for each material of the sprays and batches whose entry is the pantry's, or says of single facts where they come from.
pub(super) fn lines(book: &Book<'_>) -> Vec<String> {
    let journal = book.journal();
    let mut used = vec![false; journal.materials.len()];
    for dose in book.sprays().flat_map(|facts| &facts.doses) {
        used[dose.material.index()] = true;
    }
    for put in journal.brews.iter().flat_map(|brew| &brew.puts) {
        if let Some(id) = put.material.id {
            used[id.index()] = true;
        }
    }
    let used = (0..used.len()).filter(|&at| used[at]).map(|at| journal.material(MaterialId::at(at)));
    let mut lines: Vec<(&str, String)> =
        used.filter_map(|material| Some((material.named.shown(), line(book, material)?))).collect();
    // Materials are numbered in the order of the files.
    lines.sort();
    lines.into_iter().map(|(_, line)| line).collect()
}

fn line(book: &Book<'_>, material: &Material) -> Option<String> {
    let sources = book.season.sources;
    let pantrys = sources.is_shipped(material.named.span);
    let whole = |contents: &[crate::journal::Content]| contents.iter().map(|content| content.span).reduce(Span::to);
    let facts = [
        (FieldWord::Density, material.density.map(|density| density.span)),
        (FieldWord::Weighs, material.weighs.map(|weighs| weighs.span)),
        (FieldWord::Contains, whole(&material.contents)),
        (FieldWord::Active, whole(&material.actives)),
    ];
    // Facts of one source are told together.
    let mut told: Vec<(Option<String>, Vec<String>)> = Vec::new();
    for (field, at) in facts {
        let Some(at) = at else { continue };
        let (source, fact) = (material.source_of(field, sources), format!("{} {}", field.word(), sources.slice(at)));
        match told.last_mut() {
            _ if source.is_none() && !pantrys => {}
            Some((known, facts)) if *known == source => facts.push(fact),
            _ => told.push((source, vec![fact])),
        }
    }
    let told = told.into_iter().map(|(source, facts)| match source {
        Some(source) => format!("{}: {source}", facts.join(", ")),
        None => facts.join(", "),
    });
    let told: Vec<String> = told.collect();
    let title = material.named.shown();
    match (pantrys, told.is_empty()) {
        (true, true) => Some(format!("{title} is described by {PANTRY}, not by an entry of the farm.")),
        (true, false) => {
            Some(format!("{title} is described by {PANTRY}, not by an entry of the farm: {}.", told.join("; ")))
        }
        (false, true) => None,
        (false, false) => Some(format!("{title}, as its entry says: {}.", told.join("; "))),
    }
}
