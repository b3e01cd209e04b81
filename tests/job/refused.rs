//! What stops a sheet.

use super::{FARM, asked, printed};
use crate::robust::unfilled;

const ROUND: &[&str] = &["--program", "pear-rounds"];

fn refused(journal: &str, arguments: &[&str], code: &str) {
    let output = asked(journal, arguments);
    let text = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(1), "{text}");
    assert!(text.contains(&format!("error[{code}]")), "{text}");
    assert!(text.contains("No mix sheet is printed while errors are open"), "{text}");
    assert!(!text.contains("Last load"));
}

fn failed(arguments: &[&str], words: &str) {
    let output = asked(FARM, arguments);
    let said = unfilled(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.contains(words), "{said}");
    assert!(output.stdout.is_empty());
}

#[test]
fn no_sheet_is_printed_while_an_error_is_open() {
    // In the job: twice the oil that the label and the house allow.
    refused(FARM, &[ROUND, &["--put", "neem-oil 0.2 % v/v"]].concat(), "class-over-limit");
    refused(FARM, &[ROUND, &["--put", "nem-oil 0.2 % v/v"]].concat(), "unknown-name");
    refused(FARM, &[ROUND, &["--rows", "1 to 99"]].concat(), "rows-outside-block");
    refused(FARM, &[ROUND, &["--rows", "1-9 banana"]].concat(), "unreadable-line");
    let ground = ["--mix", "calcium-cover", "--block", "creek-pear", "--volume"];
    // 5 times as strong and more spray than dilute: the limit per acre on the label counts.
    refused(FARM, &[&ground[..], &["100 gal", "--concentrate", "5"]].concat(), "rate-outside-range");
    // In the journal besides.
    let elsewhere = format!("{FARM}\n2026-05-01 Fri\n\nobserve no-such-block\n    stage bloom\n");
    refused(&elsewhere, ROUND, "unknown-name");
}

/// A pick that is planned inside the harvest interval of the job.
#[test]
fn an_expected_pick_stops_a_job_that_would_close_it() {
    let slow = FARM.replace("reentry 4 h\n    preharvest 1 day\n    protection gloves\n", "preharvest 3 days\n");
    let picking = |days: &str| slow.replace("    workers yes\n", &format!("    workers yes\n    picking {days}\n"));
    let soon = picking("2026-05-16 to 2026-06-15");
    refused(&soon, ROUND, "harvest-in-interval");
    let output = asked(&soon, ROUND);
    let said = String::from_utf8(output.stdout).unwrap();
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("creek-pear is to be picked on 16 May 2026, inside the 3 days that fish asks for"), "{said}");
    assert!(said.contains("take another day for the job, or put the block's `picking` right"), "{said}");
    // Picking goes on already: the day after the job counts.
    refused(&picking("2026-05-01 to 2026-06-15"), ROUND, "harvest-in-interval");
    let page = "\n2026-05-14 Thu\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n    rig airblast\n    water well\n";
    refused(&format!("{soon}{page}"), &["--written"], "harvest-in-interval");
    for clear in ["2026-05-18 to 2026-06-15", "2026-05-01 to 2026-05-14"] {
        assert!(printed(&picking(clear), ROUND).contains("Last load"), "{clear}");
    }
    // What an earlier spray does to the pick stops no other.
    let earlier = "\n2026-05-12 Tue\n\nspray creek-pear\n    put calcium 2 oz wt per gal\n    volume 10 gal\n";
    let calcium = picking("2026-05-18").replace("class calcium\n", "class calcium\n    preharvest 9 days\n");
    let calcium =
        calcium.replacen("6 lb per acre\n    reentry none stated\n    preharvest none stated\n", "6 lb per acre\n", 1);
    let calcium = calcium.replace("    rate 1 to 2 lb per 100 gal\n    rate at most 6 lb per acre\n", "");
    let text = printed(&format!("{calcium}{earlier}"), &[ROUND, &["--language", "en"]].concat());
    assert!(text.contains("Warnings: creek-pear is to be picked on 18 May 2026"), "{text}");
}

#[test]
fn a_batch_that_is_not_ready_or_past_its_day_stands_on_the_sheet() {
    let brewed =
        |days: &str| format!("{FARM}\n2026-05-10 Sun\n\nbrew whey-1 of whey-culture\n    amount 2 gal\n{days}");
    let said = |journal: &str, arguments: &[&str]| {
        let text = printed(journal, &[arguments, &["--language", "en"]].concat());
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let unready = brewed("    ready 2026-05-20\n");
    assert!(
        said(&unready, ROUND).contains("no batch of whey-culture may be used on 14 May 2026: whey-1 is ready from")
    );
    let old = brewed("    ready 2026-05-10\n    use-by 2026-05-13\n");
    assert!(said(&old, ROUND).contains("whey-1 was good until 13 May 2026"));
    assert!(!said(&brewed("    ready 2026-05-12\n"), ROUND).contains("batch of whey-culture"));
    let page = "\n2026-05-14 Thu\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n    rig airblast\n    water well\n";
    assert!(said(&format!("{unready}{page}"), &["--written"]).contains("whey-1 is ready from"));
}

#[test]
fn what_is_not_known_yet_stops_nothing() {
    // Neither who, when nor in which weather, and the day lies ahead; the farm keeps records by a rulebook.
    let strict = FARM.replace("    contact 555 0100\n", "    contact 555 0100\n    rulebook us-worker-protection\n");
    let text = printed(&strict, &[ROUND, &["--language", "en"]].concat());
    assert!(text.contains("Last load"), "{text}");
}

#[test]
fn a_warning_about_the_job_stands_on_the_sheet() {
    let weak = FARM.replace("rate 0.25 to 1 oz wt per gal on pear", "rate 0.5 to 1 oz wt per gal on pear");
    let before = format!(
        "{weak}\n2026-05-11 Mon\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n    rig airblast\n    time 06:00 to 07:00\n"
    );
    let text = printed(&before, &[ROUND, &["--language", "en"]].concat());
    assert!(text.contains("Warnings: "), "{text}");
}

#[test]
fn what_is_missing_is_named() {
    failed(&["--mix", "leaf-tonik", "--block", "creek-pear"], "did you mean leaf-tonic?");
    failed(&["--mix", "leaf-tonic"], "--block");
    failed(&["--block", "creek-pear"], "--mix, --program or --put");
    failed(&["--mix", "leaf-tonic", "--block", "creek-pear", "--volume", "some"], "75 gal per acre");
    failed(&[ROUND, &["--put", "soap 1 fl oz\n    accept all of it"]].concat(), "one line");
    failed(&["--written", "--block", "creek-pear"], "no such spray");
    let bare = FARM.replace("    dilute 0.7 gal per 1000 cu ft\n", "");
    let output = asked(&bare, &["--mix", "leaf-tonic", "--block", "creek-pear"]);
    assert!(String::from_utf8(output.stderr).unwrap().contains("give --volume"));
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn liquids_that_the_job_has_no_room_for_are_no_sheet() {
    let flood = |amount: &str| {
        let entries = format!(
            "material pond-water\n    form liquid\n    reentry none stated\n    preharvest none stated\n\nmix flood\n    in 1 gal\n    put pond-water {amount}\n\n"
        );
        asked(&format!("{entries}{FARM}"), &["--mix", "flood", "--block", "creek-pear", "--volume", "10 gal"])
    };
    let output = flood("2 gal");
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.contains("the liquids alone come to 20 gal, more than the 10 gal that the job is"), "{said}");
    assert_eq!(flood("1 gal").status.code(), Some(0), "all of it is no water, and fits");
}
