//! The stock sheet and the labels of batches, against a journal worked by hand.

use std::fs;
use std::path::Path;

use foliary::documents::{BatchLabels, Scope, StockRow, StockSheet, batch_labels, stock_sheet};
use foliary::render::Templates;
use foliary::text::Sources;

use super::{Found, documents, filled, with_book};
use crate::robust::run;

const JOURNAL: &str = include_str!("otter_bank.spray");

fn on(text: &str, day: &str) -> (StockSheet, Option<BatchLabels>) {
    let mut sources = Sources::new();
    let file = sources.add("2026.spray", text.to_string()).unwrap();
    let scope = Scope { to: Some(day.parse().unwrap()), ..Scope::default() };
    with_book(&sources, &[file], &scope, &Found::Checked, |book| (stock_sheet(book), batch_labels(book)))
}

fn row<'s>(sheet: &'s StockSheet, name: &str) -> &'s StockRow {
    sheet.materials.iter().find(|row| row.name == name).unwrap()
}

/// The lots of a material: name, what is left, what was used.
fn lots<'s>(sheet: &'s StockSheet, name: &str) -> Vec<(&'s str, &'s str, Option<&'s str>)> {
    let lots = row(sheet, name).lots.iter();
    lots.map(|lot| (lot.name.as_str(), lot.left.as_ref().unwrap().number.as_str(), lot.used.as_deref())).collect()
}

#[test]
fn the_sheet_and_the_labels_read_like_this() {
    let (sheet, labels) = on(JOURNAL, "2026-06-12");
    let templates = Templates::new(Vec::new()).unwrap();
    insta::assert_snapshot!("otter-bank-stock", filled(&templates, "stock", &sheet).markdown);
    insta::assert_snapshot!("otter-bank-batch-labels", filled(&templates, "batch-labels", &labels.unwrap()).markdown);
}

/// Worked by hand. Kelp: K-7 came with 5 gal and must be used up first, K-8 with 2.5 gal; 2 gal of K-7 and 1.125 gal of
/// K-8 on 14 May; 120 gal at 20 fl oz in 10 gal is 240 fl oz, 1.875 gal, on 10 June, of no lot that is named.
#[test]
fn what_is_left_of_each_lot_is_what_came_less_what_went() {
    let (sheet, _) = on(JOURNAL, "2026-06-12");
    assert_eq!(
        lots(&sheet, "kelp"),
        [("lot K-7", "1.125", Some("3.875 gal")), ("lot K-8", "1.375", Some("1.125 gal"))]
    );
    assert_eq!(row(&sheet, "kelp").on_hand.as_ref().unwrap().number, "2.5");
    // 60 gal at 1 gal in 10 gal is 6 gal: all 5.5 gal of the first batch, 0.5 gal of the second.
    assert_eq!(lots(&sheet, "whey-culture"), [("batch whey-2", "5", Some("0.5 gal"))]);
    assert_eq!(row(&sheet, "whey-culture").used_up, 1);
    // 12 lb were counted and 50 lb came; 5 lb went without a lot, 1 lb of 26-118 was thrown out: 56 lb, and 55 lb were
    // counted. The pound that is missing is of the oldest, which no lot is known of: 12 - 5 - 1 = 6 lb; then 48 oz wt.
    assert_eq!(lots(&sheet, "magnesium-sulfate"), [("of no known lot", "3", None), ("lot 26-118", "49", None)]);
    let count = row(&sheet, "magnesium-sulfate").last_count.as_ref().unwrap();
    assert_eq!(count.difference.as_deref(), Some("1 lb less (1.6 %)"), "of 62 lb");
    assert_eq!(row(&sheet, "magnesium-sulfate").worth.as_ref().unwrap().text, "32.24 USD");
}

#[test]
fn a_sheet_of_an_earlier_day_knows_nothing_of_what_came_later() {
    let (sheet, labels) = on(JOURNAL, "2026-05-13");
    assert_eq!(lots(&sheet, "kelp"), [("lot K-7", "5", None), ("lot K-8", "2.5", None)]);
    assert!(row(&sheet, "magnesium-sulfate").last_count.as_ref().unwrap().expected.is_none());
    assert!(!sheet.materials.iter().any(|row| row.name == "fish"));
    assert_eq!(labels.unwrap().left_out, ["whey-1: used up"]);
    let (_, labels) = on(JOURNAL, "2026-04-20");
    let labels = labels.unwrap();
    let names: Vec<&str> = labels.sheets[0].iter().map(|label| label.name.as_str()).collect();
    assert_eq!(names, ["whey-1", "whey-2"]);
    assert_eq!(labels.sheets[0][0].inputs.as_deref(), Some("Whole milk 6 gal; molasses 1 cup"));
    assert_eq!(labels.sheets[0][0].uses, ["1 gal per 10 gal (Culture wash)"]);
}

#[test]
fn what_is_not_known_says_why_and_from_when() {
    let odd = JOURNAL
        .replace("measured magnesium-sulfate 5 lb\n", "measured magnesium-sulfate 5 lbb\n")
        .replace("    put magnesium-sulfate 4 oz wt\n", "");
    let (sheet, _) = on(&odd.replace("count magnesium-sulfate\n    amount 55 lb\n    by maud\n\n", ""), "2026-06-12");
    let salt = row(&sheet, "magnesium-sulfate").unknown.clone().unwrap();
    assert_eq!(salt, "from 14 May 2026 on: a spray, its amount is not known (2026.spray line 108)");
    // A count makes an end of it.
    let (sheet, _) = on(&odd, "2026-06-12");
    assert_eq!(row(&sheet, "magnesium-sulfate").on_hand.as_ref().unwrap().number, "55");
    let fish = row(&sheet, "fish");
    let why = "used on 20 May 2026 before any of it came in or was counted; a count on the shelf mends it";
    assert_eq!((fish.on_hand.is_none(), fish.unknown.as_deref()), (true, Some(why)));
    let rate = JOURNAL.replace("    put molasses 1 cup\n", "    put kelp 1 fl oz per gal\n");
    let (sheet, _) = on(&rate, "2026-06-12");
    let why = row(&sheet, "kelp").unknown.clone().unwrap();
    assert_eq!(why, "from 20 April 2026 on: a batch that it went into, its amount is not known (2026.spray line 82)");
}

#[test]
fn more_used_than_there_was_is_shown_as_below_nothing() {
    let short =
        JOURNAL.replace("receive kelp\n    amount 2.5 gal\n    lot K-8\n    paid 51.25\n    use-by 2027-03-01\n", "");
    let short = short.replace(", lot K-8", "").replace("amount 5 gal\n    lot K-7", "amount 4 gal\n    lot K-7");
    let (sheet, _) = on(&short, "2026-06-12");
    let kelp = row(&sheet, "kelp");
    assert!(kelp.below);
    // 4 - 2 - 1.125 - 1.875
    assert_eq!(kelp.on_hand.as_ref().unwrap().number, "-1");
    assert_eq!(kelp.lots[0].name, "more used than all lots held");
    assert!(sheet.opening.contains("1 below nothing"));
}

#[test]
fn sprays_cost_what_went_in_at_the_prices_of_the_day() {
    let (sheet, _) = on(JOURNAL, "2026-06-12");
    let costs = sheet.costs.unwrap();
    let said: Vec<(&str, Option<&str>, Option<&str>)> = costs
        .sprays
        .iter()
        .map(|one| (one.on.as_str(), one.cost.as_ref().map(|cost| cost.text.as_str()), one.without.as_deref()))
        .collect();
    let expected = [
        ("2026-05-04", None, Some("Whey culture")),
        // 3.125 gal at 51.25 for 2.5 gal, the latest bill, and 5 lb at 0.62: 64.0625 + 3.1.
        ("2026-05-14", Some("67.16 USD"), None),
        ("2026-05-20", None, Some("Fish hydrolysate")),
        // 1.875 gal and 3 lb: 38.4375 + 1.86.
        ("2026-06-10", Some("40.30 USD"), None),
    ];
    assert_eq!(said, expected);
    assert_eq!((costs.total.text.as_str(), costs.more), ("107.46 USD", true));
    // Without any price nothing is said of money.
    let free: String = JOURNAL
        .lines()
        .filter(|line| !line.trim().starts_with("p") || line.contains("put "))
        .map(|line| format!("{line}\n"))
        .collect();
    let (sheet, _) = on(&free, "2026-06-12");
    assert!(sheet.costs.is_none() && sheet.worth.is_none());
}

#[test]
fn very_long_words_on_a_label_are_cut() {
    let long = "a".repeat(60);
    let text = JOURNAL.replace("whey-1", &long).replace("Whole milk", &"Whole milk of the herd ".repeat(20));
    let (_, labels) = on(&text, "2026-04-20");
    let labels = labels.unwrap();
    let label = &labels.sheets[0][0];
    assert!(label.name.ends_with(" …") && label.name.chars().count() < 45, "{}", label.name);
    assert_eq!(label.fit, "much");
}

#[test]
fn a_journal_without_batches_has_no_labels_and_one_without_stock_no_sheet() {
    let (sheet, labels) = on("farm f\nblock b\n    area 1 acre\n", "2026-06-12");
    assert!(labels.is_none() && sheet.materials.is_empty());
    assert_eq!(sheet.opening, "Nothing came in, and nothing was used");
}

/// Many batches, for the test of paper.
pub(super) fn many_batches(count: usize) -> String {
    let mut text = "farm f \"Far End\"\n    timezone America/Boise\nblock b\n    area 1 acre\nmaterial milk \"Whole milk\"\n    form liquid\n\
                    material whey \"Whey culture\"\n    form liquid\nmix wash\n    in 10 gal\n    put whey 1 gal\n2026-12-20\n"
        .to_string();
    for at in 0..count {
        let inputs = "    put milk 1 gal\n".repeat(1 + at % 20);
        text.push_str(&format!(
            "brew whey-{at} of whey\n{inputs}    amount {} gal\n    ready 2026-12-24\n    use-by 2027-03-01\n",
            at + 1
        ));
    }
    text
}

#[test]
fn all_documents_of_many_batches_hold_them() {
    let written = documents(&many_batches(19), &Found::Nothing);
    let labels = written.iter().find(|document| document.name == "batch-labels").unwrap();
    assert_eq!(labels.html.matches("<article class=\"label").count(), 19);
    assert_eq!(labels.html.matches("<div class=\"labels\"").count(), 3);
}

/// A program that has rounds left, beside the journal.
fn farm_with_a_plan() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let program = "program pear-rounds\n    mix leaf-tonic\n    blocks north-pear\n    start 2026-05-14\n    rounds 3 to 5, every 14 to 27 days\n    volume 150 gal\n";
    fs::write(folder.path().join("farm.spray"), JOURNAL).unwrap();
    fs::write(folder.path().join("plan.spray"), program).unwrap();
    folder
}

fn stock(folder: &Path, arguments: &[&str]) -> String {
    let command = [&["stock", folder.to_str().unwrap(), "--as-of", "2026-06-12"], arguments].concat();
    let done = run(Path::new(env!("CARGO_MANIFEST_DIR")), &command);
    assert_eq!(done.code, 0, "{}", done.err());
    done.out()
}

#[test]
fn the_terminal_gets_no_more_than_80_columns_and_says_what_the_plan_takes() {
    let said = stock(farm_with_a_plan().path(), &[]);
    assert!(said.lines().all(|line| line.starts_with("! ") || line.chars().count() <= 80), "{said}");
    insta::assert_snapshot!("otter-bank-terminal", said);
}

/// Rounds of 150 gal: one must come and two more may. 20 fl oz of kelp in 10 gal make 300 fl oz, 2.34375 gal, a round;
/// 2.5 gal are there, so the second round to come finds too little. 4 oz wt of salt in 10 gal make 60 oz wt, 3.75 lb.
#[test]
fn json_has_numbers_with_units_and_what_the_plan_takes() {
    let said = stock(farm_with_a_plan().path(), &["--as", "json"]);
    let sheet: serde_json::Value = serde_json::from_str(&said).unwrap();
    assert_eq!((sheet["document"].as_str(), sheet["on"].as_str()), (Some("stock"), Some("2026-06-12")));
    let materials = sheet["materials"].as_array().unwrap();
    let row = |name: &str| materials.iter().find(|row| row["name"] == name).unwrap();
    assert_eq!(row("kelp")["on_hand"]["number"], "2.5");
    assert_eq!(row("kelp")["on_hand"]["unit"], "gal");
    assert_eq!(row("kelp")["lots"][0]["use_by_on"], "2026-06-01");
    assert_eq!(row("kelp")["planned"], "2.344 gal (8.87 L) to 7.031 gal (26.6 L)");
    assert_eq!(row("kelp")["runs_out"], "before the round of 8 July 2026");
    assert_eq!(row("magnesium-sulfate")["planned"], "3.75 lb (1.7 kg) to 11.25 lb (5.1 kg)");
    assert_eq!(row("magnesium-sulfate")["runs_out"], serde_json::Value::Null);
}

#[test]
fn a_sheet_of_another_day_than_today_plans_nothing() {
    let (sheet, _) = on(JOURNAL, "2026-06-12");
    assert!(!sheet.planned && sheet.materials.iter().all(|row| row.planned.is_none()));
}

#[test]
fn a_page_is_written_where_it_is_asked_for() {
    let folder = farm_with_a_plan();
    let out = folder.path().join("stock.html");
    assert_eq!(stock(folder.path(), &["--out", out.to_str().unwrap()]), "");
    let page = fs::read_to_string(out).unwrap();
    assert!(page.contains("Counted, day, initials") && page.contains("class=\"hand\""));
}
