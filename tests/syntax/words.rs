//! The grammar, the words and the schema say the same.

use std::collections::BTreeSet;
use std::fs;

use foliary::syntax::{EntryWord, FieldWord, SCHEMA, Value, read_entry};

use super::examples::{files, folder};

/// The grammar files.
fn grammar() -> Vec<(String, String)> {
    let files = files(&folder("grammar"), "pest");
    assert!(files.len() >= 3);
    files
        .iter()
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read_to_string(path).unwrap()))
        .collect()
}

/// The field words of the grammar: what stands in `^"..."` before a blank in the rule of fields, and `note`.
fn grammar_words() -> BTreeSet<String> {
    let files = grammar();
    let (_, fields) = files.iter().find(|(name, _)| name == "fields.pest").unwrap();
    let rule = fields.split_once("field = ${").unwrap().1.split_once("\n}").map_or_else(
        || fields.split_once("field = ${").unwrap().1.split_once(") ~ end }").unwrap().0,
        |(rule, _)| rule.split_once(") ~ end }").map_or(rule, |(rule, _)| rule),
    );
    let mut words: BTreeSet<String> =
        rule.split("^\"").skip(1).map(|rest| rest.split_once('"').unwrap().0.to_owned()).collect();
    words.insert("note".to_owned());
    words
}

#[test]
fn the_schema_is_in_the_order_of_the_words() {
    let schema: Vec<EntryWord> = SCHEMA.iter().map(|rule| rule.word).collect();
    assert_eq!(schema, EntryWord::ALL);
}

#[test]
fn grammar_words_and_schema_hold_the_same_fields() {
    let words: BTreeSet<String> = FieldWord::ALL.iter().map(|word| word.word().to_owned()).collect();
    let used: BTreeSet<String> =
        SCHEMA.iter().flat_map(|rule| rule.fields).map(|field| field.word.word().to_owned()).collect();
    assert_eq!(grammar_words(), words, "the grammar and the words");
    assert_eq!(used, words, "the schema and the words");
}

#[test]
fn no_entry_lists_a_field_twice() {
    for rule in SCHEMA {
        let words: BTreeSet<FieldWord> = rule.fields.iter().map(|field| field.word).collect();
        assert_eq!(words.len(), rule.fields.len(), "{}", rule.word.word());
    }
}

#[test]
fn every_word_is_read_as_itself_in_any_case() {
    for word in EntryWord::ALL {
        assert_eq!(EntryWord::named(word.word()), Some(*word));
        assert_eq!(EntryWord::named(&word.word().to_uppercase()), Some(*word));
    }
    for rule in SCHEMA {
        for field in rule.fields {
            let example = field.example;
            let typed = [example.to_owned(), example.replacen(field.word.word(), &field.word.word().to_uppercase(), 1)];
            for typed in typed {
                let entry = read_entry(&format!("{}\n    {typed}\n", rule.head), 0);
                assert!(entry.strays.is_empty(), "{typed:?} is not read");
                assert_eq!(entry.kind, Some(rule.word), "{}", rule.head);
                assert_eq!(entry.fields.len(), 1, "{typed}");
                assert_eq!(entry.fields[0].word, field.word, "{typed}");
                if let Value::Text(span) = entry.fields[0].value {
                    assert!(!span.is_empty(), "{typed}");
                }
            }
        }
    }
}

#[test]
fn every_field_says_what_it_is_for() {
    for rule in SCHEMA {
        let place = rule.word.word();
        assert!(rule.about.ends_with('.'), "{place}: {:?} is a sentence", rule.about);
        assert!(rule.head.starts_with(place) || rule.word == EntryWord::Day, "{place}: {:?}", rule.head);
        for field in rule.fields {
            let word = field.word.word();
            assert!(
                field.about.ends_with('.') && field.about.len() > 3,
                "{place} {word}: {:?} is a sentence",
                field.about
            );
            assert!(field.example.starts_with(word), "{place}: {:?} shows {word}", field.example);
            assert!(!field.about.contains('|') && !field.example.contains('|'), "{place} {word} breaks its table");
        }
    }
}

#[test]
fn every_rule_of_the_grammar_says_what_it_is() {
    for (name, text) in grammar() {
        let mut before = "";
        let mut rules = 0;
        for line in text.lines() {
            let is_rule = line.contains(" = ") && line.starts_with(|c: char| c.is_ascii_lowercase());
            if is_rule {
                rules += 1;
                let words = before.strip_prefix("/// ").unwrap_or_else(|| panic!("{name}: `{line}` has no comment"));
                assert!(words.ends_with(['.', ':', '`']), "{name}: `{words}` is a sentence");
                let rule = line.split(" = ").next().unwrap();
                assert!(
                    !words.contains(&format!("`{rule}`")) || rule.len() < 3,
                    "{name}: {rule} is explained by itself"
                );
            }
            before = line;
        }
        assert!(rules > 5, "{name} has rules");
    }
}
