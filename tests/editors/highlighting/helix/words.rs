//! The words of the language in sets, as a tree-sitter parser has to be told them: it reads a word once, as a member of
//! one set, and only then asks whether that set may stand there.

use std::collections::{BTreeMap, BTreeSet};

use super::super::pattern::{Part, Re};

/// Sets of words without a word in two of them. Words that may stand in the same places share one.
pub struct Sets(Vec<BTreeSet<String>>);

impl Sets {
    /// The words of patterns and those of some lists.
    pub fn of<'l>(patterns: impl Iterator<Item = &'l Part>, lists: impl Iterator<Item = &'l [String]>) -> Sets {
        let patterns = patterns.filter_map(|part| words_of(&part.re));
        let lists = patterns.chain(lists.map(|words| words.iter().cloned().collect()));
        let mut places: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (at, list) in lists.enumerate() {
            for word in list {
                // A word stands for both cases.
                places.entry(word.to_lowercase()).or_default().push(at);
            }
        }
        let mut sets: BTreeMap<Vec<usize>, BTreeSet<String>> = BTreeMap::new();
        for (word, places) in places {
            sets.entry(places).or_default().insert(word);
        }
        Sets(sets.into_values().collect())
    }

    /// The sets that some words are made of.
    pub fn holding<'w>(&self, words: impl IntoIterator<Item = &'w String>) -> BTreeSet<usize> {
        let place = |word: &String| {
            let held = self.0.iter().position(|set| set.contains(&word.to_lowercase()));
            held.unwrap_or_else(|| panic!("`{word}` is in no set"))
        };
        words.into_iter().map(place).collect()
    }

    /// Every set.
    pub fn all(&self) -> impl Iterator<Item = &BTreeSet<String>> {
        self.0.iter()
    }
}

/// The words of an expression that is nothing but words.
pub fn words_of(re: &Re) -> Option<BTreeSet<String>> {
    let Re::Seq(parts) = re else { return None };
    let [Re::AnyOf(ways), Re::WordEnd] = &parts[..] else { return None };
    ways.iter().map(|way| if let Re::Words(words) = way { Some(words.clone()) } else { None }).collect()
}
