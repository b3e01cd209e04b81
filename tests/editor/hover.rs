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
        "6 oz per gal",
        "1.5 fl oz",
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
    assert!(weight.contains("about 340.2 g"), "{weight}");
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

/// What hovering a rate of a material says.
fn rate(words: &str) -> String {
    let text = format!(
        "{FARM}\nmaterial orchard-soap\n    form liquid\n    density {MARK}8.6 lb/gal\n    rate 1 to 2 % v/v\n"
    );
    let text = match words {
        "density" => text,
        words => text.replace(MARK, "").replace("1 to 2 % v/v", &format!("{MARK}{words}")),
    };
    let answer = Bench::one(&text).at_mark("textDocument/hover");
    answer["contents"]["value"].as_str().unwrap_or("nothing").to_string()
}

#[test]
fn shares_dilutions_and_densities_are_said_in_what_is_measured_out() {
    // One part in a hundred of 128 fl oz is 1.28 fl oz; of a litre, 10 mL.
    let share = rate("1 to 2 % v/v");
    assert!(share.contains("about 1.28 fl oz per gal") && share.contains("about 10 mL per L"), "{share}");
    assert!(share.contains("about 2.56 fl oz per gal"), "{share}");
    // 128 fl oz over 500.
    let dilution = rate("1:500");
    assert!(dilution.contains("about 0.256 fl oz per gal") && dilution.contains("about 0.2 % v/v"), "{dilution}");
    // 75 mg in a litre; 2 g in 100 mL.
    let few = rate("75 ppm");
    assert!(few.contains("about 7.5 g per 100 L"), "{few}");
    assert!(rate("2 % w/v").contains("about 20 g per L"), "{}", rate("2 % w/v"));
    assert!(rate("1.28 fl oz per gal").contains("about 1 % v/v"), "{}", rate("1.28 fl oz per gal"));
    // A pound a gallon is 0.119826 g/mL by the definitions of both.
    let density = rate("density");
    assert!(density.contains("about 1.031 g per mL") && density.contains("about 1.031 kg per L"), "{density}");
}

#[test]
fn a_rate_by_the_volume_of_the_canopy_is_none_of_a_tank() {
    let text = format!("{FARM}\nprogram soak\n    on creek-pear\n").replace(
        "block creek-pear",
        &format!("block soaked\n    dilute {MARK}0.7 gal per 1000 cu ft\n\nblock creek-pear"),
    );
    let answer = Bench::one(&text).at_mark("textDocument/hover");
    let told = answer["contents"]["value"].as_str().unwrap_or("nothing");
    assert!(!told.contains("per 100 gal") && !told.contains("%"), "{told}");
    // 0.7 gal is 2.6498 L, 1000 cu ft are 28.317 m3.
    assert!(told.contains("about 93.58 L per 1000 m3"), "{told}");
}
