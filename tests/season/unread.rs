//! What could not be read is never taken for clear: small journals with one slip each, asked when every interval that
//! can be read is over, or where what is lost may be longer. All farms and numbers are invented.

use foliary::duty::{Duties, clearance};
use foliary::season::{Season, Verdict};
use foliary::syntax::EntryWord;
use foliary::text::Sources;
use foliary::{Farm, compile_farm};

use super::clearance::local;
use Verdict::{Clear, Closed, NotKnown};

/// A farm with two blocks, two sprayers, and a material of 24 hours.
const FARM: &str = "farm f\n    timezone America/Boise\n\nblock a\n    crop pear\n    area 1 acre\n    rows 1 to 9\n
block b\n    crop pear\n    area 1 acre\n\nrig r\n    tank 100 gal\n
material s\n    form liquid\n    reentry 24 h\n    preharvest 24 h\n
material k\n    form liquid\n    reentry none stated\n    preharvest none stated\n";

/// Whether people may enter a block and whether it may be picked.
fn verdicts(text: &str, block: &str, at: &str) -> (Verdict, Verdict) {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, None);
    let moment = season.zone.moment(local(at), None, false).0;
    let board = clearance(&Duties::new(&season), moment);
    let row = board.blocks.iter().find(|row| &*journal.block(row.block).named.name == block).unwrap();
    (row.parts[0].people.verdict(), row.parts[0].picking.verdict())
}

/// The farm with a page of 14 May 2026.
fn page(standing: &str, dated: &str) -> String {
    format!("{FARM}\n{standing}\n2026-05-14\n\n{dated}")
}

/// What is said of block a two days after a spray.
fn after(standing: &str, spray: &str) -> (Verdict, Verdict) {
    verdicts(&page(standing, spray), "a", "2026-05-17 12:00")
}

const READ: &str = "spray a\n    mix m, 10 gal\n    time 06:00 to 07:00\n";
const ASK: (Verdict, Verdict) = (NotKnown, NotKnown);

/// A mix of something harmless and what else is said of it.
fn mix(more: &str) -> String {
    format!("mix m\n    in 10 gal\n    put k 1 oz\n{more}\n")
}

#[test]
fn a_time_that_could_not_be_read_may_be_the_last() {
    assert_eq!(after(&mix(""), READ), (Clear, Clear));
    for time in ["25:00 to 26:00", "18:00 to 19:99", "late", "18:00 to 40:00"] {
        assert_eq!(after(&mix(""), &format!("{READ}    time {time}\n")), ASK, "{time}");
    }
}

#[test]
fn a_line_of_a_mix_that_could_not_be_read_may_be_something_more_in_the_tank() {
    for line in ["    put s ?? oz\n", "    puts s 1 oz\n", "    put zz 1 oz\n", "    s 1 oz\n"] {
        assert_eq!(after(&mix(line), READ), ASK, "{line}");
    }
    // With an amount that could not be read it is known what is in it: its intervals are over.
    assert_eq!(after(&mix("    put s 1 ozz\n"), READ), (Clear, Clear));
    assert_eq!(verdicts(&page(&mix("    put s 1 ozz\n"), READ), "a", "2026-05-14 12:00"), (Closed, Closed));
}

#[test]
fn a_mix_or_a_material_that_is_declared_twice_is_not_known_and_neither_are_two_mixes_of_one_spray() {
    assert_eq!(after(&(mix("") + "\nmix m\n    in 10 gal\n    put s 1 oz\n"), READ), ASK);
    assert_eq!(after(&(mix("") + "\nmaterial k\n    form liquid\n    reentry 900 h\n"), READ), ASK);
    let two = "spray a\n    mix m, 10 gal\n    mix n, 10 gal\n    time 06:00 to 07:00\n";
    assert_eq!(after(&(mix("") + "\nmix n\n    in 10 gal\n    put s 1 oz\n"), two), ASK);
}

#[test]
fn an_interval_of_a_material_that_could_not_be_read_may_be_the_longer_one() {
    let with = |lines: &str| format!("material t\n    form liquid\n{lines}\n\nmix m\n    in 10 gal\n    put t 1 oz\n");
    let label = "    reentry 1 h\n    preharvest 1 h\n";
    assert_eq!(after(&with(label), READ), (Clear, Clear));
    for line in ["    reentry 24 hh", "    reentri 24 ? h", "    preharvest ?? days", "    reentry 900 h"] {
        assert_eq!(after(&with(&format!("{label}{line}")), READ), ASK, "{line}");
    }
    // Only what keeps pickers out is lost.
    assert_eq!(after(&with(&format!("{label}    preharvest 14 dyas on pear")), READ), (Clear, NotKnown));
    assert_eq!(after(&with("    reentry 24 hh\n    preharvest 1 h"), READ), ASK);
}

#[test]
fn a_line_of_a_batch_that_could_not_be_read_may_be_something_more_in_the_tank() {
    let batch = |line: &str| {
        format!(
            "brew k1 of k\n{line}\nspray a\n    put k 1 oz per gal\n    volume 10 gal\n    batch k1\n    time 06:00 to 07:00\n"
        )
    };
    assert_eq!(after("", &batch("")), (Clear, Clear));
    assert_eq!(after("", &batch("    put s ?? oz\n")), ASK);
}

#[test]
fn of_two_lines_for_one_crop_the_longest_holds_in_any_order() {
    let with = |lines: &str| {
        let standing = format!("material t\n    form liquid\n    reentry 1 h\n{lines}\n");
        page(&standing, "spray a\n    put t 1 oz per gal\n    volume 10 gal\n    time 06:00 to 07:00\n")
    };
    let (short, long) = ("    preharvest 3 days", "    preharvest 14 days");
    for on in ["", " on pear"] {
        for lines in [format!("{short}{on}\n{long}{on}"), format!("{long}{on}\n{short}{on}")] {
            assert_eq!(verdicts(&with(&lines), "a", "2026-05-27 23:59").1, Closed, "{lines}");
            assert_eq!(verdicts(&with(&lines), "a", "2026-05-28 00:00").1, Clear, "{lines}");
        }
    }
    // The crop's own line counts, also where the one for all is longer.
    assert_eq!(verdicts(&with(&format!("{short} on pear\n{long}")), "a", "2026-05-17 00:00").1, Clear);
    // 3 days are over at the midnight of 17 May, 70 hours five hours later.
    for lines in [format!("{short}\n    preharvest 70 h"), format!("    preharvest 70 h\n{short}")] {
        assert_eq!(verdicts(&with(&lines), "a", "2026-05-17 04:59").1, Closed, "{lines}");
        assert_eq!(verdicts(&with(&lines), "a", "2026-05-17 05:00").1, Clear, "{lines}");
    }
}

#[test]
fn rinse_water_and_rests_that_could_not_be_read_are_asked_for_where_they_were_put() {
    let used = "spray b\n    put k 1 oz per gal\n    volume 10 gal\n    rig r\n    time 06:00 to 07:00\n";
    let on_a = |entry: &str| verdicts(&page("", &format!("{used}{entry}")), "a", "2026-05-17 12:00");
    let clean = |lines: &str| on_a(&format!("\nclean r\n    time 08:00 to 09:00\n{lines}"));
    assert_eq!(clean("    rinse 10 gal on a\n"), (Clear, Clear));
    assert_eq!(clean("    rinse ?? gal on a\n"), ASK);
    assert_eq!(clean("    rinsing 10 gal on a\n"), ASK);
    assert_eq!(clean("    rinse 10 gal on b\n    rinse 10 gal on a\n"), ASK);
    assert_eq!(on_a("\nclean x\n    time 08:00 to 09:00\n    rinse 10 gal on a\n"), ASK);
    assert_eq!(clean("    method water on a\n"), (Clear, Clear));
    assert_eq!(on_a("    leftover ?? gal on a\n"), ASK);
    assert_eq!(on_a("    leftover 1 gal on b\n    leftover 1 gal on a\n"), ASK);
    // No spray says what was in it.
    let lone = "clean r\n    time 08:00 to 09:00\n    rinse 10 gal on a\n";
    assert_eq!(verdicts(&page("", lone), "a", "2026-05-17 12:00"), ASK);
    // Before that day it says nothing, and after a year it is over.
    let text = page("", &format!("{used}\nclean r\n    rinse ?? gal on a\n"));
    assert_eq!(verdicts(&text, "a", "2026-05-13 12:00"), (Clear, Clear));
    assert_eq!(verdicts(&text, "a", "2027-05-15 00:00"), (Clear, Clear));
}

#[test]
fn a_spray_whose_first_line_could_not_be_read_is_asked_for_where_it_names_a_block() {
    let done = "    put s 1 oz per gal\n    volume 10 gal\n    time 06:00 to 07:00\n";
    for rows in ["rows 1 to x", "rows ??", "!!"] {
        let text = page("", &format!("spray a {rows}\n{done}"));
        assert_eq!(verdicts(&text, "a", "2026-05-14 12:00").0, NotKnown, "{rows}");
        assert_eq!(verdicts(&text, "b", "2026-05-14 12:00").0, Clear, "{rows}");
    }
}

#[test]
fn a_block_whose_crop_is_not_known_may_have_the_crop_of_the_longer_interval() {
    let standing = |crop: &str| {
        format!(
            "block c\n    area 1 acre\n{crop}\nmaterial t\n    form liquid\n    reentry 1 h\n    preharvest 1 h\n    preharvest 90 days on pear\n"
        )
    };
    let spray = "spray c\n    put t 1 oz per gal\n    volume 10 gal\n    time 06:00 to 07:00\n";
    let said = |crop: &str, at: &str| verdicts(&page(&standing(crop), spray), "c", at);
    assert_eq!(said("    crop plum\n", "2026-05-17 12:00"), (Clear, Clear));
    assert_eq!(said("    crop pear\n", "2026-05-17 12:00"), (Clear, Closed));
    assert_eq!(said("", "2026-05-17 12:00"), (Clear, NotKnown));
    assert_eq!(said("    crop ??, ,\n", "2026-05-17 12:00"), (Clear, NotKnown));
    // The interval for all crops is known to run.
    assert_eq!(said("", "2026-05-14 07:30"), (Closed, Closed));
}

#[test]
fn an_end_before_its_start_may_be_of_the_next_day() {
    let spray =
        |time: &str| page("", &format!("spray a\n    put s 1 oz per gal\n    volume 10 gal\n    time {time}\n"));
    let said = |time: &str, at: &str| verdicts(&spray(time), "a", at).0;
    // From 07:00 on the 15th, 24 h.
    assert_eq!(said("6:00 pm to 7:00 am", "2026-05-16 06:59"), Closed);
    assert_eq!(said("6:00 pm to 7:00 am", "2026-05-16 07:00"), Clear);
    // One that ends as it starts is taken for the whole day, as is one of a day before.
    assert_eq!(said("18:00 to 18:00", "2026-05-15 23:58"), Closed);
    assert_eq!(said("18:00 to 18:00", "2026-05-15 23:59"), Clear);
    assert_eq!(said("18:00 to 2026-05-13 19:00", "2026-05-15 23:59"), Clear);
    // Rinse water of a cleaning that began in the evening.
    let text = page(
        "",
        "spray b\n    put s 1 oz per gal\n    volume 10 gal\n    rig r\n    time 06:00 to 07:00\n
clean r\n    time 20:00 to 1:00\n    rinse 10 gal on a\n",
    );
    assert_eq!(verdicts(&text, "a", "2026-05-16 00:59").0, Closed);
    assert_eq!(verdicts(&text, "a", "2026-05-16 01:00").0, Clear);
}

#[test]
fn what_went_into_a_batch_counts_where_the_batch_was_sprayed() {
    let text = |put: &str| {
        page(
            "",
            &format!(
                "brew k1 of k\n    {put}\n\nspray a\n    put k 1 oz per gal\n    volume 10 gal\n    batch k1\n    time 06:00 to 07:00\n"
            ),
        )
    };
    let said = |put: &str, at: &str| verdicts(&text(put), "a", at);
    assert_eq!(said("put s 1 oz", "2026-05-15 06:59"), (Closed, Closed));
    assert_eq!(said("put s 1 oz", "2026-05-15 07:00"), (Clear, Clear));
    assert_eq!(said("put k 1 oz", "2026-05-15 06:59"), (Clear, Clear));
    assert_eq!(said("put zz 1 oz", "2026-05-17 07:00"), ASK);
    assert_eq!(verdicts(&text("").replace("batch k1", "batch k2"), "a", "2026-05-17 07:00"), ASK);
}

#[test]
fn a_spray_or_a_rinse_without_a_page_or_a_sprayer_is_asked_for_where_it_names_a_block() {
    let rinse = "    time 08:00 to 09:00\n    rinse 10 gal on a\n";
    for clean in ["clean\n", "clean ?? !\n", "clean r ?? !\n"] {
        let text = page("", &format!("{clean}{rinse}\nwork b\n    time 08:00 to 09:00\n"));
        assert_eq!(verdicts(&text, "a", "2026-05-17 12:00"), ASK, "{clean}");
        assert_eq!(verdicts(&text, "b", "2026-05-17 12:00"), (Clear, Clear), "{clean}");
    }
    let undated = "spray a\n    put s 1 oz per gal\n    volume 10 gal\n    time 06:00 to 07:00\n";
    assert_eq!(verdicts(&page(undated, ""), "a", "2026-05-14 12:00"), ASK);
}

#[test]
fn a_rinse_that_names_no_block_that_is_known_may_be_anywhere() {
    let lost = |lines: &str| {
        let mut sources = Sources::new();
        let text = page("", &format!("clean r\n    time 08:00 to 09:00\n{lines}"));
        let file = sources.add("journal.spray", text).unwrap();
        let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
        Season::new(&journal, &sources, None).lost(EntryWord::Clean)
    };
    assert!(!lost("    rinse 10 gal on a\n") && !lost("    rinse 10 gal, into the pit\n") && !lost(""));
    assert!(lost("    rinse ?? gal\n") && lost("    rinse 10 gal on zz\n"));
}

/// A block called nearly like the one that was sprayed may be the one that was; others are not held for it.
#[test]
fn a_name_with_a_slip_holds_the_block_that_it_is_like() {
    let orchard = page(
        "block lower-plums\n    crop plum\n    area 1 acre\n",
        "spray lower-plum\n    put k 1 oz per gal\n    volume 9 gal\n    time 06:00 to 07:00\n",
    );
    assert_eq!(verdicts(&orchard, "lower-plums", "2026-05-17 12:00"), ASK);
    assert_eq!(verdicts(&orchard, "b", "2026-05-17 12:00"), (Clear, Clear));
    // The day before, nothing had come there.
    assert_eq!(verdicts(&orchard, "lower-plums", "2026-05-13 12:00"), (Clear, Clear));
    let rest = page(
        "block lower-plums\n    crop plum\n    area 1 acre\n",
        &format!("{READ}    leftover 2 gal on lower-plum\n"),
    );
    let rest = format!("{}{rest}", mix(""));
    assert_eq!(verdicts(&rest, "lower-plums", "2026-05-17 12:00"), ASK);
}
