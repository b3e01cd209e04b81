//! Who may enter and what may be picked, at a moment: cases worked by hand. The numbers of intervals are invented; that
//! re-entry overrides a shorter harvest interval is from Washington State University, Tree Fruit, "Entry and pre-harvest
//! intervals"; that a missing end is the end of the day is common practice, no source.

use chrono::NaiveDateTime;
use foliary::duty::{Duties, clearance};
use foliary::season::{PartClearance, Rule, Season, State, Treated, Unknown, Verdict};
use foliary::syntax::Which;
use foliary::text::Sources;
use foliary::{Farm, compile_farm};

use Verdict::{Clear, Closed, NotKnown};

/// A farm whose clocks change, two blocks and some materials.
const FARM: &str = "farm larkspur-bend
    timezone America/Boise
    rulebook us-organic

block creek-pear
    crop pear
    area 1.2 acre
    rows 1 to 14
    certified organic

block hill-quince
    crop quince
    area 1 acre

material sulfur
    form dry
    reentry 24 h
    preharvest 3 days on pear
    preharvest 30 h on quince

material oil
    form liquid
    reentry 72 h
    preharvest 2 days

material kelp
    form liquid
    reentry none stated
    preharvest none stated

material fell
    form liquid
    preharvest none stated

material brook
    form liquid
    reentry 4 h
    preharvest 1 day on quince

material manure-tea
    form liquid
    class raw-manure
    reentry none stated
    preharvest none stated
";

pub(super) fn local(text: &str) -> NaiveDateTime {
    NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap()
}

/// The parts of a block at a moment.
fn parts_at(text: &str, block: usize, at: &str, which: Option<Which>) -> Vec<PartClearance> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, None);
    let moment = season.zone.moment(local(at), which, false).0;
    clearance(&Duties::new(&season), moment).blocks.swap_remove(block).parts
}

/// The only part of a block.
fn whole(text: &str, block: usize, at: &str) -> PartClearance {
    let mut parts = parts_at(text, block, at, None);
    assert_eq!(parts.len(), 1, "{parts:?}");
    assert!(parts[0].rows.is_empty());
    parts.remove(0)
}

fn until(state: &State) -> Option<String> {
    state.closed.as_ref().map(|closed| closed.until.local.format("%Y-%m-%d %H:%M").to_string())
}

/// Whether people may enter and it may be picked, with the moments at which both turn clear.
fn said(text: &str, block: usize, at: &str) -> (Verdict, Option<String>, Verdict, Option<String>) {
    let part = whole(text, block, at);
    (part.people.verdict(), until(&part.people), part.picking.verdict(), until(&part.picking))
}

fn day(day: &str, entries: &str) -> String {
    format!("\n{day}\n\n{entries}")
}

fn spray(ground: &str, products: &str, more: &str) -> String {
    let puts: String = products.split(' ').map(|name| format!("    put {name} 1 oz per gal\n")).collect();
    format!("spray {ground}\n{puts}    volume 10 gal\n{more}\n")
}

fn closed(until: &str) -> (Verdict, Option<String>) {
    (Closed, Some(until.to_string()))
}

/// Both closed: until when people, until when picking.
fn both(people: &str, picking: &str) -> (Verdict, Option<String>, Verdict, Option<String>) {
    let ((people, one), (picking, other)) = (closed(people), closed(picking));
    (people, one, picking, other)
}

const CLEAR: (Verdict, Option<String>, Verdict, Option<String>) = (Clear, None, Clear, None);

#[test]
fn a_block_that_was_never_sprayed_is_clear() {
    assert_eq!(said(FARM, 0, "2026-05-14 06:00"), CLEAR);
}

#[test]
fn an_interval_runs_from_the_end_and_is_over_at_its_last_minute() {
    let text = FARM.to_string() + &day("2026-05-14", &spray("creek-pear", "sulfur", "    time 05:50 to 07:20\n"));
    assert_eq!(said(&text, 0, "2026-05-14 05:49"), CLEAR);
    assert_eq!(said(&text, 0, "2026-05-14 05:50"), both("2026-05-15 07:20", "2026-05-17 00:00"));
    assert_eq!(said(&text, 0, "2026-05-15 07:19"), both("2026-05-15 07:20", "2026-05-17 00:00"));
    // Day 0 is 14 May, day 3 is 17 May.
    assert_eq!(said(&text, 0, "2026-05-15 07:20"), (Clear, None, Closed, Some("2026-05-17 00:00".into())));
    assert_eq!(said(&text, 0, "2026-05-16 23:59"), (Clear, None, Closed, Some("2026-05-17 00:00".into())));
    assert_eq!(said(&text, 0, "2026-05-17 00:00"), CLEAR);
    assert_eq!(said(&text, 1, "2026-05-14 07:30"), CLEAR);
}

#[test]
fn while_it_is_sprayed_nobody_is_in_it_whatever_the_interval() {
    let text = FARM.to_string() + &day("2026-05-14", &spray("creek-pear", "kelp", "    time 05:50 to 07:20\n"));
    assert_eq!(said(&text, 0, "2026-05-14 06:00"), both("2026-05-14 07:20", "2026-05-14 07:20"));
    let part = whole(&text, 0, "2026-05-14 06:00");
    let why = &part.people.closed.unwrap().why;
    assert_eq!((why.len(), &why[0].rule, why[0].material), (1, &Rule::Spraying, None));
    assert_eq!(said(&text, 0, "2026-05-14 07:20"), CLEAR);
}

#[test]
fn hours_are_hours_that_pass_when_the_clocks_go_forward() {
    // 8 March 2026: 02:00 became 03:00. 24 h after 19:30 is 20:30 on the wall.
    let text = FARM.to_string() + &day("2026-03-07", &spray("hill-quince", "sulfur", "    time 18:00 to 19:30\n"));
    assert_eq!(said(&text, 1, "2026-03-08 20:29"), both("2026-03-08 20:30", "2026-03-09 02:30"));
    // And 30 h is 02:30 of the 9th: on the wall 31 h.
    assert_eq!(said(&text, 1, "2026-03-08 20:30"), (Clear, None, Closed, Some("2026-03-09 02:30".into())));
    assert_eq!(said(&text, 1, "2026-03-09 02:30"), CLEAR);
}

#[test]
fn hours_are_hours_that_pass_when_the_clocks_go_back() {
    // 1 November 2026: 02:00 became 01:00. 24 h after 01:15 of 31 October is 01:15 the first time it comes.
    let text = FARM.to_string() + &day("2026-10-31", &spray("creek-pear", "sulfur", "    time 00:15 to 01:15\n"));
    let people = |at: &str, which| {
        let part = parts_at(&text, 0, at, Some(which)).remove(0);
        (part.people.verdict(), until(&part.people))
    };
    assert_eq!(people("2026-11-01 01:14", Which::First), closed("2026-11-01 01:15"));
    assert_eq!(people("2026-11-01 01:15", Which::First), (Clear, None));
    // The clock shows it once more, and by then it was clear for an hour.
    assert_eq!(people("2026-11-01 01:14", Which::Second), (Clear, None));
    // Picking waits for day 3 on the calendar.
    assert_eq!(
        until(&parts_at(&text, 0, "2026-11-01 01:15", Some(Which::Second))[0].picking).unwrap(),
        "2026-11-03 00:00"
    );
}

#[test]
fn an_end_in_the_repeated_hour_is_the_later_one() {
    let text = FARM.to_string() + &day("2026-11-01", &spray("creek-pear", "brook", "    time 00:30 to 01:30\n"));
    // 01:30 the second time is 08:30 by UTC; four hours later the wall shows 05:30.
    assert_eq!(said(&text, 0, "2026-11-01 03:00").1.unwrap(), "2026-11-01 05:30");
}

#[test]
fn days_are_counted_from_the_day_of_the_end() {
    let text =
        FARM.to_string() + &day("2026-05-14", &spray("creek-pear", "sulfur", "    time 22:00 to 01:10 next day\n"));
    assert_eq!(said(&text, 0, "2026-05-15 00:30"), both("2026-05-16 01:10", "2026-05-18 00:00"));
}

#[test]
fn a_spray_in_sessions_runs_from_the_last() {
    let sessions = "    time 05:00 to 07:00\n    time 2026-05-15 04:30 to 06:10\n";
    let text = FARM.to_string() + &day("2026-05-14", &spray("creek-pear", "sulfur", sessions));
    for at in ["2026-05-14 12:00", "2026-05-15 05:00", "2026-05-15 12:00"] {
        assert_eq!(said(&text, 0, at), both("2026-05-16 06:10", "2026-05-18 00:00"), "{at}");
    }
    assert_eq!(said(&text, 0, "2026-05-14 04:59"), CLEAR);
}

#[test]
fn a_missing_end_is_the_end_of_the_day_and_a_missing_time_the_whole_day() {
    let text = FARM.to_string() + &day("2026-05-14", &spray("creek-pear", "kelp sulfur", "    time 05:50\n"));
    assert_eq!(said(&text, 0, "2026-05-14 06:00"), both("2026-05-15 23:59", "2026-05-17 00:00"));
    let part = whole(&text, 0, "2026-05-15 06:00");
    assert!(part.people.closed.unwrap().why[0].end_assumed);
    let text = FARM.to_string() + &day("2026-05-14", &spray("creek-pear", "kelp", ""));
    assert_eq!(said(&text, 0, "2026-05-13 23:59"), CLEAR);
    assert_eq!(said(&text, 0, "2026-05-14 00:00"), both("2026-05-14 23:59", "2026-05-14 23:59"));
    assert_eq!(said(&text, 0, "2026-05-14 23:59"), CLEAR);
}

#[test]
fn an_older_spray_with_a_longer_interval_still_holds() {
    let text = FARM.to_string()
        + &day("2026-05-14", &spray("hill-quince", "oil", "    time 06:00 to 07:00\n"))
        + &day("2026-05-15", &spray("hill-quince", "brook", "    time 06:00 to 07:00\n"));
    // 72 h from the first: 17 May 07:00; 4 h from the second: 15 May 11:00.
    assert_eq!(said(&text, 1, "2026-05-15 08:00"), both("2026-05-17 07:00", "2026-05-17 07:00"));
    let part = whole(&text, 1, "2026-05-15 08:00");
    let why: Vec<_> = part.people.closed.unwrap().why.iter().map(|why| until_of(why.until.local)).collect();
    assert_eq!(why, ["2026-05-17 07:00", "2026-05-15 11:00"]);
}

fn until_of(local: NaiveDateTime) -> String {
    local.format("%Y-%m-%d %H:%M").to_string()
}

#[test]
fn re_entry_overrides_a_shorter_harvest_interval() {
    // Oil: 72 h against 2 days, the case that the source works.
    let text = FARM.to_string() + &day("2026-05-14", &spray("hill-quince", "oil", "    time 06:00 to 07:00\n"));
    assert_eq!(said(&text, 1, "2026-05-16 12:00"), both("2026-05-17 07:00", "2026-05-17 07:00"));
}

/// Rows as they are told, with until when people are kept out.
type RowsUntil = (Vec<(u32, Option<u32>, bool)>, Option<String>);

fn rows(text: &str, block: usize, at: &str) -> Vec<RowsUntil> {
    let one = |part: PartClearance| {
        let runs = part.rows.iter().map(|run| (run.first, run.last, run.every_other)).collect();
        (runs, until(&part.people))
    };
    parts_at(text, block, at, None).into_iter().map(one).collect()
}

#[test]
fn rows_that_were_not_sprayed_are_clear() {
    let page = |rows: &str| {
        FARM.to_string()
            + &day("2026-05-14", &spray(&format!("creek-pear {rows}"), "brook", "    time 06:00 to 07:00\n"))
    };
    let held = || Some("2026-05-14 11:00".to_string());
    let at = "2026-05-14 08:00";
    assert_eq!(
        rows(&page("rows 1 to 7"), 0, at),
        [(vec![(1, Some(7), false)], held()), (vec![(8, Some(14), false)], None)]
    );
    assert_eq!(
        rows(&page("odd rows"), 0, at),
        [(vec![(1, Some(13), true)], held()), (vec![(2, Some(14), true)], None)]
    );
    assert_eq!(
        rows(&page("rows 3 to 5, 9"), 0, at),
        [
            (vec![(1, Some(2), false), (6, Some(8), false), (10, Some(14), false)], None),
            (vec![(3, Some(5), false), (9, Some(9), false)], held()),
        ]
    );
    // Every other alley reaches every row.
    assert_eq!(rows(&page("alternate rows"), 0, at), [(vec![], held())]);
    // All of its rows are the whole block, and rows that it does not have are told as they are written.
    assert_eq!(rows(&page("rows 1 to 14"), 0, at), [(vec![], held())]);
    assert_eq!(
        rows(&page("rows 20 to 22"), 0, at),
        [(vec![(1, Some(14), false)], None), (vec![(20, Some(22), false)], held())]
    );
}

#[test]
fn halves_sprayed_alike_are_one_part_again() {
    let done = "    time 06:00 to 07:00\n";
    let text = FARM.to_string()
        + &day(
            "2026-05-14",
            &(spray("creek-pear rows 1 to 7", "oil", done) + &spray("creek-pear rows 8 to 14", "oil", done)),
        );
    // Two records, so two reasons: the parts are told apart, and both until the same moment.
    let held = || Some("2026-05-17 07:00".to_string());
    assert_eq!(
        rows(&text, 0, "2026-05-14 08:00"),
        [(vec![(1, Some(7), false)], held()), (vec![(8, Some(14), false)], held())]
    );
    assert_eq!(rows(&text, 0, "2026-05-17 07:00"), [(vec![], None)]);
}

#[test]
fn a_block_without_row_numbers_is_told_from_a_row_on() {
    let text =
        FARM.to_string() + &day("2026-05-14", &spray("hill-quince rows 1 to 3", "brook", "    time 06:00 to 07:00\n"));
    assert_eq!(
        rows(&text, 1, "2026-05-14 08:00"),
        [(vec![(1, Some(3), false)], Some("2026-05-14 11:00".into())), (vec![(4, None, false)], None)]
    );
}

#[test]
fn what_was_left_in_the_tank_closes_where_it_was_put() {
    let more = "    time 06:00 to 07:00\n    leftover 1 gal on creek-pear rows 10 to 11\n";
    let text = FARM.to_string() + &day("2026-05-14", &spray("hill-quince", "brook", more));
    assert_eq!(
        rows(&text, 0, "2026-05-14 08:00"),
        [
            (vec![(1, Some(9), false), (12, Some(14), false)], None),
            (vec![(10, Some(11), false)], Some("2026-05-14 11:00".into())),
        ]
    );
    let part = parts_at(&text, 0, "2026-05-14 08:00", None).remove(1);
    assert_eq!(part.people.closed.unwrap().why[0].treated, Treated::Leftover(0));
    // On pears brook has no harvest interval on record.
    assert_eq!(part.picking.verdict(), Closed);
    assert_eq!(part.picking.not_known.len(), 1);
}

#[test]
fn an_interval_that_is_not_written_is_not_known_for_a_year() {
    let text = FARM.to_string() + &day("2026-05-14", &spray("creek-pear", "fell", "    time 06:00 to 07:00\n"));
    assert_eq!(said(&text, 0, "2026-05-14 07:00"), (NotKnown, None, NotKnown, None));
    let part = whole(&text, 0, "2026-06-14 07:00");
    assert!(matches!(part.people.not_known[0].what, Unknown::Reentry(_)));
    assert_eq!(said(&text, 0, "2027-05-14 06:59").0, NotKnown);
    assert_eq!(said(&text, 0, "2027-05-14 07:00"), CLEAR);
    // A harvest interval that is written for another crop says nothing about pears.
    let text = FARM.to_string() + &day("2026-05-14", &spray("creek-pear", "brook", "    time 06:00 to 07:00\n"));
    assert_eq!(said(&text, 0, "2026-05-15 07:00"), (Clear, None, NotKnown, None));
}

#[test]
fn closed_and_not_known_are_both_said() {
    let text = FARM.to_string() + &day("2026-05-14", &spray("creek-pear", "fell sulfur", "    time 06:00 to 07:00\n"));
    let part = whole(&text, 0, "2026-05-14 08:00");
    assert_eq!((part.people.verdict(), part.people.not_known.len()), (Closed, 1));
    assert_eq!(until(&part.people).unwrap(), "2026-05-15 07:00");
    assert_eq!(said(&text, 0, "2026-05-15 07:00").0, NotKnown);
}

#[test]
fn what_nothing_declares_is_not_known_and_neither_is_an_empty_tank() {
    let done = "    time 06:00 to 07:00\n";
    for (entry, wanted) in [
        (spray("creek-pear", "kelp mystery", done), "undeclared"),
        (format!("spray creek-pear\n    mix mystery, 10 gal\n{done}"), "undeclared"),
        (format!("spray creek-pear\n{done}"), "tank"),
        (spray("creek-pear", "kelp", &format!("{done}    put sulfur lots and lots\n")), "line"),
    ] {
        let part = whole(&(FARM.to_string() + &day("2026-05-14", &entry)), 0, "2026-05-20 08:00");
        let found: Vec<&str> = part
            .people
            .not_known
            .iter()
            .map(|gap| match gap.what {
                Unknown::Undeclared(_) => "undeclared",
                Unknown::Tank => "tank",
                Unknown::Line => "line",
                _ => "other",
            })
            .collect();
        assert_eq!(found, [wanted], "{entry}");
        assert_eq!(part.picking.verdict(), NotKnown);
    }
}

/// 7 CFR 205.203(c)(1), as the rulebook us-organic has it: 120 days where the edible part touches the soil, 90 elsewhere.
#[test]
fn a_rulebooks_days_to_the_harvest_count_too() {
    let page = day("2026-05-01", &spray("creek-pear", "manure-tea", "    time 06:00 to 07:00\n"));
    let text = FARM.to_string() + &page;
    // 1 May and 90 days is 30 July; and 120 days 29 August, if the pears touch the soil, which is not said.
    let part = whole(&text, 0, "2026-06-01 08:00");
    assert_eq!((part.people.verdict(), until(&part.picking).unwrap().as_str()), (Clear, "2026-07-30 00:00"));
    assert!(matches!(&part.picking.closed.unwrap().why[0].rule, Rule::Asked(cited) if cited.contains("205.203")));
    assert_eq!(said(&text, 0, "2026-07-30 00:00").2, NotKnown);
    assert_eq!(said(&text, 0, "2026-08-29 00:00"), CLEAR);
    for (contact, clear) in [("no", "2026-07-30 00:00"), ("yes", "2026-08-29 00:00")] {
        let text = text.replacen(
            "    certified organic\n",
            &format!("    certified organic\n    soil-contact {contact}\n"),
            1,
        );
        let part = whole(&text, 0, "2026-06-01 08:00");
        assert_eq!((until(&part.picking).unwrap().as_str(), part.picking.not_known.len()), (clear, 0));
    }
}

/// A farm with two sprayers.
fn rigs() -> String {
    FARM.to_string() + "\nrig airblast\n    tank 100 gal\n\nrig wand\n    tank 4 gal\n"
}

fn clean(rig: &str, more: &str) -> String {
    format!("clean {rig}\n{more}\n")
}

#[test]
fn rinse_water_closes_where_it_was_put_from_the_end_of_the_cleaning() {
    let text = rigs()
        + &day(
            "2026-05-14",
            &(spray("hill-quince", "sulfur", "    time 06:00 to 07:00\n    rig airblast\n")
                + &spray("hill-quince", "oil", "    time 07:00 to 07:30\n    rig wand\n")
                + &clean("airblast", "    time 08:00 to 08:20\n    rinse 10 gal on creek-pear rows 1 to 2\n")),
        );
    let at = |at: &str| rows(&text, 0, at);
    assert_eq!(at("2026-05-14 07:59"), [(vec![], None)]);
    let held = Some("2026-05-15 08:20".to_string());
    let parts = [(vec![(1, Some(2), false)], held), (vec![(3, Some(14), false)], None)];
    assert_eq!(at("2026-05-14 08:00"), parts);
    assert_eq!(at("2026-05-15 08:19"), parts);
    // People may go in, pears are picked from day 3 on.
    let part = parts_at(&text, 0, "2026-05-15 08:20", None).remove(0);
    assert_eq!((part.people.verdict(), until(&part.picking).unwrap().as_str()), (Clear, "2026-05-17 00:00"));
    assert_eq!(part.picking.closed.unwrap().why[0].treated, Treated::Rinse(0));
    assert_eq!(at("2026-05-17 00:00"), [(vec![], None)]);
}

#[test]
fn a_cleaning_before_takes_what_was_in_the_sprayer() {
    let used = |rig: &str| spray("hill-quince", "sulfur", &format!("    time 06:00 to 07:00\n{rig}"));
    let first = |more: &str| clean("airblast", &format!("    time 07:10 to 07:20\n{more}"));
    let second = clean("airblast", "    time 07:30 to 07:40\n    rinse 10 gal on creek-pear\n");
    let page = |entries: String| rigs() + &day("2026-05-14", &entries);
    let verdict = |text: &str| parts_at(text, 0, "2026-05-14 08:00", None).remove(0).people.verdict();
    assert_eq!(verdict(&page(used("    rig airblast\n") + &second)), Closed);
    assert_eq!(verdict(&page(used("    rig airblast\n") + &first("") + &second)), Clear);
    // What no spray filled holds what nobody wrote down.
    assert_eq!(verdict(&page(used("    rig wand\n") + &second)), NotKnown);
    assert_eq!(verdict(&page(used("    rig wand\n") + &first("") + &second)), Clear);
    // A spray that names no sprayer may have been in it.
    assert_eq!(verdict(&page(used("") + &second)), NotKnown);
    assert_eq!(verdict(&page(used("") + &first("") + &second)), Clear);
}

#[test]
fn a_sprayer_filled_again_after_a_cleaning_is_rinsed_of_the_same_spray_again() {
    let sessions = "    time 06:00 to 07:00\n    time 10:00 to 11:00\n    rig airblast\n";
    let rinse = |time: &str, block: &str| clean("airblast", &format!("    time {time}\n    rinse 5 gal on {block}\n"));
    let text = rigs()
        + &day(
            "2026-05-14",
            &(spray("hill-quince", "sulfur", sessions)
                + &rinse("07:30 to 07:40", "creek-pear row 1")
                + &rinse("11:30 to 11:40", "creek-pear row 2")
                + &rinse("12:30 to 12:40", "creek-pear row 3")),
        );
    let until = |row: usize| rows(&text, 0, "2026-05-14 13:00")[row].1.clone();
    assert_eq!(until(0).unwrap(), "2026-05-15 07:40");
    assert_eq!(until(1).unwrap(), "2026-05-15 11:40");
    assert_eq!(until(2), None);
}

#[test]
fn a_cleaning_without_a_time_is_at_the_end_of_its_day() {
    let text = rigs()
        + &day(
            "2026-05-14",
            &(spray("hill-quince", "brook", "    time 06:00 to 07:00\n    rig airblast\n")
                + &clean("airblast", "    rinse 10 gal on creek-pear\n")),
        );
    assert_eq!(whole(&text, 0, "2026-05-15 03:58").people.verdict(), Closed);
    assert_eq!(until(&whole(&text, 0, "2026-05-14 10:00").people).unwrap(), "2026-05-15 03:59");
    assert_eq!(whole(&text, 0, "2026-05-15 03:59").people.verdict(), Clear);
}
