//! Where the densities and analyses come from that amounts were reckoned with, as far as entries say so.

use super::book::Book;
use crate::journal::{Material, MaterialId, PANTRY};
use crate::syntax::FieldWord;
use crate::text::Span;

/// A line for each material of the sprays whose entry is the pantry's, or says of single facts where they come from.
pub(super) fn lines(book: &Book<'_>) -> Vec<String> {
    let journal = book.journal();
    let mut used = vec![false; journal.materials.len()];
    for dose in book.sprays().flat_map(|facts| &facts.doses) {
        used[dose.material.index()] = true;
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
    let told = facts.into_iter().filter_map(|(field, at)| {
        let value = sources.slice(at?);
        match material.source_of(field, sources) {
            Some(source) => Some(format!("{} {value}: {source}", field.word())),
            None => pantrys.then(|| format!("{} {value}", field.word())),
        }
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
