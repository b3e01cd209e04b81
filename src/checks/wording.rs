//! Words of the journal, quoted in a sentence; and which of them to stay quiet about.

use rustc_hash::FxHashMap;

use crate::journal::MaterialId;
use crate::season::Season;
use crate::syntax::EntryWord;
use crate::text::{Span, is_hidden};

/// The longest quotation in a sentence, in characters: the picture below it shows the rest.
const LONGEST: usize = 60;

/// Words between backticks, cut where they are long.
pub(super) fn quoted(words: &str) -> String {
    let words = words.trim();
    match words.char_indices().nth(LONGEST) {
        Some((cut, _)) => format!("`{}…`", &words[..cut]),
        None => format!("`{words}`"),
    }
}

/// The words at a span, quoted.
pub(super) fn quote(season: &Season<'_>, at: Span) -> String {
    quoted(season.words(at))
}

/// Whether there are hidden characters among the words: they are reported already, and nothing else about such words is
/// worth saying.
pub(super) fn hides(season: &Season<'_>, at: Span) -> bool {
    season.words(at).chars().any(is_hidden)
}

/// What an entry is called in a sentence.
pub(super) fn noun(entry: EntryWord) -> &'static str {
    match entry {
        EntryWord::Day => "page",
        EntryWord::Limits => "set of limits",
        EntryWord::Observe => "observation",
        EntryWord::Weather => "weather entry",
        EntryWord::Skip => "skipped round",
        EntryWord::Work => "work entry",
        EntryWord::Post => "posting",
        EntryWord::Receive => "delivery",
        EntryWord::Brew => "batch",
        EntryWord::Calibrate => "calibration",
        EntryWord::Clean => "cleaning",
        EntryWord::Amend => "amendment",
        EntryWord::Approve => "approval",
        EntryWord::Train => "training",
        entry => entry.word(),
    }
}

/// `a block`, `an observation`.
pub(super) fn with_article(word: &str) -> String {
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {word}")
}

/// `a`, `a or b`, `a, b or c`.
pub(super) fn either<S: AsRef<str>>(items: &[S]) -> String {
    let items: Vec<&str> = items.iter().map(AsRef::as_ref).collect();
    match items.as_slice() {
        [] => String::new(),
        [one] => (*one).to_string(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// Amounts by material, in the order of first use, from places of the material's name and the amount.
pub(super) fn same_material(
    season: &Season<'_>,
    amounts: impl Iterator<Item = (Span, Span)>,
) -> Vec<(MaterialId, Vec<Span>)> {
    let mut by_name: Option<FxHashMap<&str, usize>> = None;
    let mut place_of: FxHashMap<usize, usize> = FxHashMap::default();
    let mut gathered: Vec<(MaterialId, Vec<Span>)> = Vec::new();
    for (material, at) in amounts {
        let by_name = by_name.get_or_insert_with(|| {
            season.journal.materials.iter().enumerate().map(|(id, material)| (&*material.named.name, id)).collect()
        });
        let Some(&id) = by_name.get(&*season.words(material).to_lowercase()) else { continue };
        let place = *place_of.entry(id).or_insert_with(|| {
            gathered.push((MaterialId::at(id), Vec::new()));
            gathered.len() - 1
        });
        gathered[place].1.push(at);
    }
    gathered
}
