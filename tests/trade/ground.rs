//! Which trees a spray was on, and how much of it: rows, leftovers, blocks named twice.

use super::{codes, only};

const NONE: [&str; 0] = [];

/// Sprays of 2 lb on some ground, each on its day, on a block of an acre in ten rows.
fn journal(cap: &str, sprays: &[(&str, &str)]) -> String {
    let mut text = format!(
        "material sulfur\n    form dry\n    season at most {cap}\n\nblock oak\n    crop pear\n    area 1 acre\n    rows 1 to 10\n\n\
         block ash\n    crop pear\n    area 1 acre\n"
    );
    for (day, ground) in sprays {
        text +=
            &format!("\n{day}\n\nspray {ground}\n    volume 100 gal\n    put sulfur 2 lb\n    time 06:00 to 07:00\n");
    }
    text
}

#[test]
fn other_rows_are_other_trees() {
    let halves = [("2026-05-01", "oak rows 1 to 5"), ("2026-05-02", "oak rows 6 to 10")];
    assert_eq!(codes(&journal("1 spray", &halves)), NONE);
    assert_eq!(codes(&journal("1 spray", &[("2026-05-01", "oak odd rows"), ("2026-05-02", "oak even rows")])), NONE);
    assert_eq!(codes(&journal("1 spray", &[("2026-05-01", "oak rows 2, 4"), ("2026-05-02", "oak odd rows")])), NONE);
    // The whole block is the second spray of either half, not the third.
    let whole = [halves[0], halves[1], ("2026-06-01", "oak")];
    assert_eq!(codes(&journal("2 sprays", &whole)), NONE);
    let finding = only(&journal("1 spray", &whole), "season-count-exceeded");
    assert_eq!(
        finding.headline,
        "the spray of 1 June 2026 is number 2 of sulfur on row 1 of oak in 2026; the limit of sulfur is 1"
    );
    assert_eq!(finding.labels.len(), 3);
    let shared = [("2026-05-01", "oak rows 1 to 5"), ("2026-05-02", "oak rows 5 to 10")];
    let finding = only(&journal("1 spray", &shared), "season-count-exceeded");
    assert!(finding.headline.contains("number 2 of sulfur on row 5 of oak"), "{}", finding.headline);
    // Every other alley treats every tree from one side.
    let alternate = [("2026-05-01", "oak alternate rows"), ("2026-05-08", "oak alternate rows")];
    assert_eq!(codes(&journal("1 spray", &alternate)), ["season-count-exceeded"]);
}

#[test]
fn an_amount_is_spread_over_the_rows_it_was_for() {
    // 2 lb on half an acre each: 4 lb per acre on every row.
    let halves = [("2026-05-01", "oak rows 1 to 5"), ("2026-05-08", "oak rows 6 to 10")];
    assert_eq!(codes(&journal("4 lb per acre", &halves)), NONE);
    let finding = only(&journal("3.9 lb per acre", &halves), "season-amount-exceeded");
    assert_eq!(
        finding.headline,
        "the spray of 1 May 2026 takes row 1 of oak to 4 lb of sulfur per acre in 2026; the limit of sulfur is 3.9 lb"
    );
    let again = [halves[0], halves[1], ("2026-05-15", "oak")];
    let finding = only(&journal("5 lb per acre", &again), "season-amount-exceeded");
    assert_eq!(finding.working[0], "4 lb before + 2 lb here = 6 lb per acre");
    // How large the rows of ash are is not known: they count as all of it.
    let unknown = [("2026-05-01", "ash rows 1 to 5"), ("2026-05-08", "ash rows 6 to 10")];
    assert_eq!(codes(&journal("4 lb per acre", &unknown)), NONE);
    assert_eq!(codes(&journal("3.9 lb per acre", &unknown)), ["season-amount-exceeded"]);
}

#[test]
fn very_many_picks_of_rows_are_no_false_alarm() {
    let days: Vec<(String, String)> = (1..=28)
        .flat_map(|day| (4..=6).map(move |month| (month, day)))
        .enumerate()
        .map(|(at, (month, day))| (format!("2026-{month:02}-{day:02}"), format!("ash row {}", at + 1)))
        .collect();
    let sprays: Vec<(&str, &str)> = days.iter().map(|(day, ground)| (day.as_str(), ground.as_str())).collect();
    assert_eq!(codes(&journal("1 spray", &sprays)), NONE);
}

#[test]
fn what_was_left_is_no_dose_of_the_block_it_left() {
    // 2 lb in 100 gal of which half was left: 1 lb on the acre.
    let with = |most: &str, leftover: &str| {
        let text = journal(&format!("{most} per acre"), &[("2026-05-01", "oak")]);
        format!("{text}    leftover {leftover}\n")
            .replace("    season", &format!("    rate at most {most} per acre\n    season"))
    };
    assert_eq!(codes(&with("1 lb", "50 gal on ash")), NONE);
    assert_eq!(codes(&with("1 lb", "50 gal, kept")), NONE);
    let own = |text: &str| -> Vec<&'static str> {
        codes(text).into_iter().filter(|code| code.starts_with("rate") || code.starts_with("season")).collect()
    };
    assert_eq!(own(&with("1 lb", "49 gal, kept")), ["rate-outside-range", "season-amount-exceeded"]);
    assert_eq!(own(&with("1 lb", "60 gal on ash")), ["season-amount-exceeded"]);
    // More left than was made is all of it, and no dose below nothing.
    assert_eq!(own(&with("2 lb", "300 gal on ash")), NONE);
    assert_eq!(own(&with("1.9 lb", "300 gal on ash")), ["season-amount-exceeded"]);
}

#[test]
fn a_block_named_twice_is_one_block() {
    let twice = |most: &str| journal(most, &[("2026-05-01", "oak, oak")]);
    let own = |text: &str| codes(text).into_iter().filter(|code| code.starts_with("season")).count();
    assert_eq!(own(&twice("2 lb per acre")), 0);
    assert_eq!(own(&twice("1.9 lb per acre")), 1);
    let over = twice("9 lb per acre") + "    over 2 acre\n";
    assert!(codes(&over).contains(&"area-over-block"));
}

#[test]
fn an_area_is_rounded_by_a_tenth_at_most() {
    let over =
        |ground: &str, area: &str| journal("9 lb per acre", &[("2026-05-01", ground)]) + &format!("    over {area}\n");
    assert_eq!(codes(&over("oak", "2 acre")), ["area-over-block"]);
    assert_eq!(codes(&over("oak", "1.1 acre")), NONE);
    assert_eq!(codes(&over("oak rows 1 to 5", "1 acre")), ["row-area-disagrees"]);
    assert_eq!(codes(&over("oak rows 1 to 5", "0.5 acre")), NONE);
}
