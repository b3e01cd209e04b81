//! The rulebooks at hand: those that come with the program, and a farm's own.

use std::sync::OnceLock;

use super::read::read;
use super::{Rulebook, RulebookTrouble};

/// Where a rulebook came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Came {
    /// With the program.
    Shipped,
    /// From a file of the farm's own folders.
    Own(String),
}

/// A file of `rulebooks/`, by the name of its rulebook.
macro_rules! shipped_file {
    ($name:literal) => {
        ($name, include_str!(concat!("../../rulebooks/", $name, ".toml")))
    };
}

/// The files that come with the program.
const SHIPPED: &[(&str, &str)] = &[
    shipped_file!("au-new-south-wales"),
    shipped_file!("au-victoria"),
    shipped_file!("au-western-australia"),
    shipped_file!("ca-quebec"),
    shipped_file!("eu-basic-substances"),
    shipped_file!("eu-plant-protection"),
    shipped_file!("us-california"),
    shipped_file!("us-organic"),
    shipped_file!("us-pesticide-use"),
    shipped_file!("us-private-applicator"),
    shipped_file!("us-produce-safety"),
    shipped_file!("us-washington"),
    shipped_file!("us-worker-protection"),
];

/// Rulebooks at hand, by name. An own one takes the place of a shipped one of the same name.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shelf {
    own: Vec<(Rulebook, String)>,
}

impl Shelf {
    /// The shelf of what comes with the program.
    pub fn shipped() -> &'static Self {
        static SHIPPED_ALONE: Shelf = Shelf { own: Vec::new() };
        &SHIPPED_ALONE
    }

    /// A shelf with a farm's own rulebooks, each with its file's name and text.
    ///
    /// # Errors
    /// The first file that cannot be used, or that has the name of another.
    pub fn new(files: &[(String, String)]) -> Result<Self, RulebookTrouble> {
        let mut shelf = Self::default();
        for (file, text) in files {
            let book = Rulebook { own: true, ..read(file, text)? };
            if let Some((_, other)) = shelf.own.iter().find(|(known, _)| known.name == book.name) {
                let why = format!("it is called {}, as {other} is", book.name);
                return Err(RulebookTrouble { file: file.clone(), rule: None, why });
            }
            shelf.own.push((book, file.clone()));
        }
        Ok(shelf)
    }

    /// A rulebook by its name.
    pub fn find(&self, name: &str) -> Option<&Rulebook> {
        let own = self.own.iter().map(|(book, _)| book).find(|book| book.name == name);
        own.or_else(|| shipped(SHIPPED.iter().position(|(known, _)| *known == name)?))
    }

    /// Every rulebook with where it came from, by name.
    pub fn all(&self) -> Vec<(&Rulebook, Came)> {
        let own = self.own.iter().map(|(book, file)| (book, Came::Own(file.clone())));
        let shipped = (0..SHIPPED.len()).filter_map(shipped).map(|book| (book, Came::Shipped));
        let shipped = shipped.filter(|(book, _)| self.own.iter().all(|(own, _)| own.name != book.name));
        let mut all: Vec<(&Rulebook, Came)> = own.chain(shipped).collect();
        all.sort_by(|(one, _), (other, _)| one.name.cmp(&other.name));
        all
    }

    /// The names of all.
    pub fn names(&self) -> Vec<&str> {
        self.all().into_iter().map(|(book, _)| book.name.as_str()).collect()
    }
}

/// A shipped rulebook, read when it is first asked for: a farm needs two or three of them.
fn shipped(at: usize) -> Option<&'static Rulebook> {
    static READ: [OnceLock<Option<Rulebook>>; SHIPPED.len()] = [const { OnceLock::new() }; SHIPPED.len()];
    // A shipped file that could not be read would be missing; the tests read every one.
    READ[at].get_or_init(|| read(SHIPPED[at].0, SHIPPED[at].1).ok()).as_ref()
}
