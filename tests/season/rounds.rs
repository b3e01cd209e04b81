//! Rounds and runs of programs.

use chrono::NaiveDate;
use foliary::season::{Season, due_after};
use foliary::text::Sources;
use foliary::{Farm, compile_farm};
use proptest::prelude::*;

use super::codes;

/// A journal with a program on one block, and the pages given.
fn journal(program: &str, pages: &str) -> String {
    format!(
        "farm larkspur-bend\n    timezone America/Boise\n\nblock creek-pear\n    crop pear\n    area 1.2 acre\n    rows 1 to 14\n\n\
         material kelp\n    form liquid\n\nmix leaf-tonic\n    in 1 gal\n    put kelp 1 fl oz\n\n\
         program pear-rounds\n    mix leaf-tonic\n    blocks creek-pear\n{program}\n\n{pages}"
    )
}

fn spray(day: NaiveDate, rows: &str, more: &str) -> String {
    format!("{day}\n\nspray creek-pear{rows}\n    mix leaf-tonic, 20 gal\n    time 06:00 to 07:15\n{more}\n")
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// For each run: its anchor, and the days of its rounds.
fn runs(text: &str) -> Vec<(Option<NaiveDate>, Vec<NaiveDate>)> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    assert!(journal.troubles.is_empty(), "{:?}", journal.troubles);
    let season = Season::new(&journal, &sources, None);
    let day = |&at: &usize| season.sprays[at].start.local.date();
    season.runs.iter().map(|run| (run.anchor.map(|(day, _)| day), run.rounds.iter().map(day).collect())).collect()
}

fn days(from: &str, steps: &[i64]) -> Vec<NaiveDate> {
    let from = day(from);
    std::iter::once(0).chain(steps.iter().copied()).map(|step| from + chrono::Duration::days(step)).collect()
}

fn sprays(days: &[NaiveDate]) -> String {
    days.iter().map(|&day| spray(day, "", "")).collect()
}

#[test]
fn pieces_of_a_round_are_one_round() {
    let program = "    rounds 2 to 3, every 7 to 10 days";
    let text = [
        spray(day("2026-05-14"), " rows 1 to 7", ""),
        spray(day("2026-05-15"), " rows 8 to 14", ""),
        spray(day("2026-05-22"), "", "    stopped row 9: wind\n"),
        spray(day("2026-05-23"), "", ""),
        spray(day("2026-05-30"), " odd rows", ""),
        spray(day("2026-05-30"), " even rows", ""),
    ];
    let rounds = vec![day("2026-05-14"), day("2026-05-22"), day("2026-05-30")];
    assert_eq!(runs(&journal(program, &text.concat())), [(None, rounds)]);
    assert!(codes(&journal(program, &text.concat())).is_empty());
}

#[test]
fn a_long_pause_begins_a_new_run() {
    let program = "    rounds 2 to 3, every 7 to 10 days";
    let (spring, summer) = (days("2026-05-14", &[8, 16]), days("2026-08-02", &[8]));
    let all = [spring.clone(), summer.clone()].concat();
    assert_eq!(runs(&journal(program, &sprays(&all))), [(None, spring), (None, summer)]);
}

#[test]
fn a_stage_is_the_anchor_of_each_year() {
    let program = "    start stage petal fall\n    rounds 2 to 3, every 7 to 10 days";
    let seen = |day: &str| format!("{day}\n\nobserve creek-pear\n    stage petal fall\n\n");
    let (one, other) = (days("2025-05-16", &[8]), days("2026-05-12", &[8, 17]));
    let text = [seen("2025-05-14"), sprays(&one), seen("2026-05-11"), seen("2026-05-13"), sprays(&other)].concat();
    let wanted = [(Some(day("2025-05-14")), one), (Some(day("2026-05-11")), other)];
    assert_eq!(runs(&journal(program, &text)), wanted);
}

#[test]
fn sprays_of_the_years_before_a_start_day_are_of_no_run() {
    let program = "    start 2026-05-14\n    rounds 2, every 7 to 10 days";
    let now = days("2026-05-14", &[8]);
    let all = [days("2025-05-14", &[3, 6, 9, 12]), now.clone()].concat();
    assert_eq!(runs(&journal(program, &sprays(&all))), [(Some(day("2026-05-14")), now)]);
    assert!(codes(&journal(program, &sprays(&all))).is_empty());
}

#[test]
fn a_program_never_begun_has_a_run_without_rounds() {
    let program = "    start 2026-05-14\n    rounds 2, every 7 to 10 days";
    assert_eq!(runs(&journal(program, "")), [(Some(day("2026-05-14")), vec![])]);
    assert_eq!(codes(&journal(program, "")), ["rounds-missed"]);
}

/// A round every 4 days, 3 or 4 times: common practice, no source.
#[test]
fn every_4_days_3_or_4_rounds() {
    let program = "    rounds every 4 days, 3 or 4 rounds";
    let of = |steps: &[i64]| codes(&journal(program, &sprays(&days("2026-05-14", steps))));
    assert!(of(&[4, 8]).is_empty());
    assert!(of(&[4, 8, 12]).is_empty());
    assert!(of(&[3, 8, 11]).is_empty(), "a day's give either way");
    assert_eq!(of(&[4]), ["rounds-missed"]);
    assert_eq!(of(&[4, 8, 12, 16]), ["rounds-extra"]);
    assert_eq!(of(&[2, 6]), ["round-early"]);
    assert_eq!(of(&[4, 10]), ["round-late"]);
}

proptest! {
    /// Rounds are early or late exactly by the calendar, and their number is theirs to have.
    #[test]
    fn rounds_are_counted_by_the_calendar(
        gaps in prop::collection::vec(1i64..28, 1..8),
        shortest in 2i64..9,
        more in 0i64..6,
        fewest in 1usize..6,
        extra in 0usize..3,
    ) {
        let (longest, most) = (shortest + more, fewest + extra);
        let program = format!("    rounds {fewest} to {most}, every {shortest} to {longest} days");
        let steps: Vec<i64> = gaps.iter().scan(0, |sum, gap| { *sum += gap; Some(*sum) }).collect();
        let found = codes(&journal(&program, &sprays(&days("2026-03-01", &steps))));
        let give = i64::from(more == 0);
        let count = |code: &str| found.iter().filter(|found| **found == code).count();
        prop_assert_eq!(count("round-early"), gaps.iter().filter(|&&gap| gap < shortest - give).count());
        prop_assert_eq!(count("round-late"), gaps.iter().filter(|&&gap| gap > longest + give).count());
        prop_assert_eq!(count("rounds-extra"), usize::from(gaps.len() + 1 > most));
        prop_assert_eq!(count("rounds-missed"), usize::from(gaps.len() + 1 < fewest));
    }
}

#[test]
fn intervals_that_no_calendar_holds_are_no_due_days() {
    let text = journal("    rounds 2, every 99999999999 days", &sprays(&days("2026-05-14", &[])));
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    assert_eq!(due_after(&journal.programs[0], day("2026-05-14")), None);
}

#[test]
fn a_program_with_a_start_day_is_of_that_year() {
    let program = "    start 2025-05-01\n    rounds 2 to 3, every 7 to 10 days";
    let (own, later) = (days("2025-05-02", &[8]), days("2026-06-01", &[20]));
    let all = [own.clone(), later].concat();
    assert_eq!(runs(&journal(program, &sprays(&all))), [(Some(day("2025-05-01")), own)]);
    assert!(codes(&journal(program, &sprays(&all))).is_empty());
    // Over New Year it goes on without a pause, and no further.
    let program = "    start 2025-12-20\n    rounds 3, every 60 to 90 days";
    let own = days("2025-12-20", &[70]);
    let all = [own.clone(), days("2026-10-01", &[])].concat();
    assert_eq!(runs(&journal(program, &sprays(&all))), [(Some(day("2025-12-20")), own)]);
}

#[test]
fn a_year_without_a_sight_of_the_stage_is_not_judged() {
    let program = "    start stage petal fall\n    rounds 2 to 3, every 7 to 10 days";
    let seen = "2025-05-14\n\nobserve creek-pear\n    stage petal fall\n\n";
    let (one, other) = (days("2025-05-16", &[8]), days("2026-05-12", &[20]));
    let text = [seen, &sprays(&one), &sprays(&other)].concat();
    assert_eq!(runs(&journal(program, &text)), [(Some(day("2025-05-14")), one)]);
    assert!(codes(&journal(program, &text)).is_empty());
}
