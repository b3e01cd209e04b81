//! The names that entries declare, and the nearest one to a name that nothing declares.

use std::borrow::Cow;

use rustc_hash::FxHashMap;

use super::NameSort;
use crate::text::Span;

/// Declared names of one sort.
#[derive(Debug, Default)]
pub(super) struct NameTable {
    numbers: FxHashMap<Box<str>, u32>,
    declared: Vec<(Box<str>, Span)>,
}

impl NameTable {
    /// Declares a name; gives back where it was declared before, if it was.
    pub(super) fn declare(&mut self, name: &str, span: Span) -> Result<u32, Span> {
        let key = lower(name);
        if let Some(&number) = self.numbers.get(key.as_ref()) {
            return Err(self.declared[number as usize].1);
        }
        let number = self.declared.len() as u32;
        let key: Box<str> = key.into();
        self.declared.push((key.clone(), span));
        self.numbers.insert(key, number);
        Ok(number)
    }

    pub(super) fn find(&self, name: &str) -> Option<u32> {
        self.numbers.get(lower(name).as_ref()).copied()
    }

    /// Pairs of names that the eye takes for one another: alike but for hyphens, underscores and full stops, or for
    /// characters that look the same (0 and o, 1 and l and i). A mark between two digits counts: plot 1-12 is not 11-2.
    pub(super) fn look_alikes(&self) -> Vec<(Span, Span)> {
        let mut seen: FxHashMap<String, Span> = FxHashMap::default();
        let mut pairs = Vec::new();
        for (name, span) in &self.declared {
            let shape = shape(name);
            match seen.get(&shape) {
                Some(&first) => pairs.push((first, *span)),
                None => {
                    seen.insert(shape, *span);
                }
            }
        }
        pairs
    }
}

/// A name as the eye sees it at a glance.
fn shape(name: &str) -> String {
    let mut shape = String::with_capacity(name.len());
    let mut before = ' ';
    let mut characters = name.chars().peekable();
    while let Some(character) = characters.next() {
        let between_digits = before.is_ascii_digit() && characters.peek().is_some_and(char::is_ascii_digit);
        before = character;
        match character {
            '-' | '_' | '.' if !between_digits => {}
            '_' | '.' => shape.push('-'),
            '0' => shape.push('o'),
            '1' | 'i' => shape.push('l'),
            other => shape.push(other),
        }
    }
    shape
}

/// A longer word than this is no slip for any other: comparing takes time in the square of the length.
const LONGEST: usize = 64;

/// The nearest known word: at most a third of its letters away, counting a swap of neighbours as one; of several, the
/// first in the alphabet, so that the order of files changes nothing. Words that differ only in digits are never offered
/// for one another: block 7 is not a slip for block 8.
pub fn nearest<'a>(written: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    if written.len() > LONGEST {
        return None;
    }
    let without_digits = |word: &str| word.chars().filter(|character| !character.is_ascii_digit()).collect::<String>();
    let length = written.chars().count();
    let mut best: Option<(usize, &str)> = None;
    for word in known {
        if word.len() > LONGEST {
            continue;
        }
        let known_length = word.chars().count();
        let most = length.max(known_length) / 3;
        // A cheap bound first: words are at least as far apart as their lengths.
        if length.abs_diff(known_length) > most {
            continue;
        }
        let distance = strsim::damerau_levenshtein(written, word);
        if distance == 0 || distance > most || without_digits(word) == without_digits(written) {
            continue;
        }
        if best.is_none_or(|nearest| (distance, word) < nearest) {
            best = Some((distance, word));
        }
    }
    best.map(|(_, word)| word)
}

/// Whether two crop words mean the same crop, both in lower case: a plural is forgiven, as in `apple` and `apples`,
/// `peach` and `peaches`, `cherry` and `cherries`.
pub fn same_crop(one: &str, other: &str) -> bool {
    let (short, long) = if one.len() <= other.len() { (one, other) } else { (other, one) };
    if short == long {
        return true;
    }
    let ending = long.strip_prefix(short);
    let changed = short.strip_suffix('y').and_then(|stem| long.strip_prefix(stem));
    matches!(ending, Some("s" | "es")) || changed == Some("ies")
}

/// The name as it is compared.
pub(super) fn lower(name: &str) -> Cow<'_, str> {
    if name.chars().any(char::is_uppercase) { Cow::Owned(name.to_lowercase()) } else { Cow::Borrowed(name) }
}

/// Every table of names.
#[derive(Debug, Default)]
pub(super) struct Names {
    pub(super) blocks: NameTable,
    pub(super) people: NameTable,
    pub(super) rigs: NameTable,
    pub(super) waters: NameTable,
    pub(super) materials: NameTable,
    pub(super) mixes: NameTable,
    pub(super) programs: NameTable,
    pub(super) limits: NameTable,
    pub(super) brews: NameTable,
}

impl Names {
    pub(super) fn table(&self, sort: NameSort) -> &NameTable {
        match sort {
            NameSort::Block | NameSort::Farm => &self.blocks,
            NameSort::Person => &self.people,
            NameSort::Rig => &self.rigs,
            NameSort::Water => &self.waters,
            NameSort::Material => &self.materials,
            NameSort::Mix => &self.mixes,
            NameSort::Program => &self.programs,
            NameSort::Limits => &self.limits,
            NameSort::Brew => &self.brews,
        }
    }

    pub(super) fn table_mut(&mut self, sort: NameSort) -> &mut NameTable {
        match sort {
            NameSort::Block | NameSort::Farm => &mut self.blocks,
            NameSort::Person => &mut self.people,
            NameSort::Rig => &mut self.rigs,
            NameSort::Water => &mut self.waters,
            NameSort::Material => &mut self.materials,
            NameSort::Mix => &mut self.mixes,
            NameSort::Program => &mut self.programs,
            NameSort::Limits => &mut self.limits,
            NameSort::Brew => &mut self.brews,
        }
    }
}
