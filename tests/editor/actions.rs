//! What can be done about findings: every offered edit is made, and the farm checked again.

use std::fs;

use serde_json::{Value, json};

use super::bench::{Bench, FARM, PAGE, applied};
use crate::syntax::examples::{files, folder};

/// What is offered about the whole of a file.
fn offered(bench: &Bench, name: &str) -> Vec<Value> {
    let mut params = bench.file(name);
    params["range"] = json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 99999, "character": 0 } });
    params["context"] = json!({ "diagnostics": [] });
    bench.ask("textDocument/codeAction", params).unwrap().as_array().unwrap().clone()
}

fn titled<'a>(actions: &'a [Value], words: &str) -> &'a Value {
    let found = actions.iter().find(|action| action["title"].as_str().unwrap().contains(words));
    found.unwrap_or_else(|| panic!("{words} is offered: {actions:#?}"))
}

#[test]
fn the_spelling_of_a_name_is_put_right() {
    let bench = Bench::one(&format!("{FARM}{PAGE}").replace("mix leaf-tonic, 30", "mix leaf-tonik, 30"));
    assert_eq!(bench.codes(), ["unknown-name"]);
    let actions = offered(&bench, "farm.spray");
    let action = titled(&actions, "Write `leaf-tonic` for `leaf-tonik`");
    assert_eq!((&action["kind"], &action["isPreferred"]), (&json!("quickfix"), &json!(true)));
    let after = bench.edited(&action["edit"]);
    assert_eq!(after.text("farm.spray"), format!("{FARM}{PAGE}"));
    assert!(after.codes().is_empty());
}

#[test]
fn the_name_of_a_person_is_never_edited() {
    let bench = Bench::one(&format!("{FARM}{PAGE}").replace("by t-marsh", "by t-marhs"));
    assert!(bench.codes().contains(&"unknown-name".to_string()));
    let actions = offered(&bench, "farm.spray");
    assert!(!actions.iter().any(|action| action["title"].as_str().unwrap().starts_with("Write `t-marsh`")));
}

#[test]
fn what_nothing_declares_can_be_declared() {
    let bench =
        Bench::new(&[("farm.spray", FARM), ("page.spray", &PAGE.replace("spray creek-pear", "spray lower-quince"))]);
    let actions = offered(&bench, "page.spray");
    let after = bench.edited(&titled(&actions, "Declare the block `lower-quince`")["edit"]);
    // Behind the last block, with nothing in it that is a fact.
    assert!(
        after.text("farm.spray").contains("    area 2 acre\n\nblock lower-quince\n\nperson t-marsh"),
        "{}",
        after.text("farm.spray")
    );
    assert!(!after.codes().contains(&"unknown-name".to_string()));
    let codes = after.codes();
    assert!(codes.contains(&"missing-field".to_string()), "the entry asks for its area: {codes:?}");
    let actions = offered(&after, "farm.spray");
    let begun = after.edited(&titled(&actions, "Begin the line `area`")["edit"]);
    assert!(begun.text("farm.spray").contains("block lower-quince\n    area\n"), "{}", begun.text("farm.spray"));
}

#[test]
fn a_finding_is_accepted_once_a_reason_is_written() {
    let wrong = format!("{FARM}{PAGE}").replace("12 oz wt", "42 oz wt");
    let bench = Bench::one(&wrong);
    let codes = bench.codes();
    assert!(codes.contains(&"amount-disagrees".to_string()), "{codes:?}");
    let actions = offered(&bench, "farm.spray");
    let after = bench.edited(&titled(&actions, "Accept `amount-disagrees`")["edit"]);
    // Without a reason nothing is accepted.
    assert!(
        after.codes().contains(&"amount-disagrees".to_string())
            || after.codes().contains(&"unreadable-line".to_string())
    );
    let text = after.text("farm.spray");
    let given = text.replace("    accept amount-disagrees ", "    accept amount-disagrees The sack was weighed twice.");
    assert_ne!(text, given);
    assert!(!Bench::one(&given).codes().contains(&"amount-disagrees".to_string()), "{given}");
}

#[test]
fn the_layout_is_one_action_and_changes_nothing_else() {
    let messy = format!("{FARM}{PAGE}").replace("    ", "\t").replace("mix leaf-tonic", "mix   leaf-tonic");
    let bench = Bench::one(&messy);
    let actions = offered(&bench, "farm.spray");
    let action = titled(&actions, "Tidy the layout");
    assert_eq!(action["kind"], "source.fixAll.foliary");
    let after = bench.edited(&action["edit"]);
    assert_eq!(bench.codes(), after.codes());
    assert_eq!(after.text("farm.spray"), foliary::syntax::laid_out(&messy));
    let formatted = bench.ask("textDocument/formatting", {
        let mut params = bench.file("farm.spray");
        params["options"] = json!({ "tabSize": 4, "insertSpaces": true });
        params
    });
    let edits = formatted.unwrap().as_array().unwrap().clone();
    assert_eq!(applied(&messy, &edits), after.text("farm.spray"));
    // Once laid out there is nothing to do.
    assert!(!offered(&after, "farm.spray").iter().any(|action| action["title"].as_str().unwrap().contains("layout")));
}

#[test]
fn only_what_is_asked_for_is_offered() {
    let bench = Bench::one(&format!("{FARM}{PAGE}").replace("mix leaf-tonic, 30", "mix   leaf-tonik, 30"));
    let mut params = bench.file("farm.spray");
    params["range"] = json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 999, "character": 0 } });
    for (only, kind) in
        [("quickfix", "quickfix"), ("source", "source.fixAll.foliary"), ("source.fixAll", "source.fixAll.foliary")]
    {
        params["context"] = json!({ "diagnostics": [], "only": [only] });
        let actions = bench.ask("textDocument/codeAction", params.clone()).unwrap();
        let actions = actions.as_array().unwrap();
        assert!(!actions.is_empty() && actions.iter().all(|action| action["kind"] == kind), "{only}: {actions:?}");
    }
}

/// Every spelling that is offered for a journal of the mistakes is made: its finding is gone and no graver one comes.
#[test]
fn every_offered_spelling_of_the_mistakes_is_true() {
    let mut made = 0;
    for path in files(&folder("journal-examples/mistakes"), "spray") {
        let bench = Bench::one(&fs::read_to_string(&path).unwrap());
        for action in offered(&bench, "farm.spray") {
            let title = action["title"].as_str().unwrap();
            if !title.starts_with("Write ") {
                continue;
            }
            made += 1;
            let message = action["diagnostics"][0]["message"].as_str().unwrap();
            let headline = message.lines().next().unwrap();
            let after = bench.edited(&action["edit"]);
            assert!(!after.told().contains(headline), "{}: {title}: {headline}", path.display());
        }
    }
    assert!(made >= 5, "only {made} spellings are offered");
}
