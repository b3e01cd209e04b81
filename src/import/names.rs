//! Names: what a sheet calls things, and what the farm does.

use std::collections::{BTreeMap, BTreeSet};

use rustc_hash::FxHashMap;

use crate::journal::{Journal, Named, nearest_word, pantry};
use crate::quantity::Form;

/// The names of one sort that a farm has.
#[derive(Debug, Default)]
pub(super) struct NameBook {
    /// The name by each way it may be written; none where two have it.
    by_words: FxHashMap<String, Option<String>>,
    names: Vec<(String, String)>,
}

/// What a name in the sheet is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Found {
    /// One of the farm's.
    Known(String),
    /// None of the farm's: a name made of the words, and one of the farm's that it may be a slip for.
    New(String, Option<String>),
}

impl Found {
    pub(super) fn name(&self) -> &str {
        match self {
            Found::Known(name) | Found::New(name, _) => name,
        }
    }
}

impl NameBook {
    fn add(&mut self, name: &str, title: Option<&str>) {
        self.names.push((name.to_string(), title.unwrap_or_default().to_string()));
        let mut ways = BTreeSet::from([made_name(name, "")]);
        ways.extend(title.map(|title| made_name(title, "")));
        for way in ways {
            let other = self.by_words.get(&way);
            let one = other.is_none_or(|other| other.as_deref() == Some(name));
            self.by_words.insert(way, one.then(|| name.to_string()));
        }
    }

    fn of<'j>(named: impl Iterator<Item = &'j Named>) -> Self {
        let mut book = Self::default();
        for named in named {
            book.add(&named.name, named.title.as_deref());
        }
        book
    }

    /// The name of the farm's that some words are, whatever their capitals, spaces and full stops.
    pub(super) fn known(&self, words: &str) -> Option<&str> {
        self.by_words.get(&made_name(words, ""))?.as_deref()
    }

    /// What the words name. `sort` begins a name that would begin with a digit.
    pub(super) fn find(&self, words: &str, mapped: &BTreeMap<String, String>, sort: &str) -> Found {
        if let Some(name) = mapped.get(words) {
            return match self.known(name) {
                Some(name) => Found::Known(name.to_string()),
                None => Found::New(name.clone(), self.near(words)),
            };
        }
        match self.known(words) {
            Some(name) => Found::Known(name.to_string()),
            None => Found::New(made_name(words, sort), self.near(words)),
        }
    }

    /// One of the farm's that the words may be a slip or a short form for.
    fn near(&self, words: &str) -> Option<String> {
        let made = made_name(words, "");
        let ways = || self.by_words.keys().map(String::as_str).filter(|way| self.by_words[*way].is_some());
        if let Some(way) = nearest_word(&made, ways()) {
            return self.by_words[way].clone();
        }
        // `TM`, `Tansy`, `Marsh` for Tansy Marsh; `Kelp` for kelp-powder: where one alone fits.
        let letters = made.replace('-', "");
        let fits = |(name, title): &&(String, String)| {
            let words: Vec<String> = [title, name]
                .iter()
                .flat_map(|words| made_name(words, "").split('-').map(String::from).collect::<Vec<_>>())
                .collect();
            let initials =
                |words: &str| words.split_whitespace().filter_map(|word| word.chars().next()).collect::<String>();
            letters.len() > 1 && initials(title).to_lowercase() == letters
                || made.len() > 2 && made.split('-').all(|part| words.iter().any(|word| word == part))
        };
        let mut fitting = self.names.iter().filter(fits);
        match (fitting.next(), fitting.next()) {
            (Some((name, _)), None) => Some(name.clone()),
            _ => None,
        }
    }
}

/// The names that a farm has.
#[derive(Debug, Default)]
pub(super) struct Known {
    pub(super) blocks: NameBook,
    pub(super) materials: NameBook,
    pub(super) mixes: NameBook,
    pub(super) people: NameBook,
    pub(super) rigs: NameBook,
    pub(super) waters: NameBook,
    forms: FxHashMap<String, Form>,
}

impl Known {
    /// The names of a journal, and those of the pantry where it uses that.
    pub(super) fn of(journal: &Journal) -> Self {
        let mut materials = NameBook::of(journal.materials.iter().map(|material| &material.named));
        let mut forms: FxHashMap<String, Form> = journal
            .materials
            .iter()
            .filter_map(|material| Some((material.named.name.to_string(), material.form()?)))
            .collect();
        if journal.farm.as_ref().and_then(|farm| farm.pantry).is_some_and(|pantry| pantry.value) {
            for entry in pantry() {
                if materials.known(entry.name).is_some() {
                    continue;
                }
                let first = entry.text.lines().next().unwrap_or_default();
                materials.add(entry.name, first.split('"').nth(1));
                let form = entry.text.lines().find_map(|line| line.trim().strip_prefix("form"));
                forms.extend(form.and_then(|form| Form::named(form.trim())).map(|form| (entry.name.to_string(), form)));
            }
        }
        Self {
            blocks: NameBook::of(journal.blocks.iter().map(|block| &block.named)),
            materials,
            mixes: NameBook::of(journal.mixes.iter().map(|mix| &mix.named)),
            people: NameBook::of(journal.people.iter().map(|person| &person.named)),
            rigs: NameBook::of(journal.rigs.iter().map(|rig| &rig.named)),
            waters: NameBook::of(journal.waters.iter().map(|water| &water.named)),
            forms,
        }
    }

    /// Whether a material is known to be dry or liquid.
    pub(super) fn has_form(&self, material: &str) -> bool {
        self.forms.contains_key(material)
    }
}

/// A name made of some words: lower case, hyphens between. `sort` begins it where a letter has to.
pub(super) fn made_name(words: &str, sort: &str) -> String {
    let mut name = String::with_capacity(words.len());
    for letter in words.chars() {
        if letter.is_alphanumeric() {
            name.extend(letter.to_lowercase());
        // An apostrophe is part of a word.
        } else if !matches!(letter, '\'' | '\u{2019}') && !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    let name = name.trim_end_matches('-');
    let begins = name.chars().next().is_some_and(char::is_alphabetic);
    match (begins, name.is_empty(), sort.is_empty()) {
        (true, ..) | (_, _, true) => name.to_string(),
        (_, true, _) => format!("{sort}-unnamed"),
        _ => format!("{sort}-{name}"),
    }
}

/// Several names in one cell: `North, Creek`, `North & Creek`.
pub(super) fn several(words: &str) -> Vec<String> {
    let mut parts = vec![words.to_string()];
    for mark in [",", ";", "&", "+", "\n", " and ", " AND ", " And "] {
        parts = parts.iter().flat_map(|part| part.split(mark)).map(|part| part.trim().to_string()).collect();
    }
    parts.retain(|part| !part.is_empty());
    parts
}

/// Whether two ways of writing become the same name without being the same words: `Kelp+` and `Kelp`.
pub(super) fn look_different(one: &str, other: &str) -> bool {
    let bare = |words: &str| -> String {
        let plain =
            |letter: &char| !letter.is_whitespace() && !matches!(letter, '.' | '-' | '_' | ',' | '\'' | '\u{2019}');
        words.chars().filter(plain).flat_map(char::to_lowercase).collect()
    };
    bare(one) != bare(other)
}
