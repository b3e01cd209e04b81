//! What holds for every text whatever.

use foliary::syntax::{Entry, Field, Value, split_entries};
use foliary::text::Span;
use proptest::prelude::*;

use super::{dump, read, words_of};

/// Pieces that journals are made of, so that chance comes close to them.
const PIECES: &[&str] = &[
    "spray",
    "block",
    "farm",
    "mix",
    "amend",
    "2026-05-14",
    "Thu",
    "creek-pear",
    "öst",
    "rows",
    "1 to 9",
    "of",
    "on",
    "per",
    "from",
    "none stated",
    "at most",
    "every",
    "\"",
    "“",
    "”",
    "note",
    "time",
    "05:50",
    "next day",
    "put",
    "oz wt",
    "gal",
    "%",
    "1:500",
    "1/0",
    "½",
    "-3",
    "0.4",
    ",",
    "#",
    " # ",
    "weather",
    "wind",
    "load",
    "leftover",
    "accept",
    "licence",
    "until",
    "rulebook",
    "signed by",
    "keep 5 years",
    "history",
    "rate",
    "rounds",
    "reading",
    "growth",
    "count",
    "\u{feff}",
    "\u{202e}",
    "\0",
    "\u{a0}",
    "\u{2028}",
    "x",
    "🍐",
];
const BREAKS: &[&str] =
    &["\n", "\n", "\n", "\r\n", "\r", "\n\n", "\n    ", "\n    ", "\n\t", "\n        ", " ", " ", "  ", "\t"];

/// Any text that is more or less a journal.
pub fn text() -> impl Strategy<Value = String> {
    let piece = (0..PIECES.len()).prop_map(|at| PIECES[at].to_owned());
    let gap = (0..BREAKS.len()).prop_map(|at| BREAKS[at].to_owned());
    let any = any::<String>();
    let part = prop_oneof![8 => piece, 8 => gap, 1 => any];
    prop::collection::vec(part, 0..60).prop_map(|parts| parts.concat())
}

/// Every span of an entry that words of the text belong to.
fn covered(entry: &Entry) -> Vec<Span> {
    let mut spans: Vec<Span> = entry.comments.clone();
    spans.extend(entry.strays.iter().map(|stray| stray.line));
    spans.extend(entry.fields.iter().flat_map(|field| [field.at, field.span]));
    let opening = entry.kind.is_none() && entry.head.word.is_empty();
    if !opening {
        spans.push(entry.head.line);
    }
    spans
}

fn check_nothing_is_lost(text: &str) {
    let mut seen = vec![false; text.len()];
    for entry in read(text, 0) {
        for span in covered(&entry) {
            assert!(span.start <= span.end && span.end as usize <= text.len(), "{span:?} in {text:?}");
            assert!(text.is_char_boundary(span.start as usize) && text.is_char_boundary(span.end as usize));
            assert!(entry.span.covers(span), "{span:?} lies in its entry");
            seen[span.start as usize..span.end as usize].fill(true);
        }
    }
    let start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let lost: Vec<(usize, char)> = text
        .char_indices()
        .filter(|&(at, character)| at >= start && !matches!(character, ' ' | '\t' | '\r' | '\n') && !seen[at])
        .collect();
    assert!(lost.is_empty(), "{lost:?} are lost of {text:?}");
}

fn check_splitting(text: &str) {
    let mut end = if text.starts_with('\u{feff}') { 3 } else { 0 };
    for range in split_entries(text) {
        assert_eq!(range.start, end);
        assert!(range.end > range.start);
        end = range.end;
    }
    assert_eq!(end, text.len());
}

/// An entry whose lines are well apart: no note that could go on over the next line.
fn fields() -> impl Strategy<Value = Vec<&'static str>> {
    let lines = prop::sample::select(vec![
        "crop pear",
        "by t-marsh, r-vale",
        "mix leaf-tonic, 60 gal",
        "time 05:50 to 07:20",
        "weather 52 F, wind 3 mph NW",
        "reason nutrition   # a remark",
        "note Dry at the start.",
        "load 2 of 500 gal, sulfur 20 lb",
        "over 0.8 acre",
        "put soap 1 fl oz per gal",
    ]);
    prop::collection::vec(lines, 1..8)
}

fn bad_line() -> impl Strategy<Value = String> {
    let words = prop_oneof![
        3 => "[^\r\n]{1,40}",
        1 => Just("over many acres".to_owned()),
        1 => Just("time half past five".to_owned()),
        1 => Just("\"“,,,#".to_owned()),
        1 => Just("measured 3 3 3".to_owned()),
        1 => Just("spray creek-pear".to_owned()),
    ];
    // A line that begins with a blank would be deeper than its neighbours, and go on with a note above it.
    words.prop_filter("begins with a word", |line| {
        !line.starts_with([' ', '\t']) && !line.to_lowercase().starts_with("note")
    })
}

fn words_of_fields(text: &str, fields: &[Field]) -> Vec<String> {
    fields
        .iter()
        .map(|field| {
            let words = &text[field.at.start as usize..field.span.end as usize];
            format!("{:?} {words:?} {:?}", field.word, std::mem::discriminant::<Value>(&field.value))
        })
        .collect()
}

#[test]
fn a_blank_of_another_kind_in_a_note_is_not_lost() {
    check_nothing_is_lost("block b\n    note\n        \u{a0}Dry at the start.");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn reading_loses_nothing(text in text()) {
        check_nothing_is_lost(&text);
        check_splitting(&text);
    }

    #[test]
    fn line_ends_change_nothing(text in text()) {
        let text = text.replace('\r', "");
        let other = text.replace('\n', "\r\n");
        prop_assert_eq!(words_of(&other, &read(&other, 0)), words_of(&text, &read(&text, 0)));
    }

    #[test]
    fn the_place_of_a_file_changes_nothing(text in text(), base in 0u32..1 << 30) {
        prop_assert_eq!(dump(&text, base, &read(&text, base)), dump(&text, 0, &read(&text, 0)));
    }

    #[test]
    fn a_bad_line_spoils_itself_alone(
        head in prop::sample::select(vec!["spray a", "block b \"B\"", "2026-05-14 Thu", "nonsense here", "spray rows x y"]),
        lines in fields(),
        bad in bad_line(),
        at in 0usize..8,
    ) {
        let at = at.min(lines.len());
        let entry = |lines: &[&str]| {
            let fields: String = lines.iter().map(|line| format!("    {line}\n")).collect();
            format!("{head}\n{fields}")
        };
        let without = entry(&lines);
        let mut with: Vec<&str> = lines.clone();
        with.insert(at, &bad);
        let neighbour = "harvest c\n    amount 3 lb\n";
        let with = format!("{neighbour}{}{neighbour}", entry(&with));
        let (plain, spoilt) = (read(&without, 0), read(&with, 0));
        prop_assert_eq!(spoilt.len(), 3);
        let good = words_of_fields(&without, &plain[0].fields);
        let mut found = words_of_fields(&with, &spoilt[1].fields);
        // The line may happen to be a field; then it is one more, in its place.
        if found.len() == good.len() + 1 {
            found.remove(at);
        }
        prop_assert_eq!(found, good);
        prop_assert_eq!(spoilt[1].kind, plain[0].kind);
        for (entry, base) in [(&spoilt[0], 0), (&spoilt[2], with.len() - neighbour.len())] {
            let alone = read(neighbour, base as u32);
            prop_assert_eq!(&alone[0], entry);
        }
    }
}
