//! What stands under the cursor, explained.

use super::bench::{Bench, FARM, MARK, PAGE};

/// The farm with the mark in front of the last place of some words.
fn hovered(words: &str) -> String {
    let text = format!("{FARM}{PAGE}");
    let at = text.rfind(words).unwrap();
    let bench = Bench::one(&format!("{}{MARK}{}", &text[..at], &text[at..]));
    let answer = bench.at_mark("textDocument/hover");
    answer["contents"]["value"].as_str().unwrap_or("nothing").to_string()
}

#[test]
fn what_stands_under_the_cursor() {
    let words = [
        "spray creek-pear rows",
        "creek-pear rows",
        "mix leaf-tonic, 30",
        "leaf-tonic, 30",
        "30 gal",
        "magnesium-sulfate 12",
        "12 oz wt",
        "0.6 acre",
        "t-marsh\n    rig",
        "airblast\n    weather",
        "2026-05-14 Thu",
        "Thu",
        "52 F",
        "3 mph",
        "0.25 to 1 oz",
        "4 h",
        "nutrition",
    ];
    let told: Vec<String> = words.iter().map(|words| format!("=== {words:?}\n{}", hovered(words))).collect();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn conversions_are_exact_where_they_are_said_so() {
    // International definitions: a US gallon is 3.785411784 L, a pound 0.45359237 kg, an acre 4046.8564224 m2.
    let volume = hovered("30 gal");
    assert!(volume.contains("= 3840 fl oz"), "{volume}");
    assert!(volume.contains("about 113.6 L"), "{volume}");
    let weight = hovered("12 oz wt");
    assert!(weight.contains("about 340.2 g") && weight.contains("= 0.75 lb"), "{weight}");
    let area = hovered("0.6 acre");
    assert!(area.contains("about 0.2428 ha") && area.contains("= 26136 sq ft"), "{area}");
}

#[test]
fn a_finding_is_explained_and_a_client_without_markdown_gets_none() {
    let text = format!("{FARM}{PAGE}").replace("mix leaf-tonic, 30", &format!("mix leaf-tonik{MARK}, 30"));
    let bench = Bench::one(&text);
    let told = bench.at_mark("textDocument/hover")["contents"]["value"].as_str().unwrap().to_string();
    assert!(told.contains("unknown-name") && told.contains("**error"), "{told}");
    let bench = Bench::with(&[("farm.spray", &text)], serde_json::json!({}));
    let answer = bench.at_mark("textDocument/hover");
    assert_eq!(answer["contents"]["kind"], "plaintext");
    assert!(!answer["contents"]["value"].as_str().unwrap().contains("**error"));
}

#[test]
fn a_hover_says_which_words_it_is_about() {
    let text = format!("{FARM}{PAGE}").replace("mix leaf-tonic, 30", &format!("mix leaf-to{MARK}nic, 30"));
    let bench = Bench::one(&text);
    let answer = bench.at_mark("textDocument/hover");
    let line = text.lines().position(|line| line.contains(MARK)).unwrap() as u64;
    assert_eq!(answer["range"]["start"], serde_json::json!({ "line": line, "character": 8 }));
    assert_eq!(answer["range"]["end"], serde_json::json!({ "line": line, "character": 18 }));
}
