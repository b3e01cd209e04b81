//! What a journal full of slips is understood as.

use foliary::journal::Trouble;

use super::{told, understood};

/// A slip of every kind that reading can meet, and good lines in between.
const SLIPS: &str = "\
# What stands here belongs to nothing:
    crop pear
    crop

farm f
    timezone America/Bose
    units metrical
farm g
block creek-pear
    area 1.2 acre from 2024-13-01
    area 2 gal
    workers maybe
    crop pear, quince
block creek_pear
    area 3
block Creek-Pear
    area 1 acre
block
spary creek-pear
rig airblast
    tank 3 galons
    tank 50 gal
    crop pear
material salt
    form dry
material culture
    form liquid
material bare
mix tonic
    in 1 gal
    put salt 1 tbsp
    put culture 2 oz wt
    put bare 1 oz
    put salt 1/0 oz wt
    total at most 6 oz per gal
mix empty
spray creek-pear
    by nobody
2026-05-14 Fri
spray creek-paer rows nine
    over -1 acre
spray creek-pear
    time 25:10 to 26:00
    entered 2026-02-30 by t-marsh
    weather 52 F, sun 3 mph
    over 1 acre per gal
    measured salt 9999999999999999999 oz wt
    over 1 acre
2026-02-30
spray creek-pear
    over 1 lb
";

#[test]
fn a_page_of_slips() {
    let (sources, journal) = understood(&[SLIPS]);
    insta::assert_snapshot!(told(&sources, &journal.troubles));
}

#[test]
fn good_entries_among_slips_are_understood() {
    let (_, journal) = understood(&[SLIPS]);
    assert_eq!(journal.sprays.len(), 2, "the page without a date and the day that is none hold no sprays");
    assert_eq!(journal.blocks.len(), 2);
    assert_eq!(journal.farm.as_ref().map(|farm| &*farm.named.name), Some("f"));
    assert_eq!(journal.days.len(), 1);
    assert!(journal.mixes[0].total.is_some());
}

#[test]
fn one_slip_raises_one_trouble() {
    let (_, clean) = understood(&[PAGE]);
    assert_eq!(clean.troubles, []);
    for (right, wrong) in [
        ("2 fl oz", "2 flozz"),
        ("2 fl oz", "2 acre"),
        ("2 fl oz", "two fl oz"),
        ("60 gal", "60 gla"),
        ("mix tonic,", "mix tonc,"),
        ("by t-marsh", "by t-mrash"),
        ("over 0.8 acre", "over 0.8"),
        ("over 0.8 acre", "over 1/0 acre"),
        ("over 0.8 acre", "ovr 0.8 acre"),
        ("05:50 to 07:20", "05:50 to 27:20"),
        ("2026-05-14 Thu", "2026-05-14 Wed"),
        ("2026-05-14 Thu", "2026-05-34"),
        ("spray creek-pear", "spry creek-pear"),
        ("spray creek-pear", "spray"),
        ("form liquid", "form runny"),
        ("form liquid", "form liquid\n    form dry"),
        ("reason nutrition", "reason nutri\u{202e}tion"),
        ("crop pear", "crop pear\n    tank 3 gal"),
        ("person t-marsh", "person T.Marsh\nperson t-marsh"),
        ("    area 1.2 acre\n", ""),
    ] {
        assert!(PAGE.contains(right), "{right}");
        let (sources, journal) = understood(&[&PAGE.replacen(right, wrong, 1)]);
        assert_eq!(journal.troubles.len(), 1, "{wrong}: {}", told(&sources, &journal.troubles));
    }
}

const PAGE: &str = "\
farm f
    timezone America/Boise
block creek-pear
    crop pear
    area 1.2 acre
person t-marsh
material kelp
    form liquid
    reentry none stated
mix tonic
    in 1 gal
    put kelp 2 fl oz
2026-05-14 Thu
spray creek-pear
    mix tonic, 60 gal
    over 0.8 acre
    time 05:50 to 07:20
    by t-marsh
    reason nutrition
";

#[test]
fn names_and_pages_are_found_across_files() {
    let (at, _) = PAGE.match_indices("2026").next().unwrap();
    let (standing, dated) = PAGE.split_at(at);
    let (_, journal) = understood(&[dated, standing]);
    assert_eq!(journal.troubles, []);
    assert_eq!(journal.sprays[0].ground.blocks[0].id, Some(foliary::journal::BlockId(0)));
    // A page ends with its file.
    let (_, journal) = understood(&["2026-05-14\n", &dated.replace("2026-05-14 Thu\n", ""), standing]);
    assert!(matches!(journal.troubles.as_slice(), [Trouble::UndatedEntry { .. }]), "{:?}", journal.troubles);
}

#[test]
fn no_files_are_an_empty_journal() {
    let (_, journal) = understood(&[]);
    assert!(journal.troubles.is_empty() && journal.farm.is_none());
}
