//! What could be typed next.

use serde_json::{Value, json};

use super::bench::{Bench, FARM, MARK, PAGE, able, applied};

fn bench(behind: &str) -> Bench {
    Bench::one(&format!("{FARM}{PAGE}{behind}"))
}

fn items(bench: &Bench) -> Vec<Value> {
    let mut items = bench.at_mark("textDocument/completion")["items"].as_array().cloned().unwrap_or_default();
    items.sort_by_key(|item| item["sortText"].as_str().unwrap().to_string());
    items
}

/// The first labels at the mark, in their order.
fn labels(behind: &str, most: usize) -> String {
    let bench = bench(behind);
    let labels: Vec<String> = items(&bench)
        .iter()
        .take(most)
        .map(|item| {
            let about = item["labelDetails"]["description"].as_str().unwrap_or_default();
            format!(
                "{} {}",
                item["label"].as_str().unwrap(),
                if about.is_empty() { String::new() } else { format!("({about})") }
            )
            .trim()
            .to_string()
        })
        .collect();
    if labels.is_empty() { "nothing".to_string() } else { labels.join(", ") }
}

#[test]
fn what_could_come_next_by_the_place_in_the_line() {
    let places = [
        "\n2026-05-20 Wed\n\n¦",
        "\n2026¦",
        "\n2026-05-20 Wed\n\nspray ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear, ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    mix leaf-tonic, 30 gal\n    m¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    mix ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    mix leaf-tonic, 30 ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    measured magnesium-sulfate 12 ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    measured whey-culture 12 ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    over 0.6 ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    by ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    weather 52 ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    weather 52 F, wind 3 ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    weather 52 F, wind 3 mph ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    reason ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    entered ¦",
        "\n2026-05-20 Wed\n\nskip creek-pear\n    ¦",
        "\nmaterial soap\n    form ¦",
        "\nmaterial soap\n    reentry ¦",
        "\nmaterial soap\n    reentry 4 ¦",
        "\nfarm x\n    rulebook us-o¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    note wind ¦",
        "\n2026-05-20 Wed\n\nspray creek-pear\n    note wind\n        from the ¦",
        "\n# spray ¦",
    ];
    let told: Vec<String> = places.iter().map(|place| format!("{place:?}\n    {}", labels(place, 12))).collect();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn what_a_finding_is_accepted_by_comes_first() {
    let bench =
        bench("\n2026-05-20 Wed\n\nspray creek-pear\n    mix leaf-tonic, 90 gal\n    over 9 acre\n    accept ¦\n");
    let first = items(&bench)[0].clone();
    assert!(bench.codes().contains(&first["label"].as_str().unwrap().to_string()), "{first}");
}

#[test]
fn the_last_spray_once_more_repeats_no_amount_without_asking() {
    let behind = format!("\n2026-05-20 Wed\n\n{MARK}");
    let again = |bench: &Bench| {
        let item = items(bench).into_iter().find(|item| item["label"].as_str().unwrap().contains("as on 2026-05-14"));
        item.expect("the last spray is offered")["textEdit"]["newText"].as_str().unwrap().to_string()
    };
    insta::assert_snapshot!(again(&bench(&behind)), @r"
    spray creek-pear ${1:rows 1 to 7}
        mix leaf-tonic, ${2:30 gal}
        over ${3:0.6 acre}
        by ${4:t-marsh}
        rig airblast
        reason nutrition
    $0
    ");
    // Where there are no holes, there is no more than its first line: no amounts, and no lines that a client could run
    // into one another.
    let text = format!("{FARM}{PAGE}{behind}");
    assert_eq!(again(&Bench::with(&[("farm.spray", &text)], json!({}))), "spray creek-pear");
}

#[test]
fn what_is_typed_takes_the_place_of_the_word_and_of_nothing_else() {
    let bench = bench("\n2026-05-20 Wed\n\nspray creek-p¦ea rows 1 to 2\n");
    let item = items(&bench).into_iter().find(|item| item["label"] == "creek-pear").unwrap();
    let text = applied(&bench.text("farm.spray"), &[item["textEdit"].clone()]);
    assert!(text.contains("\nspray creek-pear rows 1 to 2\n"), "{text}");
}

#[test]
fn a_whole_entry_has_holes_and_no_facts() {
    let mut capabilities = able();
    let behind = format!("\n2026-05-20 Wed\n\n{MARK}");
    let text = format!("{FARM}{PAGE}{behind}");
    let whole = |bench: &Bench, word: &str| {
        let label = format!("{word} (whole entry)");
        let item = items(bench).into_iter().find(|item| item["label"] == label.as_str()).unwrap();
        item["textEdit"]["newText"].as_str().unwrap().to_string()
    };
    let bench = Bench::with(&[("farm.spray", &text)], capabilities.clone());
    insta::assert_snapshot!(whole(&bench, "spray"), @r"
    spray ${1:block}
        mix $2, $3
        over $4
        time $5
        by $6
        rig $7
        water $8
        weather $9
        reason $10
    $0
    ");
    for item in items(&bench).iter().filter(|item| item["label"].as_str().unwrap().ends_with("(whole entry)")) {
        let text = item["textEdit"]["newText"].as_str().unwrap();
        assert!(!text.chars().zip(text.chars().skip(1)).any(|(one, two)| one == ' ' && two.is_ascii_digit()), "{text}");
    }
    capabilities["textDocument"]["completion"]["completionItem"]["snippetSupport"] = json!(false);
    let bench = Bench::with(&[("farm.spray", &text)], capabilities);
    assert_eq!(whole(&bench, "spray"), "spray ");
}
