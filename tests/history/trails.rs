//! Who entered what, and what changed since.

use foliary::history::Counting;

use super::made::{Made, git_is_there, histories};
use super::told;

const FARM: &str = "farm larkspur-bend\n  timezone America/Boise\n\nblock creek-pear\n  area 1 acre\n";
const FIRST: &str = "2026-05-14 Thu\nspray creek-pear\n  mix tonic, 60 gal\n  over 1.1 acre\n  by t-marsh\n";
const MENDED: &str = "2026-05-14 Thu\nspray creek-pear\n  mix tonic, 60 gal\n  over 1.2 acre\n  by t-marsh\n";
const LATER: &str = "\n2026-05-20 Wed\nobserve creek-pear\n  note Leaves look well. # not a remark\n";

fn when(day: u32) -> String {
    format!("2026-05-{day:02}T18:20:00-06:00")
}

/// A repository whose commits follow each other, a day each from 14 May on, each of a journal's text.
fn line(texts: &[&str]) -> Made {
    let mut made = Made::new();
    for (at, text) in texts.iter().enumerate() {
        made.then("Tansy Marsh", &when(14 + at as u32), &[("farm.spray", FARM), ("2026.spray", text)]);
    }
    made.done()
}

fn line_told(texts: &[&str]) -> String {
    told(line(texts).path(), Counting::All)
}

#[test]
fn a_tidied_record_has_not_changed() {
    if !git_is_there() {
        return;
    }
    let typed =
        "2026-05-14\nSpray creek-pear\n  Mix tonic,60gallons\n  OVER 1.1 acres\n  By t-marsh\n  volume 60 Gal\n";
    let laid = foliary::syntax::laid_out(typed);
    assert!(laid.contains("\n    mix tonic, 60 gal\n    over 1.1 acre\n"), "{laid}");
    let entered = "1 spray creek-pear: Tansy Marsh 05-14\n";
    assert_eq!(line_told(&[typed, &laid]), entered);
    // A change beside the tidying is one.
    let told = line_told(&[typed, &laid.replace("1.1", "1.2")]);
    assert!(told.starts_with(&format!("{entered}  Tansy Marsh 05-15: ")) && !told.contains("gone"), "{told}");
}

#[test]
fn a_record_is_entered_and_changed() {
    if !git_is_there() {
        return;
    }
    assert_eq!(line_told(&[FIRST]), "1 spray creek-pear: Tansy Marsh 05-14\n");
    let both = format!("{MENDED}{LATER}");
    assert_eq!(
        line_told(&[FIRST, MENDED, &both]),
        "1 spray creek-pear: Tansy Marsh 05-14\n  Tansy Marsh 05-15: -[over 1.1 acre] +[over 1.2 acre]\n\
         2 observe creek-pear: Tansy Marsh 05-16\n"
    );
}

#[test]
fn there_and_back_again_is_two_changes() {
    if !git_is_there() {
        return;
    }
    assert_eq!(
        line_told(&[FIRST, MENDED, FIRST]),
        "1 spray creek-pear: Tansy Marsh 05-14\n  Tansy Marsh 05-15: -[over 1.1 acre] +[over 1.2 acre]\n  \
         Tansy Marsh 05-16: -[over 1.2 acre] +[over 1.1 acre]\n"
    );
}

#[test]
fn blanks_remarks_line_ends_and_order_of_pages_change_nothing() {
    if !git_is_there() {
        return;
    }
    let plain = format!("{FIRST}{LATER}");
    let other = format!("# Copied out again.\r\n{}{}", LATER.replace('\n', "\r\n"), FIRST.replace("  ", "\t"))
        .replace("1.1 acre", "1.1  acre   # paced off")
        .replace("2026-05-14 Thu", "2026-05-14");
    assert_eq!(
        line_told(&[&plain, &other]),
        "1 observe creek-pear: Tansy Marsh 05-14\n2 spray creek-pear: Tansy Marsh 05-14\n"
    );
    // In a note, what follows a `#` is part of it.
    let note = plain.replace("# not", "# surely not");
    assert!(line_told(&[&plain, &note]).contains("+[note Leaves look well. # surely not a remark]"));
}

#[test]
fn files_and_records_move_without_a_change() {
    if !git_is_there() {
        return;
    }
    let mut made = Made::new();
    let both = format!("{FIRST}{LATER}");
    made.then("Tansy Marsh", &when(14), &[("farm.spray", FARM), ("2026.spray", &both)]);
    made.then("Robin Sedge", &when(15), &[("farm.spray", FARM), ("pages/2026.spray", &both)]);
    let apart = [("farm.spray", FARM), ("pages/2026.spray", FIRST), ("pages/looks.spray", LATER)];
    made.then("Robin Sedge", &when(16), &apart);
    let made = made.done();
    let same = "1 spray creek-pear: Tansy Marsh 05-14\n1 observe creek-pear: Tansy Marsh 05-14\n";
    assert_eq!(told(made.path(), Counting::All), same);
    // Not committed yet, it is no change either.
    std::fs::rename(made.path().join("pages"), made.path().join("old")).unwrap();
    assert_eq!(told(made.path(), Counting::All), same);
    // Moved and changed in one commit, the change is still found.
    let mut made = Made::new();
    made.then("Tansy Marsh", &when(14), &[("2026.spray", FIRST)]);
    made.then("Robin Sedge", &when(15), &[("pages/may.spray", MENDED)]);
    let one = "1 spray creek-pear: Tansy Marsh 05-14\n  Robin Sedge 05-15: -[over 1.1 acre] +[over 1.2 acre]\n";
    assert_eq!(told(made.done().path(), Counting::All), one);
}

#[test]
fn another_day_and_another_block_are_changes_of_the_record() {
    if !git_is_there() {
        return;
    }
    assert_eq!(
        line_told(&[FIRST, &FIRST.replace("05-14 Thu", "05-13 Wed")]),
        "1 spray creek-pear: Tansy Marsh 05-14\n  Tansy Marsh 05-15: 2026-05-14 -[] 2026-05-13 +[]\n"
    );
    assert_eq!(
        line_told(&[FIRST, &FIRST.replace("creek-pear", "hill-pear")]),
        "1 spray hill-pear: Tansy Marsh 05-14\n  Tansy Marsh 05-15: -[spray creek-pear] +[spray hill-pear]\n"
    );
    // A kind that was misspelt.
    assert_eq!(
        line_told(&[&FIRST.replace("spray", "spary"), FIRST]),
        "1 spray creek-pear: Tansy Marsh 05-14\n  Tansy Marsh 05-15: -[spary creek-pear] +[spray creek-pear]\n"
    );
}

#[test]
fn of_two_alike_the_right_one_changed() {
    if !git_is_there() {
        return;
    }
    let twice = "2026-05-14\nspray creek-pear\n  over 1 acre\n  time 05:50 to 06:20\n\nspray creek-pear\n  over 2 acre\n  \
                 time 19:00 to 20:10\n";
    let changed = twice.replace("over 2", "over 3");
    assert_eq!(
        line_told(&[twice, &changed]),
        "1 spray creek-pear: Tansy Marsh 05-14\n2 spray creek-pear: Tansy Marsh 05-14\n  \
         Tansy Marsh 05-15: -[over 2 acre] +[over 3 acre]\n"
    );
}

#[test]
fn what_is_not_committed_is_told_so() {
    if !git_is_there() {
        return;
    }
    let made = line(&[FIRST]);
    made.write("2026.spray", &format!("{MENDED}{LATER}"));
    assert_eq!(
        told(made.path(), Counting::All),
        "1 spray creek-pear: Tansy Marsh 05-14\n  not committed: -[over 1.1 acre] +[over 1.2 acre]\n\
         2 observe creek-pear: not committed\n"
    );
    let (_, found) = histories(&[made.path().to_path_buf()], Counting::All);
    assert!(found[0].head().unwrap().uncommitted);
    made.write("2026.spray", &FIRST.replace('\n', "\r\n"));
    let (_, found) = histories(&[made.path().to_path_buf()], Counting::All);
    assert!(!found[0].head().unwrap().uncommitted, "line ends are no change");
    assert_eq!(found[0].commit(found[0].head().unwrap().commit).id.len(), 40);
}

#[test]
fn a_signed_record_that_changes_is_marked() {
    if !git_is_there() {
        return;
    }
    let signed = format!("{FIRST}  signed by t-marsh on 2026-05-15\n");
    let noted = format!("{signed}  note Wind got up at the end.\n");
    assert_eq!(
        line_told(&[FIRST, &signed, &noted]),
        "1 spray creek-pear: Tansy Marsh 05-14\n  \
         Tansy Marsh 05-15: -[] +[signed by t-marsh on 2026-05-15]\n  \
         Tansy Marsh 05-16 after signing: -[] +[note Wind got up at the end.]\n"
    );
    // A signature that is taken away or overwritten was given all the same, and stays given.
    let anew = MENDED.to_string() + "  signed by t-marsh on 2026-05-16\n";
    let told = line_told(&[&signed, &anew, FIRST]);
    assert_eq!(told.matches("after signing").count(), 2, "{told}");
}

#[test]
fn a_record_taken_out_is_known_until_it_is_put_back() {
    if !git_is_there() {
        return;
    }
    let both = format!("{FIRST}{LATER}");
    assert_eq!(
        line_told(&[&both, LATER]),
        "1 observe creek-pear: Tansy Marsh 05-14\ngone 2026-05-14 spray creek-pear (2026.spray): Tansy Marsh 05-15\n"
    );
    assert_eq!(line_told(&[FIRST, "", FIRST]), "1 spray creek-pear: Tansy Marsh 05-14\n");
    // Put back with other words, it is the same record changed.
    assert_eq!(
        line_told(&[FIRST, "", MENDED]),
        "1 spray creek-pear: Tansy Marsh 05-14\n  Tansy Marsh 05-16: -[over 1.1 acre] +[over 1.2 acre]\n"
    );
    let made = line(&[&both]);
    std::fs::remove_file(made.path().join("2026.spray")).unwrap();
    let gone = told(made.path(), Counting::All);
    assert!(gone.contains("gone 2026-05-14 spray creek-pear (2026.spray): not committed\n"), "{gone}");
}

#[test]
fn the_history_counts_from_a_day() {
    if !git_is_there() {
        return;
    }
    let made = line(&[FIRST, MENDED, &format!("{FIRST}{LATER}")]);
    let from = |day: u32| told(made.path(), Counting::From(format!("2026-05-{day}").parse().unwrap()));
    assert_eq!(
        from(16),
        "1 spray creek-pear: before it counts\n  Tansy Marsh 05-16: -[over 1.2 acre] +[over 1.1 acre]\n\
         2 observe creek-pear: Tansy Marsh 05-16\n"
    );
    assert_eq!(from(17), "1 spray creek-pear: before it counts\n2 observe creek-pear: before it counts\n");
    assert_eq!(told(made.path(), Counting::Nothing), "the farm's entry leaves git's history out\n");
}
