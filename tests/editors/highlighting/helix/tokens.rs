//! What a line is cut into.

use super::super::pattern::{Kind, Part, Re, Set, Spelling, words};
use super::super::rules::{self, Language};
use super::words::{Sets, words_of};

/// A token, by which the parser tells places apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Token {
    /// A word of a set.
    Known(usize),
    /// Something with a pattern of its own.
    Pattern(usize),
    /// A comma.
    Comma,
    /// A word, if it is in no set that may stand there.
    Word,
    /// A word that begins with a digit, where no number may stand.
    Figures,
    /// A word that begins with any other sign.
    Signs,
}

/// All tokens of the values.
pub struct Tokens {
    /// The sets of words.
    pub sets: Sets,
    patterns: Vec<(Option<Kind>, Re)>,
}

impl Tokens {
    /// Those of the language.
    pub fn of_language(language: &Language, sets: Sets) -> Tokens {
        let mut tokens = Tokens { sets, patterns: Vec::new() };
        let known = language.patterns.iter().filter(|pattern| **pattern != rules::unknown());
        for part in known.flatten().chain(&language.day) {
            if tokens.simple(part).is_none() && !tokens.patterns.iter().any(|(_, re)| *re == part.re) {
                tokens.patterns.push((part.kind, part.re.clone()));
            }
        }
        // `5:50` is a time where a time may stand, and one part in fifty anywhere else.
        tokens.patterns.sort_by_key(|(kind, _)| *kind != Some(Kind::Date));
        tokens
    }

    /// The tokens that a part may be.
    pub fn of(&self, part: &Part) -> Vec<Token> {
        self.simple(part).unwrap_or_else(|| {
            let place = self.patterns.iter().position(|(_, re)| *re == part.re);
            vec![Token::Pattern(place.expect("every part is a token"))]
        })
    }

    fn simple(&self, part: &Part) -> Option<Vec<Token>> {
        if let Some(words) = words_of(&part.re) {
            return Some(self.sets.holding(&words).into_iter().map(Token::Known).collect());
        }
        if part.re == words(",") {
            return Some(vec![Token::Comma]);
        }
        let word = [rules::name(), rules::letter(), rules::other()].contains(&part.re);
        word.then(|| vec![Token::Word])
    }

    /// The rule of a token.
    pub fn rule(&self, token: Token) -> String {
        match token {
            Token::Known(set) => format!("_words_{set}"),
            Token::Pattern(place) => {
                let kind = self.patterns[place].0.map_or_else(|| "passed".to_owned(), |kind| format!("{kind:?}"));
                format!("_{}_{place}", kind.to_lowercase())
            }
            Token::Comma => "_comma".to_owned(),
            Token::Word => "_word".to_owned(),
            Token::Figures => "_figures".to_owned(),
            Token::Signs => "_signs".to_owned(),
        }
    }

    /// The rule of every token with its expression and its rank.
    pub fn all(&self) -> Vec<(String, String, i32)> {
        let mut all: Vec<(Token, String, i32)> = Vec::new();
        for (set, known) in self.sets.all().enumerate() {
            let ways = known.iter().map(|word| words(word.as_str())).collect();
            all.push((Token::Known(set), Rust.spell(&Re::AnyOf(ways)), 0));
        }
        for (place, (kind, re)) in self.patterns.iter().enumerate() {
            // What is passed over to an end is passed over whatever stands there.
            let rank = i32::from(kind.is_none() && !matches!(re, Re::Words(_)));
            all.push((Token::Pattern(place), Rust.spell(re), rank));
        }
        all.push((Token::Comma, Rust.words(","), 0));
        all.push((Token::Word, Rust.spell(&rules::name()), 0));
        all.push((Token::Figures, r"[0-9][^ \t\r\n,]*".to_owned(), -1));
        all.push((Token::Signs, r"[^ \t\r\n,#0-9a-z\u{80}-\u{10FFFF}][^ \t\r\n,]*".to_owned(), -1));
        all.into_iter().map(|(token, pattern, rank)| (self.rule(token), pattern, rank)).collect()
    }
}

/// The spelling of tree-sitter: that of Rust's `regex`.
pub struct Rust;

impl Spelling for Rust {
    fn words(&self, words: &str) -> String {
        words.chars().map(|c| if r"\^$.|?*+()[]{}/".contains(c) { format!("\\{c}") } else { c.to_string() }).collect()
    }

    fn set(&self, set: Set) -> String {
        let not = if set.others { "^" } else { "" };
        let ascii = set.ascii.replace('\t', r"\t").replace('\r', r"\r").replace('\n', r"\n");
        let beyond = if set.beyond { r"\u{80}-\u{10FFFF}" } else { "" };
        format!("[{not}{beyond}{ascii}]")
    }

    // A token cannot look at what follows it. The longer one is taken, and a word goes on to its end.
    fn word_end(&self) -> String {
        String::new()
    }
}
