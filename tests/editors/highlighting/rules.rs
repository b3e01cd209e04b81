//! The patterns of the journal language, made of its own tables: entry and field words, the unit table, the grammar.

use foliary::quantity::{Dimension, Unit};
use foliary::syntax::{EntryWord, SCHEMA};

use super::pattern::{Kind, Part, Pattern, Re, any_word, blanks, maybe, none_of, one, some, words};
use super::shapes::{self, Shape};

/// All that an editor has to be told.
pub struct Language {
    /// Every pattern, in an order that no list of them goes against.
    pub patterns: Vec<Pattern>,
    /// The words that begin an entry at the margin.
    pub entries: Vec<&'static str>,
    /// Which patterns may stand behind them.
    pub head: Vec<usize>,
    /// The whole of a date line.
    pub day: Pattern,
    /// Field words with the patterns of what stands behind them; notes apart.
    pub fields: Vec<(Vec<String>, Vec<usize>)>,
}

/// A remark: where a line begins, or after a blank.
pub fn remark() -> Pattern {
    vec![Part::new(Kind::Remark, Re::Seq(vec![words("#"), maybe(some(none_of("\r\n")))]))]
}

/// What no pattern knows, passed over word by word so that none is found in the middle of a word.
pub fn unknown() -> Pattern {
    vec![Part::passed(Re::AnyOf(vec![
        words(","),
        Re::Seq(vec![none_of(" \t\r\n,#"), maybe(some(none_of(" \t\r\n,")))]),
    ]))]
}

/// What a word begins with.
pub fn letter() -> Re {
    one("a-z")
}

/// A word that is none of the language's, or the rest of one.
pub fn other() -> Re {
    some(none_of(" \t\r\n,"))
}

/// Words about the sky, passed over to the next comma.
pub fn sky() -> Pattern {
    vec![Part::passed(Re::Seq(vec![letter(), maybe(some(none_of(",#\r\n")))]))]
}

impl Language {
    /// As the grammar and the tables have it now.
    pub fn read() -> Language {
        let all = |shape: &Shape| [vec![remark()], value(shape), vec![unknown()]].concat();
        let head = all(&shapes::head());
        let fields: Vec<(Vec<String>, Vec<Pattern>)> =
            shapes::fields().iter().map(|shape| (shape.words.iter().cloned().collect(), all(shape))).collect();
        let patterns = merged([&head].into_iter().chain(fields.iter().map(|(_, patterns)| patterns)));
        let places = |list: &[Pattern]| list.iter().map(|one| place(&patterns, one)).collect::<Vec<usize>>();
        Language {
            entries: entries(),
            head: places(&head),
            day: vec![Part::new(Kind::Date, date()), Part::new(Kind::Date, weekday()).after_blank().optional()],
            fields: fields.iter().map(|(words, list)| (words.clone(), places(list))).collect(),
            patterns,
        }
    }
}

fn place(patterns: &[Pattern], one: &Pattern) -> usize {
    patterns.iter().position(|known| known == one).expect("every pattern is in the list of all")
}

/// All patterns of some lists, each once, in the order that each list has them in.
fn merged<'l>(lists: impl Iterator<Item = &'l Vec<Pattern>>) -> Vec<Pattern> {
    let mut left: Vec<&[Pattern]> = lists.map(Vec::as_slice).collect();
    let mut merged = Vec::new();
    loop {
        left.retain(|list| !list.is_empty());
        if left.is_empty() {
            return merged;
        }
        // One that no list still has behind another.
        let free = |one: &&Pattern| left.iter().all(|list| !list[1..].contains(one));
        let next = left.iter().map(|list| &list[0]).find(free).expect("the lists agree on an order").clone();
        for list in &mut left {
            if list[0] == next {
                *list = &list[1..];
            }
        }
        merged.push(next);
    }
}

/// A page begins with its date; every other entry with its word.
fn entries() -> Vec<&'static str> {
    let written = |word: &EntryWord| SCHEMA.iter().any(|rule| rule.word == *word && rule.head.starts_with(word.word()));
    EntryWord::ALL.iter().filter(|word| written(word)).map(|word| word.word()).collect()
}

fn digits() -> Re {
    some(one("0-9"))
}

fn number() -> Re {
    let fraction = |sign| Re::Seq(vec![words(sign), digits()]);
    let mixed = Re::Seq(vec![words(" "), digits(), words("/"), digits()]);
    let whole = Re::Seq(vec![digits(), maybe(Re::AnyOf(vec![mixed, fraction("."), fraction("/")]))]);
    let one_in = Re::Seq(vec![digits(), maybe(blanks()), words(":"), maybe(blanks()), whole.clone()]);
    Re::AnyOf(vec![one_in, Re::Seq(vec![maybe(words("-")), Re::AnyOf(vec![whole, fraction(".")])])])
}

fn date() -> Re {
    let digit = || one("0-9");
    let mut parts: Vec<Re> = (0..4).map(|_| digit()).collect();
    for _ in 0..2 {
        parts.extend([words("-"), digit(), digit()]);
    }
    parts.push(Re::WordEnd);
    Re::Seq(parts)
}

fn clock() -> Re {
    let half = Re::Seq(vec![maybe(blanks()), any_word(["am", "pm"])]);
    Re::Seq(vec![one("0-9"), maybe(one("0-9")), words(":"), one("0-9"), one("0-9"), Re::WordEnd, maybe(half)])
}

/// In full, or its first three letters or more.
fn weekday() -> Re {
    let days = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
    let short = days.iter().flat_map(|day| (3..=day.len()).map(move |length| &day[..length]));
    any_word(short.chain(["weds"]))
}

/// A name, or any other word of letters.
pub fn name() -> Re {
    let beyond = |ascii| Re::One(super::pattern::Set { others: false, ascii, beyond: true });
    let rest = || beyond("a-z0-9_-");
    Re::Seq(vec![beyond("a-z"), maybe(some(Re::AnyOf(vec![rest(), Re::Seq(vec![some(words(".")), rest()])])))])
}

/// Words to the end of the line or to a remark.
fn text() -> Re {
    let word = || vec![none_of(" \t\r\n#"), maybe(some(none_of(" \t\r\n")))];
    let more = Re::Seq([vec![blanks()], word()].concat());
    Re::Seq([word(), vec![maybe(some(more))]].concat())
}

/// Every name of a unit, the longer first, with what the table forgives.
fn unit() -> Re {
    // The grammar reads `per` as what an amount is counted by, but in a speed.
    let whole = |unit: &Unit, name: &&str| !name.contains(" per ") || unit.dimension() == Dimension::Speed;
    let mut names: Vec<&str> = Unit::all()
        .flat_map(|unit| {
            let names = [unit.word()].into_iter().chain(unit.aliases().iter().copied());
            names.filter(move |name| whole(&unit, name))
        })
        .collect();
    names.sort_by(|a, b| b.len().cmp(&a.len()).then(a.cmp(b)));
    names.dedup();
    let ways = names.into_iter().map(|name| {
        let mut parts: Vec<Re> = Vec::new();
        for (at, word) in name.split(' ').enumerate() {
            if at > 0 {
                parts.extend([maybe(words(".")), maybe(blanks())]);
            }
            parts.push(Re::Seq(word.chars().map(forgiven).collect()));
        }
        if name.ends_with(|last: char| last.is_ascii_alphanumeric()) {
            // One letter has no plural: `ms` is not metres.
            if name.len() > 1 {
                parts.push(maybe(words("s")));
            }
            parts.extend([Re::WordEnd, maybe(words("."))]);
        }
        Re::Seq(parts)
    });
    Re::Seq(vec![maybe(words("°")), Re::AnyOf(ways.collect())])
}

/// A character of a unit's name as it may be written.
fn forgiven(character: char) -> Re {
    match character {
        '2' => Re::AnyOf(vec![words("2"), words("²"), words("^2")]),
        '3' => Re::AnyOf(vec![words("3"), words("³"), words("^3")]),
        other => words(other),
    }
}

/// The patterns of what stands behind a word, in the order in which they are tried.
fn value(shape: &Shape) -> Vec<Pattern> {
    let has = |rule: &str| shape.rules.contains(rule);
    let joiner = || any_word(shape.joiners.iter().map(String::as_str));
    let word = |word: &'static str| Part::new(Kind::Joiner, any_word([word]));
    let number = || Part::new(Kind::Number, number());
    let unit = || Part::new(Kind::Unit, unit());
    let text = || Part::passed(text());
    let name = || Part::new(Kind::Name, name());
    let date = || Part::new(Kind::Date, date());
    let other = || Part::passed(other());

    let mut all: Vec<Pattern> = Vec::new();
    if has("licence") {
        return vec![vec![word("until"), date().after_blank()]];
    }
    if has("accept") {
        return vec![vec![name(), text().after_blank()]];
    }
    if has("text") && shape.joiners.is_empty() && !has("name") {
        return vec![vec![text()]];
    }
    if has("title") {
        all.push(vec![Part::new(Kind::Title, Re::Seq(vec![words("\""), maybe(some(none_of("\"\r\n"))), words("\"")]))]);
    }
    if has("start") {
        all.push(vec![word("stage"), text().after_blank()]);
    }
    if has("of_lot") {
        all.push(vec![Part::passed(words(",")), word("lot").any_gap(), text().after_blank()]);
    }
    if has("leftover") {
        let line = Re::Seq(vec![none_of(" \t\r\n#0-9"), maybe(self::text_rest())]);
        all.push(vec![Part::passed(words(",")), Part::passed(line).any_gap()]);
    }
    if has("date") {
        all.push(vec![date()]);
    }
    if has("clock") {
        all.push(vec![Part::new(Kind::Date, clock())]);
    }
    if has("count") {
        all.push(vec![number(), word("of").after_blank(), number().after_blank(), text().after_blank().optional()]);
    }
    if has("severity") {
        all.push(vec![number(), Part::new(Kind::Unit, words("%")).any_gap(), text().after_blank().optional()]);
    }
    if has("sample") {
        let sample = [number(), unit().any_gap().optional(), word("of").after_blank(), number().after_blank()];
        all.push([&sample[..], &[word("at").after_blank()]].concat());
        all.push([&sample[..], &[name().after_blank().optional()]].concat());
    }
    if has("seen") {
        let percent = Part::new(Kind::Unit, words("%")).any_gap();
        all.push(vec![word("over"), number().after_blank(), percent]);
    }
    if has("reading_item") {
        let compass = || Part::new(Kind::Joiner, compass());
        let quantity = [
            number(),
            word("to").after_blank().optional(),
            number().after_blank().optional(),
            unit().any_gap().optional(),
            compass().after_blank().optional(),
        ];
        let mut named = vec![name()];
        named.extend(quantity.clone());
        named[1] = named[1].clone().after_blank();
        all.push(named);
        all.push(quantity.to_vec());
        all.push(sky());
    } else {
        if has("per") {
            let some_number = || number().after_blank().optional();
            all.push(vec![word("per"), some_number(), unit().any_gap()]);
            all.push(vec![word("per"), some_number(), other().after_blank()]);
            all.push(vec![Part::passed(words("/")), number().any_gap().optional(), unit().any_gap()]);
        }
        if has("unit") {
            all.push(vec![number(), unit().any_gap()]);
        }
        if has("number") || has("whole") {
            if !shape.joiners.is_empty() {
                all.push(vec![number(), Part::new(Kind::Joiner, joiner()).after_blank()]);
            }
            all.push(vec![number(), Part::passed(letter()).after_blank(), other().optional()]);
            all.push(vec![number()]);
        }
        if !shape.joiners.is_empty() {
            all.push(vec![Part::new(Kind::Joiner, joiner())]);
        }
        if has("name") {
            all.push(vec![name()]);
        }
    }
    all
}

fn text_rest() -> Re {
    let more = Re::Seq(vec![blanks(), none_of(" \t\r\n#"), maybe(some(none_of(" \t\r\n")))]);
    Re::Seq(vec![maybe(some(none_of(" \t\r\n"))), maybe(some(more))])
}

/// One to three points of the compass: `NW`, `north`.
fn compass() -> Re {
    let point = || Re::AnyOf(["north", "south", "east", "west", "n", "s", "e", "w"].map(words).to_vec());
    Re::Seq(vec![point(), maybe(point()), maybe(point()), Re::WordEnd])
}
