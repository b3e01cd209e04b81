//! Names: where they are declared and used, and renaming them.

use serde_json::{Value, json};

use super::bench::{Bench, FARM, MARK, PAGE, range};

const OTHER: &str = "
2026-05-16 Sat

spray CREEK-PEAR, hill-pear
    mix Leaf-Tonic, 20 gal
    by t-marsh
    reason nutrition
    note creek-pear was wet   # creek-pear
    leftover 2 gal on creek-pear rows 1 to 2
";

/// The farm in two files, with the mark behind some words of the page.
fn marked(words: &str) -> Bench {
    let page = PAGE.replacen(words, &format!("{words}{MARK}"), 1);
    Bench::new(&[("farm.spray", FARM), ("may/page.spray", &page), ("may/other.spray", OTHER)])
}

/// Places in short.
fn places(bench: &Bench, answer: &Value) -> String {
    let list = answer.as_array().cloned().unwrap_or_else(|| vec![answer.clone()]);
    let mut lines: Vec<String> = list
        .iter()
        .map(|place| {
            let file = bench.plain(place["uri"].as_str().unwrap());
            format!("{file} {}", range(&place["range"]))
        })
        .collect();
    lines.sort();
    lines.join("\n")
}

#[test]
fn a_name_is_found_where_it_is_declared_and_used() {
    let bench = marked("creek-pear");
    assert_eq!(places(&bench, &bench.at_mark("textDocument/definition")), "file://FARM/farm.spray 3:6-3:16");
    let mut params = bench.place();
    params["context"] = json!({ "includeDeclaration": true });
    insta::assert_snapshot!(places(&bench, &bench.ask("textDocument/references", params.clone()).unwrap()), @r"
    file://FARM/farm.spray 3:6-3:16
    file://FARM/may/other.spray 3:6-3:16
    file://FARM/may/other.spray 8:22-8:32
    file://FARM/may/page.spray 3:6-3:16
    ");
    params["context"] = json!({ "includeDeclaration": false });
    let used = bench.ask("textDocument/references", params).unwrap();
    assert_eq!(used.as_array().unwrap().len(), 3);
    let here = bench.at_mark("textDocument/documentHighlight");
    assert_eq!(here.as_array().unwrap().len(), 1);
}

#[test]
fn renaming_changes_every_spelling_and_no_note_or_title() {
    let bench = marked("creek-pear");
    let before = bench.codes();
    let mut params = bench.place();
    params["newName"] = json!("brook-pear");
    let edit = bench.ask("textDocument/rename", params).unwrap();
    let after = bench.edited(&edit);
    assert!(after.text("farm.spray").contains("block brook-pear \"Creek pears\""));
    assert!(after.text("may/page.spray").contains("spray brook-pear rows 1 to 7"));
    let other = after.text("may/other.spray");
    assert!(other.contains("spray brook-pear, hill-pear"), "{other}");
    assert!(other.contains("on brook-pear rows 1 to 2") && other.contains("note creek-pear was wet   # creek-pear"));
    assert_eq!(before, after.codes());
    // Back again: the same text, but for the case that was evened out.
    let back = Bench::new(&[
        ("farm.spray", &after.text("farm.spray").replace("block brook-pear", &format!("block {MARK}brook-pear"))),
        ("may/page.spray", &after.text("may/page.spray")),
        ("may/other.spray", &after.text("may/other.spray")),
    ]);
    let mut params = back.place();
    params["newName"] = json!("creek-pear");
    let again = back.edited(&back.ask("textDocument/rename", params).unwrap());
    assert_eq!(again.text("may/page.spray"), PAGE);
    assert_eq!(again.text("farm.spray"), FARM);
}

#[test]
fn a_name_that_cannot_be_is_refused_and_says_why() {
    let bench = marked("creek-pear");
    let refused = |new: &str| {
        let mut params = bench.place();
        params["newName"] = json!(new);
        bench.ask("textDocument/rename", params).unwrap_err()
    };
    let told: Vec<String> = ["hill-pear", "creek pear", "7", "", "creek,pear", "\"x\"", "pear\nfarm x"]
        .map(|new| format!("{new:?}: {}", refused(new)))
        .to_vec();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn what_comes_with_the_program_keeps_its_name() {
    let farm = "farm larkspur-bend\n    pantry yes\n\nmix m\n    in 1 gal\n    put epsom-salt¦ 1 oz wt\n";
    let bench = Bench::one(farm);
    let refused = bench.ask("textDocument/prepareRename", bench.place()).unwrap_err();
    assert!(refused.contains("comes with Foliary"), "{refused}");
    // It has no place to go to, and is no error.
    assert_eq!(bench.at_mark("textDocument/definition"), Value::Null);
}

#[test]
fn what_is_to_be_renamed_is_shown_as_it_is_written() {
    let bench = marked("leaf-tonic");
    let answer = bench.ask("textDocument/prepareRename", bench.place()).unwrap();
    assert_eq!(answer["placeholder"], "leaf-tonic");
    // A number has no name.
    let bench = marked("30 g");
    assert_eq!(bench.ask("textDocument/prepareRename", bench.place()).unwrap(), Value::Null);
}

#[test]
fn a_shared_folder_is_renamed_in_every_farm_that_uses_it() {
    let farm =
        |name: &str| format!("farm {name}\n    uses ../shed\n\nmix m-{name}\n    in 1 gal\n    put kelp 1 fl oz\n");
    let bench = Bench::new(&[
        ("shed/kelp.spray", "material kelp¦\n    form liquid\n"),
        ("one/farm.spray", &farm("one")),
        ("two/farm.spray", &farm("two")),
    ]);
    let mut params = bench.place();
    params["newName"] = json!("sea-kelp");
    let after = bench.edited(&bench.ask("textDocument/rename", params).unwrap());
    for file in ["shed/kelp.spray", "one/farm.spray", "two/farm.spray"] {
        assert!(after.text(file).contains("sea-kelp"), "{file}");
    }
    assert!(!after.codes().contains(&"unknown-name".to_string()));
}
