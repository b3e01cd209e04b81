//! Findings as the client is told them.

use serde_json::json;

use super::bench::{Bench, FARM, MARK, PAGE};

#[test]
fn a_finding_says_all_of_itself_with_its_other_places() {
    let wrong =
        format!("{FARM}{PAGE}").replace("12 oz wt", "42 oz wt").replace("mix leaf-tonic, 30", "mix leaf-tonic, 3");
    insta::assert_snapshot!(Bench::one(&wrong).told());
}

#[test]
fn what_is_accepted_is_not_told() {
    let wrong = format!("{FARM}{PAGE}").replace("12 oz wt", "14 oz wt");
    assert!(!Bench::one(&wrong).told().is_empty());
    let accepted = format!("{wrong}    accept amount-disagrees The sack was weighed twice.\n");
    assert_eq!(Bench::one(&accepted).told(), "");
}

#[test]
fn places_are_counted_as_the_protocol_counts() {
    // The pear is one character, four bytes and two UTF-16 units; the e with its accent is two bytes and one unit.
    let page =
        PAGE.replace("    by t-marsh", "    by é, t-marsh").replace("reason nutrition", "reason 🍐 é\n    put 🍐 1 oz");
    let bench = Bench::new(&[("farm.spray", FARM), ("page.spray", &page)]);
    let told = bench.told();
    assert!(told.contains("page.spray 8:7-8:8 there is no person called `é`"), "{told}");
    assert!(told.contains("page.spray 12:8-12:10 there is no material called"), "{told}");
}

#[test]
fn a_shared_slip_is_told_once() {
    let farm = |name: &str| format!("farm {name}\n    uses ../shed\n");
    let bench = Bench::new(&[
        ("shed/kelp.spray", "material kelp\n    form liquidd\n"),
        ("one/farm.spray", &farm("one")),
        ("two/farm.spray", &farm("two")),
    ]);
    assert_eq!(bench.told().matches("shed/kelp.spray").count(), 1, "{}", bench.told());
}

#[test]
fn a_client_that_knows_no_other_places_reads_them_in_the_words() {
    let wrong = format!("{FARM}{PAGE}").replace("mix leaf-tonic, 30", "mix leaf-tonik, 30");
    let bench = Bench::with(&[("farm.spray", &wrong)], json!({}));
    let told = bench.told();
    assert!(told.contains("see farm.spray, line 30: a mix with a similar name"), "{told}");
}

/// One slip in a line that everything hangs on makes thousands: the first are marked, and the first of them says so.
#[test]
fn of_very_many_of_one_kind_the_first_are_marked_and_all_are_counted() {
    let works: String = (1..=301).map(|number| format!("\nwork lost-{number:03}\n    task pruning\n")).collect();
    let told = Bench::one(&format!("{FARM}\n2026-05-14 Thu\n{works}")).told();
    assert_eq!(told.matches("there is no block called").count(), 100, "{told}");
    let counted = "the first 100 of 301 unknown-name in this file are marked; `foliary check` lists all";
    let first = told.find(counted).unwrap();
    assert!(told[..first].contains("lost-001") && !told[..first].contains("lost-002"), "{told}");
    assert_eq!(told.matches(counted).count(), 1);
}

/// Those behind the first are found without words: they are counted, can be accepted, and say what they are where somebody
/// asks.
#[test]
fn behind_the_first_of_very_many_stand_findings_without_words() {
    let limit = "limits calm\n    within wind at most 2 mph\n\n2026-05-14 Thu\n";
    let spray = |number: usize| {
        let rows = format!(
            "    time {:02}:{:02} to {:02}:{:02}\n",
            5 + number / 60,
            number % 60,
            6 + number / 60,
            number % 60
        );
        format!("\nspray hill-pear\n    mix leaf-tonic, {} gal\n{rows}    weather 52 F, wind 3 mph\n", 20 + 3 * number)
    };
    let sprays: String = (0..105).map(spray).collect();
    let accepted = "    accept weather-outside-limits The rows lie behind the hedge.\n";
    let all = Bench::one(&format!("{FARM}\n{limit}{sprays}{MARK}{accepted}"));
    let told = all.told();
    assert_eq!(told.matches("the wind was 3 mph").count(), 100, "{told}");
    let counted = "the first 100 of 104 weather-outside-limits in this file are marked; `foliary check` lists all";
    assert_eq!(told.matches(counted).count(), 1, "{told}");
    assert!(!told.contains("accept-of-nothing") && !told.contains("answers to"), "{told}");
    let open = format!("{FARM}\n{limit}{sprays}");
    let last = open.rfind("3 mph").unwrap();
    let hover = Bench::one(&format!("{}{MARK}{}", &open[..last], &open[last..])).at_mark("textDocument/hover");
    let words = hover["contents"]["value"].as_str().unwrap();
    assert!(words.contains("Sprayed outside the weather limits"), "{words}");
}
