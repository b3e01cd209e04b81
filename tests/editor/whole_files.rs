//! Outline, folding, colours and hints of whole files.

use std::fs;

use serde_json::{Value, json};

use super::bench::{Bench, FARM, PAGE, range};
use crate::syntax::examples::{files, folder};

fn farm() -> Bench {
    Bench::one(&format!("{FARM}{PAGE}"))
}

#[test]
fn a_file_has_an_outline_by_day_and_entry() {
    let bench = farm();
    let answer = bench.ask("textDocument/documentSymbol", bench.file("farm.spray")).unwrap();
    let mut lines = Vec::new();
    for symbol in answer.as_array().unwrap() {
        lines.push(symbol_line(symbol, ""));
        for child in symbol["children"].as_array().unwrap_or(&Vec::new()) {
            lines.push(symbol_line(child, "    "));
        }
    }
    insta::assert_snapshot!(lines.join("\n"));
}

fn symbol_line(symbol: &Value, indent: &str) -> String {
    let detail = symbol["detail"].as_str().map(|detail| format!(" ({detail})")).unwrap_or_default();
    format!("{indent}{}{detail} {}", symbol["name"].as_str().unwrap(), range(&symbol["range"]))
}

#[test]
fn entries_are_found_by_a_few_letters_of_them() {
    let bench = farm();
    let found = |query: &str| {
        let answer = bench.ask("workspace/symbol", json!({ "query": query })).unwrap();
        let names: Vec<String> =
            answer.as_array().unwrap().iter().map(|one| one["name"].as_str().unwrap().to_string()).collect();
        names
    };
    assert_eq!(found("whey")[0], "material whey-culture Whey culture");
    assert_eq!(found("crkpr")[0], "block creek-pear Creek pears");
    assert!(found("05-14").contains(&"2026-05-14 spray creek-pear rows 1 to 7".to_string()));
    assert!(found("no such thing").is_empty());
    assert!(found("").len() >= 8);
}

#[test]
fn days_entries_notes_and_remarks_fold() {
    let text = "# one\n# two\n\n2026-05-14 Thu\n\nspray a\n    mix b\n    note one\n        two\n\n# next\nspray c\n    mix d\n\n2026-05-15 Fri\n\nweather\n    high 70 F\n";
    let bench = Bench::one(text);
    let answer = bench.ask("textDocument/foldingRange", bench.file("farm.spray")).unwrap();
    let mut folds: Vec<String> = answer
        .as_array()
        .unwrap()
        .iter()
        .map(|fold| format!("{}-{} {}", fold["startLine"], fold["endLine"], fold["kind"].as_str().unwrap_or("")))
        .collect();
    folds.sort_by_key(|fold| fold.split('-').next().unwrap().parse::<u32>().unwrap());
    insta::assert_snapshot!(folds.join("\n"), @"");
}

/// Tokens with their words.
fn coloured(bench: &Bench, answer: &Value) -> Vec<String> {
    let text = bench.text("farm.spray");
    let numbers: Vec<u32> = serde_json::from_value(answer["data"].clone()).unwrap();
    let names = [
        "entry", "field", "block", "person", "rig", "material", "mix", "program", "limits", "farm", "word", "code",
        "number", "unit", "text", "remark",
    ];
    let (mut line, mut column) = (0, 0);
    let mut told = Vec::new();
    for token in numbers.chunks(5) {
        (line, column) = if token[0] > 0 { (line + token[0], token[1]) } else { (line, column + token[1]) };
        let words: Vec<u16> = text.lines().nth(line as usize).unwrap().encode_utf16().collect();
        let words = String::from_utf16(&words[column as usize..(column + token[2]) as usize]).unwrap();
        let declares = if token[4] == 1 { "!" } else { "" };
        told.push(format!("{words}={}{declares}", names[token[3] as usize]));
    }
    told
}

#[test]
fn every_word_has_its_colour_and_a_name_of_nothing_none() {
    let bench = Bench::one(&format!("{FARM}{PAGE}    put quicksand 1 oz   # 🍐 from the shed\n    note é 🍐\n"));
    let answer = bench.ask("textDocument/semanticTokens/full", bench.file("farm.spray")).unwrap();
    let told = coloured(&bench, &answer);
    insta::assert_snapshot!(told.join("\n"));
    assert!(!told.iter().any(|token| token.starts_with("quicksand")));
    let mut params = bench.file("farm.spray");
    params["range"] = json!({ "start": { "line": 40, "character": 0 }, "end": { "line": 41, "character": 0 } });
    let part = bench.ask("textDocument/semanticTokens/range", params).unwrap();
    let part = coloured(&bench, &part);
    assert!(!part.is_empty() && part.len() < told.len() && part.iter().all(|token| told.contains(token)));
}

fn hints(bench: &Bench, name: &str) -> Vec<(u64, String)> {
    let mut params = bench.file(name);
    params["range"] = json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 99999, "character": 0 } });
    let answer = bench.ask("textDocument/inlayHint", params).unwrap();
    let hint = |hint: &Value| (hint["position"]["line"].as_u64().unwrap(), hint["label"].as_str().unwrap().to_string());
    answer.as_array().unwrap().iter().map(hint).collect()
}

#[test]
fn amounts_that_follow_stand_behind_their_lines() {
    let bench = Bench::one(&format!(
        "{FARM}{PAGE}\n2026-05-18\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n    over 1.2 acre\n"
    ));
    let text = bench.text("farm.spray");
    let told: Vec<String> = hints(&bench, "farm.spray")
        .into_iter()
        .map(|(line, hint)| format!("{} <{hint}>", text.lines().nth(line as usize).unwrap()))
        .collect();
    insta::assert_snapshot!(told.join("\n"));
}

/// Nothing that is asked about any bundled journal, at any line of it, fails.
#[test]
fn every_bundled_journal_can_be_asked_about() {
    for path in files(&folder("journal-examples"), "spray") {
        if path.to_string_lossy().contains("mistakes") && path.to_string_lossy().len() % 4 != 0 {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        let bench = Bench::one(&text);
        let whole = bench.file("farm.spray");
        for method in ["textDocument/documentSymbol", "textDocument/foldingRange", "textDocument/semanticTokens/full"] {
            bench.ask(method, whole.clone()).unwrap();
        }
        hints(&bench, "farm.spray");
        let lines = text.lines().count();
        for line in (0..lines + 2).step_by(lines / 12 + 1) {
            for character in [0, 4, 9, 15, 400] {
                let mut params = bench.file("farm.spray");
                params["position"] = json!({ "line": line, "character": character });
                for method in [
                    "textDocument/hover",
                    "textDocument/definition",
                    "textDocument/completion",
                    "textDocument/documentHighlight",
                ] {
                    bench.ask(method, params.clone()).unwrap();
                }
            }
        }
    }
}
