//! Checks of rulebooks about materials, organic inputs and food: where they begin and where they end. Every journal here
//! is one of their documentation with a few words changed.

use foliary::checks::{CHECKS, check_named};
use foliary::finding::{Finding, Level};

use super::{Example, examples, findings};

const CODES: &[&str] = &[
    "registration-malformed",
    "purpose-against-status",
    "minimum-risk-claim",
    "basic-substance-use",
    "refused-substance",
    "input-not-approved",
    "need-test-missing",
    "plan-reason-missing",
    "build-up-unwatched",
    "manure-before-harvest",
    "tea-on-food",
];

/// A wrong journal of a check's documentation, with words changed. Every change must change something.
fn wrong(code: &str, number: usize, changes: &[(&str, &str)]) -> String {
    let mut examples = examples(check_named(code).unwrap()).into_iter().filter(|example| example.wrong);
    let mut text = examples.nth(number).unwrap().text;
    for (from, to) in changes {
        assert!(text.contains(from), "{code} has no `{from}`:\n{text}");
        text = text.replace(from, to);
    }
    text
}

fn found(text: &str) -> Vec<Finding> {
    findings(&Example { wrong: true, as_of: None, text: text.to_string(), commits: Vec::new() }).1
}

fn codes(text: &str) -> Vec<&'static str> {
    found(text).iter().map(|finding| finding.code).collect()
}

#[test]
fn a_farm_hears_nothing_of_rules_that_it_does_not_work_under() {
    for code in CODES {
        let check = check_named(code).unwrap();
        for text in examples(check).into_iter().filter(|example| example.wrong).map(|example| example.text) {
            let line = text.lines().find(|line| line.trim_start().starts_with("rulebook ")).unwrap();
            for other in [String::new(), format!("{line} from 2027-01-01"), format!("{line} until 2025-12-31")] {
                let found = codes(&text.replace(line, &other));
                assert!(!found.iter().any(|found| CODES.contains(found)), "{code}: {found:?}\n{other}\n{text}");
            }
        }
    }
}

#[test]
fn each_of_them_is_registered_once() {
    for code in CODES {
        assert_eq!(CHECKS.iter().filter(|check| check.code == *code).count(), 1, "{code}");
    }
}

#[test]
fn a_registration_number_may_have_words_about_it() {
    let number = |number: &str| codes(&wrong("registration-malformed", 0, &[("99999-CA-1", number)]));
    for good in
        ["99999-12", "99999-12-345", "EPA Reg. No. 99999-12", "EPA Reg.No.99999-12", "99999-12 (lot 7)", "No. 1-2"]
    {
        assert!(number(good).is_empty(), "{good}");
    }
    for bad in ["99999", "99999-", "-12", "99999-12-3-4", "99999--12", "A99999-12", "pending"] {
        assert_eq!(number(bad), ["registration-malformed"], "{bad}");
    }
}

#[test]
fn a_rule_from_memory_gives_a_note() {
    assert_eq!(found(&wrong("need-test-missing", 1, &[]))[0].level, Level::Note);
    assert_eq!(found(&wrong("need-test-missing", 0, &[]))[0].level, Level::Warning);
}

#[test]
fn a_block_that_the_rule_is_not_about_is_left_alone() {
    let ordinary = ("location above the creek\n    certified organic since 2023", "location above the creek");
    // The one block has its sample, and the other needs none.
    assert!(codes(&wrong("need-test-missing", 0, &[ordinary])).is_empty());
    let copper = found(&wrong("build-up-unwatched", 0, &[ordinary]));
    assert_eq!(copper.len(), 1);
    assert!(copper[0].headline.contains("creek-pear") && !copper[0].headline.contains("hill-pear"), "{copper:?}");
    assert!(codes(&wrong("manure-before-harvest", 1, &[("    certified organic since 2023\n", "")])).is_empty());
}

#[test]
fn what_is_not_known_of_a_tank_may_be_what_is_meant_against_it() {
    let with = |line: &str, material: &str| {
        let spray = format!("measured whole-milk 6 gal\n    {line}");
        wrong(
            "purpose-against-status",
            0,
            &[
                ("measured whole-milk 6 gal", &spray),
                ("material whole-milk", &format!("{material}\nmaterial whole-milk")),
            ],
        )
    };
    assert_eq!(codes(&with("measured oil 1 qt", "material oil\n    form liquid\n")), ["status-unwritten"]);
    let oil = |status: &str| with("measured oil 1 qt", &format!("material oil\n    form liquid\n    {status}\n"));
    assert!(codes(&oil("registration 1-2")).is_empty());
    assert!(codes(&oil("status minimum-risk\n    active sesame-oil 5 %")).is_empty());
    assert_eq!(codes(&oil("status adjuvant")), ["purpose-against-status"]);
    assert_eq!(codes(&oil("status basic-substance")), ["purpose-against-status"]);
    // An ingredient that nothing declares may be a registered one.
    assert_eq!(codes(&with("measured oil 1 qt", "")), ["unknown-name"]);
}

#[test]
fn a_list_holds_for_the_days_on_which_it_was_in_force() {
    let on = |day: &str| codes(&wrong("minimum-risk-claim", 0, &[("neem-oil", "chitosan"), ("2026-05-14", day)]));
    assert_eq!(on("2023-01-08"), ["minimum-risk-claim"]);
    assert!(on("2023-01-09").is_empty());
}

#[test]
fn an_active_ingredient_that_could_not_be_read_is_not_missing() {
    let lost = wrong("minimum-risk-claim", 0, &[("neem-oil 70 %", "neem-oil 170 %")]);
    assert!(!codes(&lost).contains(&"minimum-risk-claim"));
}

#[test]
fn the_strength_of_a_basic_substance_is_compared_exactly() {
    let strength = |milk: &str| {
        codes(&wrong("basic-substance-use", 0, &[("cow-milk 2 L", milk), ("fruit set, BBCH 71", "BBCH 55")]))
    };
    for good in ["cow-milk 10 L", "cow-milk 40 L"] {
        assert!(strength(good).is_empty(), "{good}");
    }
    for bad in ["cow-milk 9.99 L", "cow-milk 40.01 L"] {
        assert_eq!(strength(bad), ["basic-substance-use"], "{bad}");
    }
    // By weight nobody can tell without its density.
    let by_weight = wrong(
        "basic-substance-use",
        0,
        &[
            ("cow-milk 2 L", "milk-powder 2 kg"),
            ("material cow-milk\n    form liquid", "material milk-powder\n    form dry\n    class milk"),
            ("fruit set, BBCH 71", "BBCH 55"),
        ],
    );
    assert!(codes(&by_weight).is_empty());
}

#[test]
fn sprays_of_a_basic_substance_are_counted_row_by_row() {
    let seventh = wrong("basic-substance-use", 3, &[]);
    let at = seventh.rfind("spray south-vines").unwrap();
    let rows = |first: &str, last: &str| {
        let text = format!(
            "{}{}",
            seventh[..at].replace("spray south-vines", first),
            seventh[at..].replace("spray south-vines", last)
        );
        codes(&text.replace("    area 0.5 ha", "    area 0.5 ha\n    rows 1 to 10"))
    };
    assert_eq!(rows("spray south-vines", "spray south-vines rows 1 to 5"), ["basic-substance-use"]);
    assert!(rows("spray south-vines rows 6 to 10", "spray south-vines rows 1 to 5").is_empty());
}

#[test]
fn a_basic_substance_that_feeds_is_no_matter_of_its_approval() {
    let feeds = ("status basic-substance", "status basic-substance\n    purpose nutrition");
    for (code, number) in [("basic-substance-use", 0), ("refused-substance", 0)] {
        assert!(codes(&wrong(code, number, &[feeds])).is_empty(), "{code}");
    }
}

#[test]
fn approvals_hold_from_their_day_to_their_last_day() {
    let used = |day: &str| codes(&wrong("input-not-approved", 1, &[("2026-07-03", day)]));
    assert!(used("2026-02-20").is_empty());
    assert!(used("2026-06-30").is_empty());
    assert_eq!(used("2026-02-19"), ["input-not-approved"]);
    assert_eq!(used("2026-07-01"), ["input-not-approved"]);
    // A shorter approval later on does not end a longer one.
    let both = wrong(
        "input-not-approved",
        1,
        &[("2026-07-03", "2026-03-01\n\napprove kelp\n    until 2026-04-01\n\n2026-06-01")],
    );
    assert!(codes(&both).is_empty());
    // An approval that cannot be read may be the one.
    let lost = wrong("input-not-approved", 0, &[("approve kelp", "approve klep")]);
    assert_eq!(codes(&lost), ["unknown-name"]);
}

#[test]
fn a_test_is_of_the_block_and_kind_and_on_the_day_or_before() {
    let sample = |changes: &[(&str, &str)]| codes(&wrong("need-test-missing", 0, changes));
    assert!(sample(&[("sample creek-pear", "sample creek-pear, hill-pear")]).is_empty());
    assert!(sample(&[("sample creek-pear", "sample creek-pear, hill-pear"), ("kind tissue", "kind soil")]).is_empty());
    assert_eq!(
        sample(&[("sample creek-pear", "sample creek-pear, hill-pear"), ("kind tissue", "kind water")]),
        ["need-test-missing"]
    );
    assert!(sample(&[("sample creek-pear", "sample creek-pear, hill-pear"), ("2026-04-02", "2026-05-14")]).is_empty());
    assert!(sample(&[("origin synthetic", "origin natural")]).is_empty());
    assert!(sample(&[("    origin synthetic\n", "")]).is_empty());
    for evidence in ["leaf test of 2026-04-02", "soil report, 2 April 2026", "report 26-0417 of Apr 2"] {
        let reason = format!("reason nutrition\n    evidence {evidence}");
        assert!(sample(&[("reason nutrition", &reason)]).is_empty(), "{evidence}");
    }
    assert_eq!(sample(&[("reason nutrition", "reason nutrition\n    evidence leaf test")]), ["need-test-missing"]);
}

#[test]
fn copper_is_watched_by_a_limit_or_a_recent_soil_sample() {
    let with = |entry: &str| {
        codes(&wrong("build-up-unwatched", 0, &[("material copper", &format!("{entry}\nmaterial copper"))]))
    };
    for limit in ["at most 4 lb of Cu per acre", "at most 4 lb of copper per acre", "at most 4 sprays of copper"] {
        assert!(with(&format!("limits house-rules\n    season {limit}\n")).is_empty(), "{limit}");
    }
    for other in ["at most 4 lb of Zn per acre", "at most 4 sprays of sulfur", "at most 4 sprays of copper on peach"] {
        assert_eq!(with(&format!("limits house-rules\n    season {other}\n")), ["build-up-unwatched"], "{other}");
    }
    let sampled = |day: &str| {
        let page = format!("{day}\n\nsample creek-pear, hill-pear\n    kind soil\n\n2026-02-20");
        codes(&wrong("build-up-unwatched", 0, &[("2026-02-20", &page)]))
    };
    assert!(sampled("2025-01-01").is_empty());
    assert_eq!(sampled("2024-12-31"), ["build-up-unwatched"]);
    // Once a year.
    let next = "    evidence plan section 4\n\n2027-04-14\n\nspray hill-pear\n    measured copper-hydroxide 3 lb\n    volume 60 gal\n    time 06:00 to 07:15\n    by t-marsh\n    rig airblast\n    target pear scab\n    evidence plan section 4\n";
    let text = wrong("build-up-unwatched", 1, &[]);
    let text = format!("{}{next}", text.trim_end().trim_end_matches("evidence plan section 4").trim_end_matches(' '));
    let text = text.replace("person t-marsh", "block hill-pear\n    crop pear\n    area 1 acre\n    location above the creek\n    certified organic\n\nperson t-marsh");
    let found: Vec<&str> = codes(&text).into_iter().filter(|code| *code == "build-up-unwatched").collect();
    assert_eq!(found.len(), 2, "{text}");
}

#[test]
fn a_pick_of_other_rows_or_of_the_hour_before_is_not_meant() {
    let rows = ("    area 0.3 acre", "    area 0.3 acre\n    rows 1 to 10");
    let picked = |row: &str| {
        let text = wrong(
            "manure-before-harvest",
            1,
            &[rows, ("spray long-bed", "spray long-bed rows 1 to 5"), ("harvest long-bed", row)],
        );
        codes(&text)
    };
    assert!(picked("harvest long-bed rows 6 to 10").is_empty());
    assert_eq!(picked("harvest long-bed rows 5 to 6"), ["manure-before-harvest"]);
    let same_day =
        wrong("manure-before-harvest", 1, &[("2026-07-12", "2026-04-14"), ("07:00 to 11:30", "04:00 to 05:30")]);
    assert!(codes(&same_day).is_empty());
    let both = found(&wrong("manure-before-harvest", 0, &[("2026-08-20", "2026-08-11")]));
    assert_eq!(both.len(), 1);
    assert!(both[0].working.iter().any(|line| line.ends_with("1 pick more")), "{:?}", both[0].working);
}

#[test]
fn a_tea_is_untreated_only_with_what_comes_from_animals() {
    let plant = wrong("tea-on-food", 0, &[("class animal-origin, compost", "class plant-waste")]);
    assert!(codes(&plant).is_empty());
    let mains = wrong("tea-on-food", 1, &[("kind surface", "kind mains")]);
    assert!(codes(&mains).is_empty());
    let unknown = wrong("tea-on-food", 1, &[("    kind surface\n", "")]);
    assert!(codes(&unknown).is_empty());
    // Which batch it was is not known.
    let batch = wrong("tea-on-food", 0, &[("batch tea-3", "batch tea-4")]);
    assert!(!codes(&batch).contains(&"tea-on-food"));
}
