//! The entry that a job becomes.

use foliary::finding::Level;
use foliary::quantity::{Amount, Exact};
use foliary::season::{Season, load_totals};
use foliary::text::Sources;
use foliary::{Farm, checks, compile_farm};

use super::{FARM, amount, asked, printed, view};

const ROUND: &[&str] = &["--program", "pear-rounds"];

/// Sums of what all loads hold, by the sheet and by the pasted record.
fn held_alike(journal: &str, arguments: &[&str]) {
    let sheet = view(journal, arguments);
    let record = printed(journal, &[arguments, &["--record"]].concat());
    let mut sources = Sources::new();
    let files = [
        sources.add("journal.spray", journal.to_string()).unwrap(),
        sources.add("pasted.spray", record.clone()).unwrap(),
    ];
    let compiled = compile_farm(&sources, Farm { files: &files, missing: &[] });
    assert!(compiled.troubles.is_empty(), "{record}\n{:?}", compiled.troubles);
    let season = Season::new(&compiled, &sources, chrono::NaiveDate::from_ymd_opt(2026, 5, 14));
    let found: Vec<_> = checks::run(&season).into_iter().filter(|finding| finding.level == Level::Error).collect();
    assert!(found.is_empty(), "{record}\n{found:#?}");
    let facts = season.sprays.last().unwrap();
    let totals = load_totals(&compiled, facts.spray(&compiled));
    assert!(!totals.is_empty());
    for (id, held, _) in totals {
        let name = compiled.material(id).named.shown();
        let mut sum = Amount::new(Exact::ZERO, held.unit);
        for load in ["full", "last"] {
            if sheet[load].is_null() {
                continue;
            }
            let each = Amount::parse(&amount(&sheet, load, name)).unwrap();
            let count = Exact::int(sheet[load]["count"].as_i64().unwrap());
            sum = sum.plus(each.times(count).unwrap()).unwrap();
        }
        assert_eq!(sum.in_unit(held.unit), Some(held), "{name}: {record}");
        // And that is what the season says went in.
        let dose = facts.doses.iter().find(|dose| dose.material == id).unwrap();
        assert_eq!(dose.amount().unwrap().in_unit(held.unit), Some(held), "{name}");
    }
}

#[test]
fn the_record_holds_what_the_sheet_says() {
    held_alike(FARM, ROUND);
    held_alike(FARM, &[ROUND, &["--volume", "61.7 gal"]].concat());
    held_alike(FARM, &[ROUND, &["--rows", "1 to 5"]].concat());
    held_alike(FARM, &["--mix", "calcium-cover", "--block", "creek-pear", "--volume", "60 gal", "--concentrate", "3"]);
    let scale = FARM.replace("1/4 tsp, 1 oz wt", "1/4 tsp, 5 g");
    held_alike(&scale, ROUND);
}

#[test]
fn a_spray_that_is_written_already_is_taken_as_it_stands() {
    let page = "\n2026-05-14 Thu\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n    rig airblast\n    water well\n";
    let journal = format!("{FARM}{page}");
    let written = view(&journal, &["--written", "--block", "creek-pear"]);
    let asked_for = view(FARM, ROUND);
    assert_eq!(written["steps"], asked_for["steps"]);
    let record = printed(&journal, &["--written", "--record"]);
    assert!(record.starts_with("2026-05-14 Thu\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n"), "{record}");
    assert!(record.contains("    load       2 of 25 gal, whey-culture 25 fl oz"), "{record}");
    assert!(record.contains("# time 05:50 to 07:20"));
    // Two sprays of that day: which is not guessed.
    let two = format!("{journal}\nspray creek-pear rows 1 to 3\n    mix leaf-tonic, 10 gal\n    rig airblast\n");
    let output = asked(&two, &["--written"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().contains("2 such sprays"));
}
