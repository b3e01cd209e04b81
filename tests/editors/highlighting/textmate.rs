//! The grammar that Visual Studio Code reads, and every other editor that takes TextMate grammars.

use serde_json::{Value, json};

use super::pattern::{Kind, Part, Set, Spelling, any_word};
use super::rules::Language;

/// What the grammar is called in its scopes.
pub const SCOPE: &str = "source.foliary";

/// The scope of a kind: the names that colour themes know.
pub fn scope(kind: Kind) -> &'static str {
    match kind {
        Kind::Entry => "keyword.control.entry.foliary",
        Kind::Field => "support.type.property-name.foliary",
        Kind::Name => "variable.other.name.foliary",
        Kind::Number => "constant.numeric.foliary",
        Kind::Unit => "keyword.other.unit.foliary",
        Kind::Date => "constant.other.date.foliary",
        Kind::Joiner => "keyword.operator.word.foliary",
        Kind::Title => "string.quoted.double.foliary",
        Kind::Remark => "comment.line.number-sign.foliary",
        Kind::Note => "string.unquoted.note.foliary",
    }
}

/// Oniguruma's spelling.
struct Oniguruma;

impl Spelling for Oniguruma {
    fn words(&self, words: &str) -> String {
        words.chars().map(|c| if "\\^$.|?*+()[]{}/".contains(c) { format!("\\{c}") } else { c.to_string() }).collect()
    }

    fn set(&self, set: Set) -> String {
        let not = if set.others { "^" } else { "" };
        let ascii = set.ascii.replace('\t', "\\t").replace('\r', "\\r").replace('\n', "\\n");
        let beyond = if set.beyond { r"\x{80}-\x{10FFFF}" } else { "" };
        format!("[{not}{beyond}{ascii}]")
    }

    fn word_end(&self) -> String {
        r"(?![\x{80}-\x{10FFFF}a-z0-9_-])".to_owned()
    }
}

fn rule(pattern: &[Part]) -> Value {
    let whole = Oniguruma.whole(pattern, &|_, part| format!("({part})"));
    let captures: serde_json::Map<String, Value> = pattern
        .iter()
        .enumerate()
        .filter_map(|(at, part)| Some(((at + 1).to_string(), json!({ "name": scope(part.kind?) }))))
        .collect();
    match captures.is_empty() {
        true => json!({ "match": format!("(?i){whole}") }),
        false => json!({ "match": format!("(?i){whole}"), "captures": captures }),
    }
}

fn include(place: usize) -> Value {
    json!({ "include": format!("#{}", name(place)) })
}

fn name(place: usize) -> String {
    format!("pattern-{place:02}")
}

/// A line that begins with a word, and what may stand behind it.
fn line(begin: &str, kind: Kind, behind: &[usize]) -> Value {
    json!({
        "begin": format!("(?i){begin}"),
        "beginCaptures": { "1": { "name": scope(kind) } },
        "end": "$",
        "patterns": behind.iter().copied().map(include).collect::<Vec<Value>>(),
    })
}

/// The file.
pub fn file(language: &Language) -> String {
    let spelt = |words: &[String]| Oniguruma.spell(&any_word(words.iter().map(String::as_str)));
    let entries: Vec<String> = language.entries.iter().map(|word| (*word).to_owned()).collect();
    let mut day = rule(&language.day);
    let whole = Oniguruma.whole(&language.day, &|_, part| format!("({part})"));
    day["match"] = json!(format!("(?i)^{whole}(?:[ \\t]+(#.*))?"));
    day["captures"]["3"] = json!({ "name": scope(Kind::Remark) });
    let mut lines = vec![
        json!({ "match": "^[ \\t]*(#.*)", "captures": { "1": { "name": scope(Kind::Remark) } } }),
        json!({
            "begin": "(?i)^([ \\t]+)(note)(?=[ \\t\\r]|$)",
            "beginCaptures": { "2": { "name": scope(Kind::Field) } },
            // The words go on over every line that is indented more deeply.
            "while": "^(?:\\1[ \\t]+(?=[^ \\t\\r\\n])|[ \\t\\r]*$)",
            "contentName": scope(Kind::Note),
        }),
        day,
        line(&format!("^({})(?=[ \\t\\r]|$)", spelt(&entries)), Kind::Entry, &language.head),
    ];
    for (words, behind) in &language.fields {
        lines.push(line(&format!("^[ \\t]+({})(?=[ \\t\\r]|$)", spelt(words)), Kind::Field, behind));
    }
    let repository: serde_json::Map<String, Value> =
        language.patterns.iter().enumerate().map(|(place, pattern)| (name(place), rule(pattern))).collect();
    let grammar = json!({
        "information_for_contributors": "Written by the tests from the language's own tables: change those.",
        "name": "Foliary journal",
        "scopeName": SCOPE,
        "fileTypes": ["spray"],
        "patterns": lines,
        "repository": repository,
    });
    serde_json::to_string_pretty(&grammar).unwrap() + "\n"
}
