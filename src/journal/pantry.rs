//! The materials that come with the program, in the journal's own language. A farm that says `pantry yes` may use them
//! by name; an entry of its own takes the place of the one of that name.

use rustc_hash::FxHashMap;

use super::names::{lower, nearest};
use crate::syntax::{EntryWord, first_word, split_entries};
use crate::text::{Sources, SourcesError, Span};

/// A file of `pantry/`, by the path it is shown by.
macro_rules! shipped_file {
    ($name:literal) => {
        (concat!("pantry/", $name, ".spray"), include_str!(concat!("../../pantry/", $name, ".spray")))
    };
}

/// The files of the pantry. Their materials have names that no two share.
const FILES: &[(&str, &str)] = &[
    shipped_file!("acids"),
    shipped_file!("dairy"),
    shipped_file!("living"),
    shipped_file!("oils-and-soaps"),
    shipped_file!("salts"),
    shipped_file!("sanitation"),
    shipped_file!("sea-and-fish"),
    shipped_file!("sugars-and-foods"),
    shipped_file!("sulfur-and-copper"),
];

/// What the pantry is called where a fact of it is told: it changes with the program.
pub const PANTRY: &str = concat!("the pantry that comes with Foliary ", env!("CARGO_PKG_VERSION"));

/// The words of lines that use a material by name.
const USES: &[&str] = &["put", "measured", "load", "receive", "brew", "discard", "count", "approve"];

/// A material of the pantry, as text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PantryText {
    /// Its name.
    pub name: &'static str,
    /// The file that it stands in, as `pantry/salts.spray`.
    pub file: &'static str,
    /// The whole entry.
    pub text: &'static str,
}

/// The materials of the pantry, in the order of its files.
pub fn pantry() -> impl Iterator<Item = PantryText> {
    FILES.iter().flat_map(|&(file, whole)| {
        split_entries(whole).into_iter().filter_map(move |range| {
            let text = &whole[range];
            let name = material_name(text)?;
            Some(PantryText { name, file, text: text.trim_end() })
        })
    })
}

/// The name nearest to one that nothing declares, of those in the pantry.
pub fn nearest_in_pantry(name: &str) -> Option<&'static str> {
    nearest(name, pantry().map(|known| known.name))
}

/// Puts the pantry's files behind those of the user, for farms that ask for them.
///
/// # Errors
/// Where all files together are larger than a run can hold.
pub fn stock_pantry(sources: &mut Sources) -> Result<(), SourcesError> {
    FILES.iter().try_for_each(|(file, text)| sources.add_shipped(file, text).map(|_| ()))
}

/// The name of the material that an entry declares.
fn material_name(text: &str) -> Option<&str> {
    let (word, rest) = text.split_at(first_word(text));
    if EntryWord::named(word) != Some(EntryWord::Material) {
        return None;
    }
    rest.split_whitespace().next()
}

/// Which of the pantry's materials the entries of a journal use by name, each with the text and the place of its entry,
/// in the order of the files. What is not used is not read.
pub(super) fn used<'s>(sources: &'s Sources, own: impl Iterator<Item = &'s str>) -> Vec<(&'s str, Span)> {
    let mut stock: Vec<(&str, Span)> = Vec::new();
    let mut known: FxHashMap<&str, usize> = FxHashMap::default();
    for file in sources.shipped() {
        let source = sources.get(file);
        for range in split_entries(source.text()) {
            let text = &source.text()[range.clone()];
            if let Some(name) = material_name(text) {
                known.insert(name, stock.len());
                let start = source.base() + range.start as u32;
                stock.push((text, Span::new(start, start + text.len() as u32)));
            }
        }
    }
    let mut wanted = vec![false; stock.len()];
    for entry in own {
        for name in entry.lines().filter_map(names_used).flatten() {
            if let Some(&at) = known.get(lower(name).as_ref()) {
                wanted[at] = true;
            }
        }
    }
    (0..stock.len()).filter(|&at| wanted[at]).map(|at| stock[at]).collect()
}

/// What may be names on a line that uses materials.
fn names_used(line: &str) -> Option<impl Iterator<Item = &str>> {
    let line = line.trim_start();
    let (word, rest) = line.split_once(char::is_whitespace)?;
    let uses = USES.iter().any(|known| known.eq_ignore_ascii_case(word));
    let in_name = |character: char| character.is_alphanumeric() || matches!(character, '-' | '_' | '.');
    uses.then(|| rest.split(move |character| !in_name(character)).filter(|name| !name.is_empty()))
}
