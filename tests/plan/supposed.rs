//! What if: a date, a rate or a block taken otherwise, and what would then break.

use chrono::NaiveDate;
use foliary::journal::stock_pantry;
use foliary::plan::{Desk, Line, Request, State, SupposeTrouble, WhatIf, plan, suppose, what_if};
use foliary::season::Season;
use foliary::text::Sources;
use foliary::{Farm, compile_farm};
use proptest::prelude::*;

use super::{day, journal, spray, with_plan};

const ROUNDS: &str = "    start 2026-05-14\n    rounds 3 to 4, every 7 to 10 days\n";

fn tried(text: &str, today: &str, suppositions: &[&str]) -> Result<WhatIf, SupposeTrouble> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, Some(day(today)));
    let request = Request::all(day(today));
    let before = plan(&season, &[file], &request).unwrap();
    let words: Vec<String> = suppositions.iter().map(|words| (*words).to_string()).collect();
    let supposed = suppose(&season, &[file], &words)?;
    let other = supposed.desk.compile();
    let then = Season::new(&other, supposed.desk.sources(), Some(day(today)));
    let planned = plan(&then, supposed.desk.files(), &request).unwrap();
    Ok(what_if((&season, &before), (&then, &planned), supposed.page))
}

fn new(what_if: &WhatIf) -> Vec<&'static str> {
    what_if.new.iter().map(|one| one.code).collect()
}

#[test]
fn a_start_that_is_moved_moves_the_rounds() {
    let changed = tried(&journal(ROUNDS, ""), "2026-05-01", &["program pear-rounds: start 2026-05-20"]).unwrap();
    let first = changed.moved[0];
    assert_eq!((first.before, first.then), (Some(day("2026-05-14")), Some(day("2026-05-20"))));
    assert_eq!(changed.moved.len(), 4);
    assert!(changed.new.is_empty() && changed.needs.is_empty());
}

#[test]
fn a_rate_that_breaks_a_limit_is_told_and_one_that_mends_it_is_gone() {
    let text = journal(ROUNDS, "").replace("form liquid\n", "form liquid\n    rate at most 2 fl oz per gal\n");
    let changed = tried(&text, "2026-05-01", &["mix leaf-tonic: put kelp 3 fl oz"]).unwrap();
    assert_eq!(new(&changed), ["rate-outside-range"]);
    assert_eq!(changed.needs.len(), 1, "three times as much is bought");
    let wrong = text.replace("put kelp 1 fl oz", "put kelp 3 fl oz");
    let changed = tried(&wrong, "2026-05-01", &["mix leaf-tonic: put kelp 2 fl oz"]).unwrap();
    assert!(changed.new.is_empty(), "{:?}", changed.new);
    assert_eq!(changed.gone[0].code, "rate-outside-range");
}

#[test]
fn what_a_check_finds_and_bars_a_round_as_well_is_told_once() {
    // What was measured gives the finding another line of working than the planned rounds have.
    let sprayed = spray("2026-05-14").replace("time", "measured kelp 60 fl oz\n    time");
    let text = journal(ROUNDS, &sprayed).replace("form liquid\n", "form liquid\n    rate at most 2 fl oz per gal\n");
    let changed = tried(&text, "2026-05-16", &["mix leaf-tonic: put kelp 3 fl oz"]).unwrap();
    let told = new(&changed).into_iter().filter(|code| *code == "rate-outside-range").count();
    assert_eq!(told, 1, "{:?}", changed.new);
}

#[test]
fn of_a_field_that_may_be_repeated_the_line_of_that_name_is_taken_otherwise() {
    let text = journal(ROUNDS, "\nmaterial whey\n    form liquid\n    reentry none stated\n")
        .replace("put kelp 1 fl oz\n", "put kelp 1 fl oz\n    put whey 2 fl oz\n");
    let changed = tried(&text, "2026-05-01", &["mix leaf-tonic: put whey 4 fl oz"]).unwrap();
    assert_eq!(changed.needs.len(), 1, "{:?}", changed.needs);
}

#[test]
fn a_block_more_is_a_round_more() {
    let text = journal(ROUNDS, "\nblock hill-pear\n    crop pear\n    area 0.5 acre\n");
    let changed = tried(&text, "2026-05-01", &["program pear-rounds: blocks creek-pear, hill-pear"]).unwrap();
    assert_eq!(changed.moved.len(), 4);
    assert!(changed.moved.iter().all(|moved| moved.before.is_none()));
}

#[test]
fn a_spray_that_is_supposed_is_judged_and_no_record_of_it_is_asked_for() {
    let text = journal(ROUNDS, &spray("2026-05-15"))
        .replace("form liquid\n", "form liquid\n    spacing 6 days\n")
        .replace("farm larkspur-bend\n", "farm larkspur-bend\n    rulebook us-worker-protection\n");
    let changed =
        tried(&text, "2026-05-16", &["2026-05-18 spray creek-pear: mix leaf-tonic, 60 gal; reason nutrition"]).unwrap();
    assert!(new(&changed).contains(&"spacing-too-short"), "{:?}", changed.new);
    for code in new(&changed) {
        assert!(!code.starts_with("posting") && !code.starts_with("record") && code != "future-date", "{code}");
    }
}

#[test]
fn what_cannot_be_understood_is_named() {
    let text = journal(ROUNDS, "");
    let of = |words: &str| tried(&text, "2026-05-01", &[words]).unwrap_err();
    for words in [
        "",
        "program",
        "program pear-rounds",
        "program pear-rounds:",
        "spray creek-pear: mix leaf-tonic",
        "2026-05-01: x",
    ] {
        assert!(matches!(of(words), SupposeTrouble::Shape(_)), "{words}");
    }
    let near = Some("pear-rounds".to_string());
    assert_eq!(
        of("program pear-round: start 2026-05-20"),
        SupposeTrouble::Unknown { head: "program pear-round".into(), near }
    );
    for words in [
        "program pear-rounds: strat 2026-05-20",
        "program pear-rounds: blocks hill",
        "2026-05-18 spray nowhere: mix leaf-tonic, 6 gal",
    ] {
        assert!(matches!(of(words), SupposeTrouble::Unread { .. }), "{words}: {}", of(words));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// To suppose what is already so changes nothing.
    #[test]
    fn to_suppose_nothing_changes_nothing(start in 0u64..30, today in 0u64..60, fewest in 1u32..4, more in 0u32..2, every in 2u32..12) {
        let from = |days: u64| NaiveDate::from_ymd_opt(2026, 5, 1).unwrap() + chrono::Days::new(days);
        let rounds = format!("rounds {fewest} to {}, every {every} days", fewest + more);
        let program = format!("    start {}\n    {rounds}\n", from(start));
        let text = journal(&program, &spray("2026-05-15"));
        let same = [format!("program pear-rounds: start {}", from(start)), format!("program pear-rounds: {rounds}"), "mix leaf-tonic: put kelp 1 fl oz".to_string()];
        let same: Vec<&str> = same.iter().map(String::as_str).collect();
        for suppositions in [&same[..], &[]] {
            let changed = tried(&text, &from(today).to_string(), suppositions).unwrap();
            prop_assert!(changed.new.is_empty() && changed.gone.is_empty(), "{:?}", changed);
            prop_assert!(changed.moved.is_empty() && changed.needs.is_empty(), "{:?}", changed);
            prop_assert_eq!(&changed.cost.0, &changed.cost.1);
        }
    }
}

#[test]
fn a_mix_over_the_label_bars_its_rounds_where_the_limit_holds() {
    let text = journal(ROUNDS, "\nblock hill-apple\n    crop apple\n    area 0.5 acre\n")
        .replace("blocks creek-pear\n", "blocks creek-pear, hill-apple\n")
        .replace("form liquid\n", "form liquid\n    rate at most 2 fl oz per gal\n")
        .replace("put kelp 1 fl oz", "put kelp 3 fl oz");
    let barred = |text: &str| {
        with_plan(text, "2026-05-14", |_, plan| {
            let by = |line: &Line| line.rounds[1].conflicts.iter().map(|one| one.by.word()).collect();
            plan.lines.iter().map(|line| (line.state, by(line))).collect::<Vec<(State, Vec<&str>)>>()
        })
    };
    let over: (State, Vec<&str>) = (State::Blocked(0), vec!["rate-outside-range"]);
    assert_eq!(barred(&text), [over.clone(), over.clone()]);
    let clear = (State::Due, Vec::new());
    assert_eq!(barred(&text.replace("put kelp 3 fl oz", "put kelp 2 fl oz")), [clear.clone(), clear.clone()]);
    let apples = text.replace("2 fl oz per gal\n", "2 fl oz per gal\n    rate at most 4 fl oz per gal on apple\n");
    assert_eq!(barred(&apples), [over, clear], "the label allows apples more");
}

#[test]
fn what_comes_from_the_pantry_is_known_to_the_plan_and_to_what_is_supposed() {
    let text = journal(ROUNDS, "\n2026-05-01\n\nreceive sweet-whey\n    amount 2 gal\n")
        .replace("currency USD\n", "currency USD\n    pantry yes\n")
        .replace("put kelp 1 fl oz\n", "put kelp 1 fl oz\n    put sweet-whey 2 fl oz\n");
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text).unwrap();
    stock_pantry(&mut sources).unwrap();
    let desk = Desk::up_to(&sources, &[file], day("2026-05-10")).unwrap();
    let known = desk.compile();
    assert!(known.troubles.is_empty(), "{:?}", known.troubles);
    let season = Season::new(&known, desk.sources(), Some(day("2026-05-10")));
    let request = Request::all(day("2026-05-10"));
    let before = plan(&season, desk.files(), &request).unwrap();
    // The acid is read before the whey, which counts as another number then.
    let words = ["mix leaf-tonic: put citric-acid 0.1 oz wt".to_string()];
    let supposed = suppose(&season, desk.files(), &words).unwrap();
    let other = supposed.desk.compile();
    let then = Season::new(&other, supposed.desk.sources(), Some(day("2026-05-10")));
    let planned = plan(&then, supposed.desk.files(), &request).unwrap();
    let changed = what_if((&season, &before), (&then, &planned), supposed.page);
    let names: Vec<&str> = changed.needs.iter().map(|need| &*need.material).collect();
    assert_eq!(names, ["citric-acid"]);
}
