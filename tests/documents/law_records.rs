//! The records that rulebooks ask for, and the monthly use, against a journal worked by hand.

use foliary::documents::{LawRecords, MonthlyUse, Scope, law_records, monthly_use};
use foliary::duty::{Duties, lacks};
use foliary::rulebook::{Element, Shelf, When};
use foliary::season::Season;
use foliary::text::Sources;
use foliary::{Farm, compile_farm};

use super::columns::{JOURNAL, cell, file, rows};
use super::{Found, as_of, documents, with_book};

fn views(text: &str) -> (Vec<LawRecords>, Option<MonthlyUse>) {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    with_book(&sources, &[file], &Scope::default(), &Found::Nothing, |book| (law_records(book), monthly_use(book)))
}

fn under<'v>(views: &'v [LawRecords], rulebook: &str) -> &'v LawRecords {
    views.iter().find(|view| view.rulebook.name == rulebook).unwrap_or_else(|| panic!("no {rulebook}"))
}

#[test]
fn the_documents_of_a_small_journal() {
    let written = documents(JOURNAL, &Found::Nothing);
    let law: Vec<&super::Written> = written.iter().filter(|document| document.name == "law-records").collect();
    assert_eq!(law.len(), 4);
    for (name, document) in ["california", "worker-protection", "organic", "washington"].iter().zip(law) {
        insta::assert_snapshot!(format!("alder-bend-{name}"), document.markdown);
    }
    let monthly = written.iter().find(|document| document.name == "monthly-use").unwrap();
    insta::assert_snapshot!("alder-bend-monthly-use", monthly.markdown);
}

#[test]
fn elements_stand_in_the_order_of_the_rulebook_and_once_each() {
    let (views, _) = views(JOURNAL);
    let record = &under(&views, "us-california").records[0];
    let names: Vec<&str> = record.groups.iter().flat_map(|group| &group.rows).map(|row| row.what.as_str()).collect();
    assert_eq!(
        names,
        [
            "Date",
            "Start time",
            "Owner or operator",
            "Location",
            "Crop",
            "Area treated",
            "Product",
            "Total amount",
            "Registration number",
            "County, section, township and range",
            "End time",
            "Operator identification or permit number",
            "Site identification number",
            "Method of application",
            "Area planted",
        ]
    );
    // Two rules ask for the start.
    let start = record.groups.iter().find(|group| group.rows[0].what == "Start time").unwrap();
    assert_eq!(start.asked_by, "3 CCR 6624(b)(1); text read. 3 CCR 6624(c)(2); text read");
    assert_eq!(record.missing, None);
    assert_eq!(record.also.as_deref(), Some("Kelp tea"));
}

#[test]
fn what_is_missing_is_named_and_nothing_is_filled_in() {
    let (views, _) = views(JOURNAL);
    let record = &under(&views, "us-washington").records[1];
    assert_eq!(
        record.missing.as_deref(),
        Some("Location, map, wind direction, wind speed, temperature, sprayer and method of application")
    );
    let location = record.groups.iter().flat_map(|group| &group.rows).find(|row| row.what == "Location").unwrap();
    let said: Vec<(Option<&str>, bool)> =
        location.said.iter().map(|said| (said.of.as_deref(), said.text.is_some())).collect();
    assert_eq!(said, [(Some("Creek pears"), true), (Some("Hill plums"), false)]);
}

#[test]
fn rules_that_were_not_in_force_that_day_are_left_out() {
    // Before 8 November 2024 the section asked for neither times nor method.
    let old = JOURNAL.replace("2026-04-12", "2024-04-12");
    let (views, _) = views(&old);
    let record = &under(&views, "us-california").records[0];
    let names: Vec<&str> = record.groups.iter().flat_map(|group| &group.rows).map(|row| row.what.as_str()).collect();
    assert!(record.date.ends_with("2024") && names.contains(&"Total amount"));
    for later in ["Start time", "End time", "Method of application"] {
        assert!(!names.contains(&later), "{later}");
    }
}

#[test]
fn a_spray_outside_the_rules_is_listed_with_the_reason() {
    let late = JOURNAL.replace("us-organic from 2026-03-01", "us-organic from 2026-04-15");
    let (views, _) = views(&late);
    let why = |rulebook: &str| -> Vec<(String, &str)> {
        under(&views, rulebook).left_out.iter().map(|spray| (spray.date.clone(), spray.why)).collect()
    };
    let no_rule = "its rules about records hold for other blocks, crops, people or products";
    assert_eq!(
        why("us-organic"),
        [
            ("12 April 2026".to_string(), "the farm did not work under these rules that day"),
            ("2 July 2026".to_string(), no_rule),
        ]
    );
    assert_eq!(why("us-washington"), [("2 July 2026".to_string(), no_rule)]);
}

#[test]
fn deadlines_and_keeping_are_worked_out() {
    let (views, _) = views(JOURNAL);
    let washington = &under(&views, "us-washington").records;
    let deadline = |at: usize| {
        let deadline = &washington[at].deadlines[0];
        (deadline.what, deadline.by.clone(), deadline.met)
    };
    assert_eq!(deadline(0), ("Record made", "12 April 2026".to_string(), Some("made in time")));
    assert_eq!(deadline(1), ("Record made", "20 April 2026".to_string(), Some("made after that")));
    let until = |view: &LawRecords, at: usize| {
        let record = &view.records[at];
        (record.kept_here.as_ref().unwrap().until.clone(), record.kept.as_ref().unwrap().until.clone())
    };
    // 7 years here; the farm says 10 itself.
    assert_eq!(until(under(&views, "us-washington"), 0), ("12 April 2033".into(), "12 April 2036".into()));
    // 2 years from the end of re-entry, a day after the spray.
    assert_eq!(until(under(&views, "us-worker-protection"), 0), ("13 April 2028".into(), "12 April 2036".into()));
    assert_eq!(under(&views, "us-organic").keeping.last.as_ref().unwrap().until, "20 April 2036");
}

#[test]
fn time_of_keeping_from_29_february_is_not_cut_short() {
    let text = "farm f\n    rulebook us-organic\nblock b\n    area 1 acre\n    certified organic\nmaterial m\n    form liquid\n\
                2024-02-29\nspray b\n    put m 1 gal per 100 gal\n    volume 10 gal\n    time 06:00 to 07:00\n";
    let (views, _) = views(text);
    assert_eq!(views[0].records[0].kept.as_ref().unwrap().until, "1 March 2029");
}

#[test]
fn a_time_from_the_last_entry_moves_on_with_the_book() {
    let text =
        JOURNAL.replace("    rulebook us-california\n", "    rulebook ca-quebec\n").replace("    keep 10 years\n", "");
    let (views, _) = views(&text);
    let kept = under(&views, "ca-quebec").records[0].kept_here.clone().unwrap();
    // 5 years from the last page, 2 July 2026.
    assert_eq!(kept.until, "2 July 2031");
    assert!(kept.note.is_some_and(|note| note.starts_with("at the earliest")));
}

/// A rulebook that asks for everything that a record can be asked for.
fn everything() -> Shelf {
    let elements: Vec<String> = Element::ALL.iter().map(|element| format!("\"{}\"", element.name())).collect();
    let text = format!(
        "name = \"all\"\ntitle = \"All\"\nplace = \"here\"\nsort = \"guide\"\nauthority = \"nobody\"\ncitation = \"none\"\nset-down = 2026-01-01\nabout = \"Asks for everything.\"\n\
         [[rule]]\nid = \"all\"\nasks = \"elements\"\nelements = [{}]\ncitation = \"none\"\nknown = \"memory\"\nsays = \"Everything.\"\n",
        elements.join(", ")
    );
    Shelf::new(&[("all.toml".to_string(), text)]).unwrap()
}

/// The elements that the document calls not recorded, and those that the check misses, spray by spray.
fn missing(text: &str) -> Vec<(Vec<Element>, Vec<Element>)> {
    let shelf = everything();
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, as_of()).with_shelf(&shelf);
    assert_eq!(Duties::new(&season).adoptions.len(), 1);
    let scope = Scope::default();
    let book = foliary::documents::Book::new(&season, &[], &[file], &scope);
    let records = law_records(&book).remove(0).records;
    let when = When::default();
    let checked = season.sprays.iter().map(|facts| {
        let lacking = |element: &Element| !lacks(&season, facts, *element, &when).is_empty();
        Element::ALL.iter().copied().filter(lacking).collect()
    });
    let shown = records.into_iter().map(|record| record.lacking);
    let both: Vec<_> = shown.zip(checked).collect();
    assert_eq!(both.len(), season.sprays.len());
    both
}

#[test]
fn the_document_says_not_recorded_where_the_check_misses_something() {
    let all = JOURNAL.replace("    rulebook us-california\n", "    rulebook all\n");
    let all: String =
        all.lines().filter(|line| !line.contains("rulebook us-")).map(|line| format!("{line}\n")).collect();
    for text in [
        all.clone(),
        all.replace("    reentry 24 h\n", "").replace("    class sulfur\n", ""),
        all.replace("    owner Ines Farrow\n", "").replace("    licence PA-1187 until 2027-12-31\n", ""),
        all.replace("wind 3 mph NW, ", "").replace("wind calm, ", ""),
    ] {
        for (shown, checked) in missing(&text) {
            for element in &checked {
                assert!(shown.contains(element), "{element:?} is missed by the check and shown as recorded");
            }
            // What the check leaves to other findings: evidence of nothing else may be called missing.
            for element in &shown {
                assert!(checked.contains(element), "{element:?} is called not recorded, and the check misses nothing");
            }
        }
    }
}

#[test]
fn a_month_is_added_up_by_product_and_block() {
    let (_, monthly) = views(JOURNAL);
    let monthly = monthly.unwrap();
    let titles: Vec<(&str, bool)> = monthly.months.iter().map(|month| (month.title.as_str(), month.nothing)).collect();
    assert_eq!(titles, [("April 2026", false), ("May to June 2026", true), ("July 2026", false)]);
    let april = &monthly.months[0];
    assert_eq!(april.due, ["10 May 2026: 3 CCR 6626(a) (us-california; text read)"]);
    let reported: Vec<(&str, Option<&str>, usize)> =
        april.reported.iter().map(|used| (used.product.as_str(), used.total.as_deref(), used.applications)).collect();
    // 6 lb in 100 gal: 12 lb on 12 April and 9 lb on 20 April.
    assert_eq!(
        reported,
        [("Bark Guard", Some("56 fl oz (1.66 L)"), 1), ("Wettable Yellow 80", Some("21 lb (9.53 kg)"), 2)]
    );
    let others: Vec<&str> = april.others.iter().map(|used| used.product.as_str()).collect();
    assert_eq!(others, ["Kelp tea"]);
    let creek = &april.reported[1].blocks[0];
    assert_eq!((creek.treated.as_deref(), creek.applications), (Some("4 acre (1.62 ha)"), 2));
    assert_eq!(creek.methods.as_deref(), Some("air-blast, on the ground; of some not recorded"));
    // 12 lb, and of 9 lb the share of 2 acres in 3.5.
    assert_eq!(creek.total.as_deref(), Some("17.14 lb (7.78 kg)"));
    assert!(monthly.months[2].reported.is_empty() && monthly.months[2].due.is_empty());
}

#[test]
fn amounts_that_are_not_known_are_said_to_be_missing_from_the_month() {
    let text = JOURNAL.replace("mix cover, 150 gal", "mix cover");
    let (_, monthly) = views(&text);
    let used = &monthly.unwrap().months[0].reported[1];
    assert_eq!(used.total.as_deref(), Some("12 lb (5.44 kg)"));
    assert_eq!(used.short.as_deref(), Some("without 1 spray whose amount is not known"));
    assert_eq!(used.blocks[0].total, None, "a part is not the whole");
    let rows = rows(&file(&text, "monthly-use.csv"));
    let row = rows.iter().find(|row| cell(row, "product") == "wettable").unwrap();
    assert_eq!((cell(row, "month"), cell(row, "block_amount"), cell(row, "month_amount")), ("2026-04", "", ""));
    assert_eq!(cell(row, "report_due"), "2026-05-10");
}

#[test]
fn a_long_time_without_sprays_is_one_line() {
    let text = JOURNAL.replace("2026-07-02", "9998-07-02");
    let (_, monthly) = views(&text);
    let titles: Vec<String> = monthly.unwrap().months.into_iter().map(|month| month.title).collect();
    assert_eq!(titles, ["April 2026", "May 2026 to June 9998", "July 9998"]);
}

#[test]
fn a_farm_that_adopted_nothing_has_no_law_records_and_a_monthly_use_all_the_same() {
    let text: String =
        JOURNAL.lines().filter(|line| !line.contains("rulebook")).map(|line| format!("{line}\n")).collect();
    let (law, monthly) = views(&text);
    assert!(law.is_empty());
    let april = &monthly.unwrap().months[0];
    assert!(april.reported.is_empty());
    assert_eq!(april.others.len(), 3);
    let (law, monthly) = views("farm f\n");
    assert!(law.is_empty() && monthly.is_none());
}
