//! When rounds are due, worked by hand. Rain: Kansas State University Extension's rule of thumb for protectants (less than
//! 1 in: no change; 1 to 2 in: half of the days that are left; more than 2 in: spray again), here as a farm's own rule.

use foliary::plan::{Ended, State, Waits};
use foliary::season::Taken;

use super::{day, in_the_way, journal, line, spray, state, windows, with_plan};

const WEEKLY: &str = "    start 2026-05-14\n    rounds 3 to 4, every 7 to 10 days\n";

#[test]
fn windows_count_from_the_last_round_and_then_from_the_planned_day() {
    let text = journal(WEEKLY, &spray("2026-05-15"));
    assert_eq!(
        windows(&text, "2026-05-18"),
        [
            (2, day("2026-05-22"), day("2026-05-25"), day("2026-05-22")),
            (3, day("2026-05-29"), day("2026-06-01"), day("2026-05-29")),
            (4, day("2026-06-05"), day("2026-06-08"), day("2026-06-05")),
        ]
    );
    with_plan(&text, "2026-05-18", |_, plan| {
        let optional: Vec<bool> = line(plan).rounds.iter().map(|round| round.window.optional).collect();
        assert_eq!(optional, [false, false, true]);
    });
}

#[test]
fn a_round_is_to_come_due_and_overdue_by_the_calendar() {
    let text = journal(WEEKLY, &spray("2026-05-15"));
    for (today, wanted) in [
        ("2026-05-21", State::ToCome),
        ("2026-05-22", State::Due),
        ("2026-05-25", State::Due),
        ("2026-05-26", State::Overdue(1)),
        ("2026-06-24", State::Overdue(30)),
    ] {
        assert_eq!(state(&text, today), wanted, "{today}");
    }
    // A pause of more than 30 days, and of three times the interval, ends a run.
    assert!(matches!(state(&text, "2026-06-25"), State::Ended(Ended::LongPast(_))));
}

#[test]
fn an_overdue_round_is_planned_for_today_and_the_next_counts_from_it() {
    let text = journal(WEEKLY, &spray("2026-05-15"));
    let planned = windows(&text, "2026-05-28");
    assert_eq!(planned[0].3, day("2026-05-28"));
    assert_eq!(planned[1], (3, day("2026-06-04"), day("2026-06-07"), day("2026-06-04")));
}

#[test]
fn all_rounds_done_is_done_and_an_optional_one_that_is_over_is_not_missed() {
    let three = ["2026-05-15", "2026-05-23", "2026-05-31"].map(spray).concat();
    assert_eq!(state(&journal(WEEKLY, &three), "2026-06-08"), State::Due);
    assert_eq!(state(&journal(WEEKLY, &three), "2026-06-11"), State::Done);
    let four = format!("{three}{}", spray("2026-06-08"));
    assert_eq!(state(&journal(WEEKLY, &four), "2026-06-09"), State::Done);
}

#[test]
fn the_last_day_of_a_program_cuts_its_windows() {
    let program = format!("{WEEKLY}    until 2026-05-30\n");
    let text = journal(&program, &spray("2026-05-15"));
    let planned = windows(&text, "2026-05-18");
    assert_eq!(planned.len(), 2, "round 4 would begin on 5 June");
    assert_eq!(planned[1].2, day("2026-05-30"));
    let text = journal(&format!("{WEEKLY}    until 2026-05-21\n"), &spray("2026-05-15"));
    assert_eq!(state(&text, "2026-05-18"), State::Ended(Ended::Until(day("2026-05-21"))));
}

#[test]
fn a_skipped_round_counts_as_that_round_on_its_day() {
    let skip = "\n2026-05-24\n\nskip creek-pear\n    program pear-rounds\n    reason too hot\n";
    let text = journal(WEEKLY, &format!("{}{skip}", spray("2026-05-15")));
    assert_eq!(windows(&text, "2026-05-25")[0], (3, day("2026-05-31"), day("2026-06-03"), day("2026-05-31")));
    with_plan(&text, "2026-05-25", |season, plan| {
        let taken: Vec<Taken> = line(plan).steps.iter().map(|step| step.taken).collect();
        assert_eq!(taken, [Taken::Sprayed(0), Taken::Skipped(0)]);
        assert_eq!(season.words(season.journal.skips[0].reason.unwrap()), "too hot");
    });
}

fn rain(day: &str, inches: &str) -> String {
    format!("\n{day}\n\nweather\n    rain {inches} in\n")
}

#[test]
fn rain_halves_the_days_that_are_left_or_asks_for_a_new_spray() {
    let program = format!("{WEEKLY}    halve after 1 in of rain\n    renew after 2 in of rain\n    source own rule\n");
    let of = |rains: &[(&str, &str)]| {
        let rains: String = rains.iter().map(|(day, inches)| rain(day, inches)).collect();
        let text = journal(&program, &format!("{}{rains}", spray("2026-05-14")));
        let planned = windows(&text, "2026-05-18");
        (planned[0].1, planned[0].2)
    };
    let days = |first: &str, last: &str| (day(first), day(last));
    // Less than an inch changes nothing: 7 to 10 days after 14 May.
    assert_eq!(of(&[("2026-05-16", "0.99")]), days("2026-05-21", "2026-05-24"));
    // An inch by 16 May: 5 days left are 3, 8 are 4.
    assert_eq!(of(&[("2026-05-16", "1")]), days("2026-05-19", "2026-05-20"));
    // The same in two rains, reached on 17 May: 4 left are 2, 7 are 4.
    assert_eq!(of(&[("2026-05-16", "0.4"), ("2026-05-17", "0.6")]), days("2026-05-19", "2026-05-21"));
    // Rain of the day of the spray may have come before it.
    assert_eq!(of(&[("2026-05-14", "3")]), days("2026-05-21", "2026-05-24"));
    // Two inches: due on the day of the rain, in time until the day after.
    assert_eq!(of(&[("2026-05-16", "2")]), days("2026-05-16", "2026-05-17"));
    assert_eq!(of(&[("2026-05-16", "1.5"), ("2026-05-18", "0.5")]), days("2026-05-18", "2026-05-19"));
    // Rain after the window is of no matter.
    assert_eq!(of(&[("2026-06-16", "3")]), days("2026-05-21", "2026-05-24"));
}

#[test]
fn without_a_rule_of_the_farm_s_own_rain_changes_nothing() {
    let text = journal(WEEKLY, &format!("{}{}", spray("2026-05-14"), rain("2026-05-16", "4")));
    assert_eq!(windows(&text, "2026-05-18")[0].1, day("2026-05-21"));
    let limits = "\nlimits house-rules\n    halve after 1 in of rain\n    source own rule\n";
    let text = journal(WEEKLY, &format!("{limits}{}{}", spray("2026-05-14"), rain("2026-05-16", "4")));
    assert_eq!(windows(&text, "2026-05-18")[0].1, day("2026-05-19"));
}

#[test]
fn a_code_is_the_anchor_at_the_first_stage_at_or_beyond_it() {
    let program = "    start BBCH 67\n    rounds 2, every 7 to 10 days\n";
    let seen = |day: &str, stage: &str| format!("\n{day}\n\nobserve creek-pear\n    stage {stage}\n");
    let waits = journal(program, &seen("2026-05-01", "full bloom"));
    assert_eq!(state(&waits, "2026-05-02"), State::NotBegun(Waits::Sight));
    // Petal fall of pears is 67; a written code counts; a later stage counts as well.
    for stage in ["petal fall", "first fruitlets, BBCH 71", "end of bloom"] {
        let text = journal(program, &format!("{}{}", seen("2026-05-01", "full bloom"), seen("2026-05-09", stage)));
        assert_eq!(windows(&text, "2026-05-10")[0].1, day("2026-05-09"), "{stage}");
    }
    let last_year = journal(program, &seen("2025-05-09", "petal fall"));
    assert_eq!(state(&last_year, "2026-05-10"), State::NotBegun(Waits::Sight));
}

#[test]
fn a_count_is_the_anchor_where_it_is_over_the_percentage() {
    let program = "    start incidence leaf-curl over 10 %\n    rounds 2, every 4 days\n";
    let of = |count: &str| {
        let seen = format!("\n2026-05-09\n\nobserve creek-pear\n    incidence {count}\n");
        state(&journal(program, &seen), "2026-05-09")
    };
    // Exactly 10 % is not over it.
    assert_eq!(of("leaf-curl 10 of 100 leaves"), State::NotBegun(Waits::Sight));
    assert_eq!(of("leaf-curl 3 of 30 leaves"), State::NotBegun(Waits::Sight));
    assert_eq!(of("leaf-curl 11 of 100 leaves"), State::Due);
    assert_eq!(of("leaf-curl 101 of 1000 leaves"), State::Due);
    assert_eq!(of("leaf-spot 90 of 100 leaves"), State::NotBegun(Waits::Sight));
    let program = "    start severity leaf-curl over 4 %\n    rounds 2, every 4 days\n";
    let of = |percent: &str| {
        let seen = format!("\n2026-05-09\n\nobserve creek-pear\n    severity leaf-curl {percent} % of leaf area\n");
        state(&journal(program, &seen), "2026-05-09")
    };
    assert_eq!((of("4"), of("4.1")), (State::NotBegun(Waits::Sight), State::Due));
}

#[test]
fn stages_of_a_program_bar_its_rounds_before_and_end_it_after() {
    let program = format!("{WEEKLY}    window BBCH 59 to 75\n");
    let seen = |stage: &str| format!("\n2026-05-13\n\nobserve creek-pear\n    stage {stage}\n");
    let early = journal(&program, &seen("pink"));
    assert_eq!(state(&early, "2026-05-14"), State::Blocked(0));
    with_plan(&early, "2026-05-14", |_, plan| {
        let round = &line(plan).rounds[0];
        assert_eq!((round.day, round.conflicts.len()), (day("2026-05-15"), 0), "the block may have come to it by then");
        assert_eq!(round.blocked[0].0, day("2026-05-14"));
        assert!(round.blocked[0].1[0].headline.contains("BBCH 57"), "{:?}", round.blocked);
    });
    assert_eq!(state(&journal(&program, &seen("petal fall")), "2026-05-14"), State::Due);
    assert!(matches!(state(&journal(&program, &seen("BBCH 77")), "2026-05-14"), State::Ended(Ended::Stage(_))));
}

#[test]
fn a_round_moves_to_the_first_day_that_nothing_bars() {
    let oil = "\nmaterial summer-oil\n    form liquid\n    reentry 4 h\n    class oil\n    apart 10 days from kelp\n\nmix oil-wash\n    in 1 gal\n    put summer-oil 1 fl oz\n\n\
               2026-05-13\n\nspray creek-pear\n    mix oil-wash, 60 gal\n    time 06:00 to 07:00\n";
    // Due from 21 to 24 May; oil of 13 May and 10 days: clear on 23 May.
    let text = journal("    start 2026-05-21\n    rounds 2, every 7 to 10 days\n", oil);
    assert_eq!(windows(&text, "2026-05-20")[0], (1, day("2026-05-21"), day("2026-05-24"), day("2026-05-23")));
    // What follows counts from the day that it moved to.
    assert_eq!(windows(&text, "2026-05-20")[1].1, day("2026-05-30"));
    assert_eq!(state(&text, "2026-05-21"), State::Blocked(0));
    assert_eq!(state(&text, "2026-05-23"), State::Due);
    // Where no day of the window is clear, the round stays on the first and says why.
    let text = journal("    start 2026-05-16\n    rounds 2, every 7 to 10 days\n", oil);
    assert_eq!(windows(&text, "2026-05-15")[0].3, day("2026-05-16"));
    assert_eq!(in_the_way(&text, "2026-05-15"), ["kept-too-close"]);
}

#[test]
fn a_harvest_that_is_near_and_a_forecast_stand_in_the_way() {
    let sulfur = "\nmaterial sulfur\n    form dry\n    reentry 4 h\n    preharvest 14 days\n    within temperature at most 85 F\n\nmix cover\n    in 1 gal\n    put sulfur 1 oz wt\n\n\
                  program covers\n    mix cover\n    blocks creek-pear\n    start 2026-08-08\n    rounds 1, every 7 days\n    volume 60 gal\n";
    let text = journal("    start 2026-05-14\n    rounds 1, every 7 days\n", sulfur);
    // Picking begins on 20 August, the 12th day after 8 August.
    with_plan(&text, "2026-08-01", |_, plan| {
        let round = &plan.lines[1].rounds[0];
        assert_eq!(round.conflicts[0].by.word(), "harvest-in-interval");
        assert!(plan.has_errors());
    });
    let early = text.replace("start 2026-08-08", "start 2026-08-03");
    with_plan(&early, "2026-08-01", |_, plan| assert!(plan.lines[1].rounds[0].conflicts.is_empty()));
    let hot = format!("{early}\n2026-08-03\n\nforecast\n    reading 06:00 88 F\n");
    with_plan(&hot, "2026-08-01", |_, plan| {
        let round = &plan.lines[1].rounds[0];
        assert_eq!(round.day, day("2026-08-04"));
        assert_eq!(round.blocked[0].1[0].by.word(), "weather-outside-limits");
    });
}

#[test]
fn a_re_entry_interval_bars_the_days_that_it_runs_through() {
    let text = journal("    start 2026-05-14\n    rounds 1, every 7 days\n", &spray("2026-05-01").replace("leaf-tonic, ", "wash, "))
        .replace("mix leaf-tonic\n    in 1 gal", "material wash-oil\n    form liquid\n    reentry 48 h\n\nmix wash\n    in 1 gal\n    put wash-oil 1 fl oz\n\nmix leaf-tonic\n    in 1 gal")
        .replace("2026-05-01", "2026-05-13");
    with_plan(&text, "2026-05-14", |_, plan| {
        let round = &line(plan).rounds[0];
        // Until 15 May 07:15: all of 14 May, and the early morning of 15 May.
        assert_eq!(round.blocked[0].1[0].by.word(), "re-entry");
        assert_eq!(round.day, day("2026-05-15"));
        assert_eq!(round.not_before.unwrap().local.to_string(), "2026-05-15 07:15:00");
    });
}

#[test]
fn a_program_that_cannot_be_planned_says_what_it_waits_for() {
    assert_eq!(state(&journal("    rounds 2, every 7 days\n", ""), "2026-05-14"), State::NotBegun(Waits::Start));
    let text = journal("    start 2026-05-14\n    rounds 2\n", &spray("2026-05-14"));
    assert_eq!(state(&text, "2026-05-15"), State::NotBegun(Waits::Interval));
    // A program that does not say how many rounds it has is planned one round ahead.
    let text = journal("    start 2026-05-14\n    rounds every 7 days\n", &spray("2026-05-14"));
    assert_eq!(windows(&text, "2026-05-15").len(), 1);
}

/// A jar that is past its day and one that is not ready yet, of something home-made.
fn jars(first_use_by: &str, second: &str) -> String {
    let program = "    start 2026-05-14\n    rounds 3 to 4, every 7 to 10 days\n";
    let whey = "\nmaterial whey\n    form liquid\n    home-made yes\n";
    let brews = format!(
        "\n2026-04-01\n\nbrew jar-1 of whey\n    amount 2 gal\n    ready 2026-04-08\n    use-by {first_use_by}\n\
         \n2026-05-17\n\nbrew jar-2 of whey\n    amount {second}\n    ready 2026-05-24\n    use-by 2026-07-01\n"
    );
    let sprayed = spray("2026-05-15").replace("time", "batch jar-1\n    time");
    journal(program, &format!("{whey}{brews}{sprayed}")).replace("put kelp 1 fl oz", "put whey 2 fl oz")
}

#[test]
fn a_round_waits_for_a_batch_that_may_be_used() {
    // 60 gal take 120 fl oz; jar-1 has 256 - 120 = 136 fl oz left.
    let text = jars("2026-06-30", "1 gal");
    assert_eq!((state(&text, "2026-05-22"), windows(&text, "2026-05-22")[0].3), (State::Due, day("2026-05-22")));
    let text = jars("2026-05-20", "1 gal");
    assert_eq!((state(&text, "2026-05-22"), windows(&text, "2026-05-22")[0].3), (State::Blocked(0), day("2026-05-24")));
    with_plan(&text, "2026-05-22", |_, plan| {
        let (first, conflicts) = &line(plan).rounds[0].blocked[0];
        assert_eq!((*first, conflicts[0].by.word()), (day("2026-05-22"), "batch"));
        assert_eq!(
            conflicts[0].headline,
            "no batch of whey may be used on 22 May 2026: jar-1 was good until 20 May 2026 and jar-2 is ready from \
             24 May 2026"
        );
    });
}

#[test]
fn a_batch_with_too_little_left_stands_in_the_way() {
    let text = jars("2026-05-20", "100 fl oz");
    assert_eq!(in_the_way(&text, "2026-05-25"), ["batch"]);
    with_plan(&text, "2026-05-25", |_, plan| {
        let conflict = &line(plan).rounds[0].conflicts[0];
        assert_eq!(conflict.headline, "jar-2 holds 100 fl oz of whey on 25 May 2026; this round takes 120 fl oz");
        assert_eq!(conflict.working, ["jar-1 was good until 20 May 2026"]);
    });
}

#[test]
fn a_later_round_sees_what_earlier_ones_take_of_the_batches() {
    // jar-1 has 136 fl oz, of which the round of 22 May takes 120; with jar-2 that leaves 116 for the next.
    let by = |text: &str, round: usize| {
        with_plan(text, "2026-05-22", |_, plan| {
            let conflicts = &line(plan).rounds[round].conflicts;
            conflicts.iter().map(|conflict| (conflict.by.word(), conflict.headline.clone())).collect::<Vec<_>>()
        })
    };
    let text = jars("2026-06-30", "100 fl oz");
    assert!(by(&text, 0).is_empty());
    let headline = "jar-1 and jar-2 hold 116 fl oz of whey on 29 May 2026 after the rounds planned before it; this round \
                    takes 120 fl oz";
    assert_eq!(by(&text, 1), [("batch", headline.to_string())]);
    let headline = "jar-1 and jar-2 hold 0 fl oz of whey on 5 June 2026 after the rounds planned before it; this round \
                    takes 120 fl oz";
    assert_eq!(by(&text, 2), [("batch", headline.to_string())]);
    let text = jars("2026-06-30", "104 fl oz");
    assert!(by(&text, 1).is_empty(), "as much as it takes is enough");
}

#[test]
fn what_was_left_in_a_tank_closes_the_rows_that_it_went_onto() {
    let oil = "\nblock hill-pear\n    crop pear\n    area 0.5 acre\n\nmaterial wash-oil\n    form liquid\n    reentry 48 h\n\n\
               mix wash\n    in 1 gal\n    put wash-oil 1 fl oz\n\n\
               2026-05-13\n\nspray hill-pear\n    mix wash, 30 gal\n    time 06:00 to 07:15\n    leftover 2 gal on creek-pear rows 1 to 2\n";
    let text = journal("    start 2026-05-14\n    rounds 1, every 7 days\n", oil)
        .replace("area 1.2 acre\n", "area 1.2 acre\n    rows 1 to 8, 18 ft apart\n");
    with_plan(&text, "2026-05-14", |_, plan| {
        let round = &line(plan).rounds[0];
        assert_eq!(round.day, day("2026-05-15"));
        assert_eq!(
            round.blocked[0].1[0].headline,
            "the re-entry interval of wash-oil on creek-pear rows 1 to 2 runs until 15 May 2026 07:15, all of 14 May 2026"
        );
    });
}
