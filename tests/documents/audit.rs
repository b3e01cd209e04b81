//! The input list and the audit binder, against a journal worked by hand.

use foliary::documents::{Binder, Inputs, Scope, binder, inputs};
use foliary::journal::MaterialId;
use foliary::text::Sources;

use super::{Found, documents, with_book};

const JOURNAL: &str = include_str!("willow_end.spray");

fn views(text: &str, scope: &Scope) -> (Inputs, Binder) {
    let mut sources = Sources::new();
    let file = sources.add("2026.spray", text.to_string()).unwrap();
    with_book(&sources, &[file], scope, &Found::Checked, |book| (inputs(book), binder(book)))
}

fn all() -> (Inputs, Binder) {
    views(JOURNAL, &Scope::default())
}

#[test]
fn the_documents_of_a_small_journal() {
    for document in documents(JOURNAL, &Found::Checked) {
        if ["inputs", "binder", "incident"].contains(&document.name) {
            insta::assert_snapshot!(format!("willow-end-{}", document.name), document.markdown);
        }
    }
}

#[test]
fn uses_are_held_against_the_approvals() {
    let (list, _) = all();
    let said: Vec<(&str, &str, bool)> = list
        .inputs
        .iter()
        .map(|input| (input.material.as_str(), input.standing.words.as_str(), input.standing.mark))
        .collect();
    let expected = [
        ("Copper salt 25", "1 use before the first approval: used 1 April 2026, approved 15 April 2026", true),
        ("Cultured whey", "No approval recorded; not used where one is asked for", false),
        ("Kelp extract", "1 use after the approval had ended, first 10 July 2026", true),
        ("Whole milk", "No approval recorded; not used where one is asked for", false),
    ];
    assert_eq!(said, expected);
    assert_eq!(list.opening, "4 materials, 4 used; 2 were used without an approval that held on the day");
}

#[test]
fn a_missing_approval_is_marked_where_a_rule_asks_for_one() {
    let text = "farm f\n    rulebook us-organic\nblock b\n    area 1 acre\n    certified organic\nblock c\n    area 1 acre\n\
        material m\n    form liquid\nmaterial n\n    form liquid\n2026-05-01\nspray b\n    put m 1 gal per 100 gal\n    \
        volume 10 gal\nspray c\n    put n 1 gal per 100 gal\n    volume 10 gal\n";
    let (list, _) = views(text, &Scope::default());
    let said: Vec<(&str, bool)> =
        list.inputs.iter().map(|input| (input.standing.words.as_str(), input.standing.mark)).collect();
    let expected = [
        ("No approval recorded; used 1 May 2026", true),
        ("No approval recorded; not used where one is asked for", false),
    ];
    assert_eq!(said, expected);
    assert_eq!(list.opening, "2 materials, 2 used; 1 was used without an approval that held on the day");
}

#[test]
fn an_approval_in_time_is_no_mark_and_none_is_missed_where_none_are_kept() {
    let in_time = JOURNAL.replace("    until 2026-06-30\n", "");
    let (list, _) = views(&in_time, &Scope::default());
    let kelp = list.inputs.iter().find(|input| input.material == "Kelp extract").unwrap();
    assert_eq!(kelp.standing.words, "Approved 1 February 2026, before its first use 1 May 2026");
    assert!(!kelp.standing.mark);
    let text = "farm f\nblock b\n    area 1 acre\nmaterial m\n    form liquid\n2026-05-01\nspray b\n    put m 1 gal per 100 gal\n    volume 10 gal\n";
    let (list, _) = views(text, &Scope::default());
    assert_eq!(list.marked, 0);
    assert_eq!(list.opening, "1 material, 1 used; no approvals are recorded, and no rulebook taken on asks for any");
}

#[test]
fn the_input_list_for_other_programs_has_its_sums() {
    let (list, _) = all();
    let column = |name: &str| list.table.columns.iter().position(|column| column.name == name).unwrap();
    let cell = |row: usize, name: &str| list.table.rows[row][column(name)].as_deref();
    // Copper: 4 lb on 1 April and 2 lb on 2 May; kelp: 1, 0.5 and 1 gal; milk went into a batch only.
    assert_eq!((cell(0, "sprayed"), cell(0, "sprayed_unit")), (Some("6"), Some("lb")));
    assert_eq!(cell(0, "first_use"), Some("2026-04-01"));
    assert_eq!(cell(0, "used_unapproved"), Some("yes"));
    assert_eq!((cell(2, "sprayed"), cell(2, "sprays")), (Some("2.5"), Some("3")));
    assert_eq!((cell(3, "sprayed"), cell(3, "sprays")), (None, Some("0")));
    assert_eq!((cell(3, "in_batches"), cell(3, "in_batches_unit")), (Some("4"), Some("gal")));
}

#[test]
fn a_balance_is_held_against_the_count() {
    let (_, audit) = all();
    let copper = &audit.balances[0];
    // 10 lb came, 4 + 2 lb were sprayed, 1 lb was discarded: 3 lb; 2.5 lb were counted, 0.5 of 10 lb less.
    assert_eq!(
        (copper.received.as_str(), copper.sprayed.as_str(), copper.discarded.as_str()),
        ("10 lb", "6 lb", "1 lb")
    );
    assert_eq!((copper.expected.as_deref(), copper.counted.as_deref()), (Some("3 lb"), Some("2.5 lb")));
    assert_eq!(copper.difference.as_deref(), Some("0.5 lb less (5 %)"));
    let whey = &audit.balances[1];
    assert_eq!(
        (whey.made.as_str(), whey.sprayed.as_str(), whey.expected.as_deref()),
        ("3.5 gal", "3 gal", Some("0.5 gal"))
    );
}

#[test]
fn a_count_begins_the_next_balance() {
    let more =
        "\n2026-08-01\n\nreceive copper-salt\n    amount 2 lb\n\n2026-09-01\n\ncount copper-salt\n    amount 4.5 lb\n";
    let (_, audit) = views(&format!("{JOURNAL}{more}"), &Scope::default());
    let second = &audit.balances[1];
    assert_eq!(second.stretch, "count of 9 May 2026 to the count of 1 September 2026");
    assert_eq!((second.opening.as_deref(), second.expected.as_deref()), (Some("2.5 lb"), Some("4.5 lb")));
    assert_eq!(second.difference.as_deref(), Some("none"));
}

#[test]
fn what_cannot_be_added_is_said_and_no_sum_pretends() {
    let odd = JOURNAL.replace("    put milk 4 gal\n", "    put milk 4 lb\n");
    let (_, audit) = views(&odd, &Scope::default());
    let milk = audit.balances.iter().find(|one| one.material == "Whole milk").unwrap();
    assert_eq!(milk.expected, None);
    assert_eq!(milk.remarks, ["without 1 use in a batch, whose amount is not known or in no unit that can be added"]);
}

#[test]
fn a_lot_leads_back_to_its_sprays_batches_and_deliveries() {
    let (_, audit) = all();
    let titles: Vec<&str> = audit.traces.iter().map(|trace| trace.title.as_str()).collect();
    assert_eq!(titles, ["Lots P-20 and P-22", "Lot L-1", "A pick without a lot"]);
    let pears = &audit.traces[0];
    let days: Vec<&str> = pears.chains[0].sprays.iter().map(|spray| spray.when.as_str()).collect();
    // The spray of July came after the picks.
    assert_eq!(days, ["1 April 2026 06:00", "1 May 2026 06:00", "12 May 2026 06:00"]);
    let copper = &pears.chains[0].sprays[0].products[0];
    assert_eq!((copper.interval.as_deref(), copper.kept.as_str(), copper.short), (Some("21 days"), "49 days", false));
    assert_eq!(pears.materials[0].from, ["delivery D1 of 1 February 2026, lot C-3, invoice 26-2"]);
    assert_eq!(pears.batches[0].parts[0].from, ["delivery D3 of 1 February 2026, lot not recorded"]);
    // Rows 15 to 20 did not get the spray of rows 1 to 10.
    assert_eq!(audit.traces[2].chains[0].sprays.len(), 2);
    // Copper on the plums on 2 May, picked on 20 May: 18 of 21 days.
    let plum = &audit.traces[1].chains[0].sprays[0].products[0];
    assert_eq!((plum.kept.as_str(), plum.short, audit.traces[1].short), ("18 days", true, 1));
}

#[test]
fn a_spray_between_two_lots_keeps_their_traces_apart() {
    let between = "2026-05-22\n\nharvest pears rows 1 to 5\n";
    let spray = "2026-05-21\n\nspray pears rows 1 to 5\n    put kelp 1 gal per 100 gal\n    volume 10 gal\n\n";
    let text = JOURNAL.replace(between, &format!("{spray}{between}"));
    let (_, audit) = views(&text, &Scope::default());
    let titles: Vec<&str> = audit.traces.iter().map(|trace| trace.title.as_str()).collect();
    assert_eq!(titles, ["Lot P-20", "Lot L-1", "Lot P-22", "A pick without a lot"]);
    assert_eq!(audit.traces[2].chains[0].sprays.len(), 4);
}

#[test]
fn a_lot_and_a_material_can_be_asked_for() {
    let scope = Scope { lots: vec!["p-22".to_string()], materials: vec![MaterialId::at(0)], ..Scope::default() };
    let (list, audit) = views(JOURNAL, &scope);
    assert_eq!(audit.traces.iter().map(|trace| trace.title.as_str()).collect::<Vec<_>>(), ["Lot P-22"]);
    assert_eq!(audit.balances.len(), 1);
    assert_eq!(list.inputs.iter().map(|input| input.material.as_str()).collect::<Vec<_>>(), ["Copper salt 25"]);
    assert_eq!(audit.head.part.as_deref(), Some("only lot p-22, only the material Copper salt 25"));
}

#[test]
fn a_chain_that_never_ends_is_cut_and_counted() {
    let mut text = "farm f\nblock b\n    area 1 acre\nmaterial m\n    form liquid\n".to_string();
    for minute in 0..200 {
        text.push_str(&format!(
            "2026-05-01\nspray b\n    put m 1 gal per 100 gal\n    volume 10 gal\n    time {:02}:{:02} to 23:00\n",
            minute / 60,
            minute % 60
        ));
    }
    text.push_str("2026-05-02\nharvest b\n    lot x\n");
    let (_, audit) = views(&text, &Scope::default());
    assert_eq!((audit.traces[0].chains[0].sprays.len(), audit.traces[0].chains[0].earlier), (120, 80));
}

#[test]
fn rulebooks_that_are_not_at_hand_are_said_to_be_so() {
    let text = "farm f\n    rulebook us-worker-protection, no-such-book from 2026-01-01\n";
    let (_, audit) = views(text, &Scope::default());
    let said: Vec<(&str, bool)> = audit.rulebooks.iter().map(|one| (one.name.as_str(), one.about.is_some())).collect();
    assert_eq!(said, [("us-worker-protection", true), ("no-such-book", false)]);
}
