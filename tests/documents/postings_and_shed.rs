//! Sheets and signs on the records; sprayers, deliveries and weather in the summary.

use super::{Found, documents, views};

const FARM: &str = "\
farm willow-end \"Willow End\"
    timezone America/Boise
    needs sheet

person ada \"Ada Quill\"

block pears
    crop pear
    area 1 acre
    workers yes

block plums
    crop plum
    area 1 acre

rig cart \"Cart\"
    tank 20 gal

material kelp
    form liquid

";

fn spray(day: &str, block: &str) -> String {
    format!("{day}\n\nspray {block}\n    put kelp 1 fl oz per gal\n    volume 10 gal\n    time 06:00 to 07:00\n\n")
}

fn post(day: &str, block: &str, what: &str) -> String {
    format!("{day}\n\npost {block}\n    {what}\n    by ada\n\n")
}

/// What the records say of notices, a list a record.
fn notices(pages: &str) -> Vec<Vec<(&'static str, Vec<String>)>> {
    let (_, records) = views(&format!("{FARM}{pages}"), &Found::Nothing);
    let of_one = |record: &foliary::documents::Record| {
        record.notices.iter().map(|posted| (posted.notice, posted.said.clone())).collect()
    };
    records.records.iter().map(of_one).collect()
}

#[test]
fn a_record_says_what_was_posted_for_it() {
    let pages = [
        post("2026-05-01", "pears", "up sheet at 05:50"),
        spray("2026-05-01", "pears"),
        post("2026-06-03", "pears", "down sheet at 18:00"),
        post("2026-06-05", "plums", "down sheet"),
    ];
    let said = vec![
        "up 1 May 2026 05:50 by Ada Quill, pears".to_string(),
        "down 3 June 2026 18:00 by Ada Quill, pears".to_string(),
    ];
    assert_eq!(notices(&pages.concat()), [[("Sheet", said)]]);
}

#[test]
fn a_notice_is_missed_only_where_it_is_asked_for() {
    // A sheet for another spray is none for this one, and nobody works in the plums.
    let pages = [post("2026-04-20", "pears", "up sheet"), spray("2026-05-01", "pears"), spray("2026-05-02", "plums")];
    assert_eq!(notices(&pages.concat()), [vec![("Sheet", Vec::new())], Vec::new()]);
    let records = &documents(&format!("{FARM}{}", pages.concat()), &Found::Nothing)[1];
    assert_eq!(records.markdown.matches("- Sheet: not recorded").count(), 1);
}

#[test]
fn signs_that_still_stand_count_and_those_taken_down_do_not() {
    let standing = [post("2026-04-20", "", "up signs"), spray("2026-05-01", "plums")];
    assert_eq!(notices(&standing.concat()), [[("Warning signs", vec!["up 20 April 2026 by Ada Quill".to_string()])]]);
    let taken_down = [
        post("2026-04-20", "plums", "up signs"),
        post("2026-04-30", "plums", "down signs"),
        spray("2026-05-01", "plums"),
    ];
    assert_eq!(notices(&taken_down.concat()), [Vec::new()]);
}

#[test]
fn the_shed_and_the_weather_stand_in_the_summary() {
    let pages = "\
2026-03-01

calibrate cart
    output 20 gal per acre
    pressure 40 psi
    setup first gear
    by ada

clean cart
    method triple rinse
    rinse 3 gal

receive kelp
    amount 2 gal
    lot K-7
    supplier farm shop
    invoice 26-1

count kelp
    amount 1 gal
    by ada

discard kelp
    amount 1 qt
    reason frozen
    method poured on the compost

weather
    reading 06:00 45 F, wind 2 mph S
    high 66 F
    low 41 F
    note Dew until nine.
";
    let written = documents(&format!("{FARM}{pages}"), &Found::Nothing);
    let season = &written[0].markdown;
    for row in [
        "| 1 Mar | Cart | measured | 20 gal per acre | 40 psi (2.76 bar), first gear | Ada Quill |",
        "| 1 Mar | Cart | cleaned |  | triple rinse, rinsed with 3 gal (11.4 L) |  |",
        "| 1 Mar | kelp | 2 gal (7.57 L) | K-7 | farm shop | 26-1 |",
        "| 1 Mar | kelp | counted | 1 gal (3.79 L) |  | Ada Quill |",
        "| 1 Mar | kelp | thrown out | 1 qt (946 mL) | frozen, poured on the compost |  |",
        "| 1 Mar |  | 41 F (5 C) | 66 F (18.9 C) |  | 06:00 45 F, wind 2 mph S | Dew until nine.  |",
    ] {
        assert!(season.lines().any(|line| line == row), "{row} is not in\n{season}");
    }
    assert!(written[0].html.contains("<details class=\"printed\" open>"), "one day is not folded");
}
