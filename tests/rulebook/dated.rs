//! Each application is judged by the law of its own day, and hours are those that really passed.

use foliary::finding::Finding;
use foliary::text::Sources;
use foliary::{Farm, check_farm};

fn findings(text: &str) -> Vec<Finding> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    check_farm(&sources, Farm { files: &[file], missing: &[] }, "2026-12-31".parse().ok())
}

/// A season of restricted-use sprays, each without registration number and licence.
fn season_across_the_end() -> String {
    let mut text = "farm larkspur-bend\n    timezone America/Boise\n    rulebook us-private-applicator\n\n\
        block creek-pear\n    crop pear\n    area 1.2 acre\n    location north of the creek\n\n\
        person t-marsh \"Tansy Marsh\"\n    licence PA-2207\n\n\
        material wash\n    form dry\n    class restricted-use\n    status registered\n    registration 99999-12\n"
        .to_string();
    // The federal rule on private applicators' records held up to 10 July 2025 (FR Doc 2025-08220).
    for day in ["2024-06-14", "2025-07-09", "2025-07-10", "2025-07-11", "2025-08-02"] {
        text.push_str(&format!(
            "\n{day}\n\nspray creek-pear\n    measured wash 3 lb\n    volume 100 gal\n    time 06:00 to 07:15\n"
        ));
    }
    text
}

#[test]
fn a_season_across_the_end_of_a_rule_is_judged_by_each_day() {
    let found = findings(&season_across_the_end());
    let incomplete: Vec<&Finding> = found.iter().filter(|finding| finding.code == "record-incomplete").collect();
    let days = ["14 June 2024", "9 July 2025", "10 July 2025"];
    assert_eq!(incomplete.len(), days.len(), "{found:#?}");
    for (finding, day) in incomplete.iter().zip(days) {
        assert!(
            finding.headline.contains(day) && finding.headline.ends_with("does not say: applicator"),
            "{finding:#?}"
        );
        assert!(finding.working.iter().any(|line| line.contains("7 CFR 110.3(a)(5)")), "{finding:#?}");
    }
    let ended: Vec<&Finding> = found.iter().filter(|finding| finding.code == "rulebook-ended").collect();
    assert_eq!(ended.len(), 1, "{found:#?}");
    assert!(ended[0].headline.starts_with("2 sprays are judged by no rule"), "{ended:#?}");
    assert!(ended[0].working.iter().any(|line| line.contains("between 11 July 2025 and 2 August 2025")), "{ended:#?}");
    assert_eq!(found.len(), 4, "{found:#?}");
}

#[test]
fn adopting_a_rulebook_for_some_time_asks_for_nothing_outside_it() {
    let line = "rulebook us-private-applicator";
    let text = season_across_the_end().replace(line, &format!("{line} from 2025-01-01 until 2025-07-10"));
    let codes: Vec<&str> = findings(&text).iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["record-incomplete", "record-incomplete"]);
}

/// A record in Victoria, made some time after a spray that ended at 07:15.
fn made_in_victoria(sprayed: &str, entered: &str) -> Vec<Finding> {
    let text = format!(
        "farm emu-lane\n    timezone Australia/Melbourne\n    rulebook au-victoria\n\n\
         block creek-pear\n    crop pear\n    area 1.2 ha\n    location north of the creek\n\n\
         person t-marsh \"Tansy Marsh\"\n    contact 555 0101\n\n\
         material wash \"Leaf wash\"\n    form dry\n    registration 99999\n\n\
         {sprayed}\n\nspray creek-pear\n    measured wash 3 kg\n    volume 1000 L\n    time 06:00 to 07:15\n    by t-marsh\n    \
         authorised t-marsh\n    weather 12 C, wind 5 km/h NW\n    entered {entered} by t-marsh\n"
    );
    findings(&text).into_iter().filter(|finding| finding.code != "record-incomplete").collect()
}

#[test]
fn forty_eight_hours_are_hours_that_passed() {
    // Agriculture Victoria, chemical use records: within 48 hours. Clocks there go back on 5 April 2026 and forward on 4
    // October 2026 (IANA time zone database).
    let late = |sprayed: &str, entered: &str| {
        let found = made_in_victoria(sprayed, entered);
        assert!(found.iter().all(|finding| finding.code == "record-late"), "{found:#?}");
        !found.is_empty()
    };
    assert!(!late("2026-05-14", "2026-05-16 07:15") && late("2026-05-14", "2026-05-16 07:16"), "an ordinary week");
    assert!(!late("2026-04-04", "2026-04-06 06:15") && late("2026-04-04", "2026-04-06 06:16"), "clocks go back");
    assert!(!late("2026-10-03", "2026-10-05 08:15") && late("2026-10-03", "2026-10-05 08:16"), "clocks go forward");
    let found = made_in_victoria("2026-04-04", "2026-04-06 06:16");
    assert!(found[0].working.iter().any(|line| line.contains("by 6 April 2026 06:15")), "{found:#?}");
}
