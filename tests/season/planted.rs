//! Rates by the tree and by the length of row, against arithmetic done by hand.

use foliary::quantity::{Amount, Exact, Unit};

use super::journal_of;
use foliary::journal::BlockId;
use foliary::season::{Touched, planted};

#[test]
fn row_length_and_trees_follow_from_area_and_spacing() {
    // 4,356 ft of row at 10 ft spacing is one acre, and an acre at 18 ft has 2,420 ft of row: Cornell University
    // (A. Landers), Tree Row Volume.
    for (spacing, feet) in [("10 ft", 4_356), ("18 ft", 2_420)] {
        let text = format!("block b\n    area 1 acre\n    rows 1 to 9, {spacing} apart, trees 11 ft apart\n");
        let journal = journal_of(&text);
        let touched = [Touched { block: BlockId(0), area: Some(Amount::of(1, Unit::ACRE)), leftover: false }];
        let planted = planted(&journal, &touched);
        let length = planted.row_length.and_then(|length| length.in_unit(Unit::FOOT)).map(|length| length.value);
        assert_eq!(length, Some(Exact::int(feet)), "{spacing}");
        assert_eq!(planted.trees, Exact::new(i128::from(feet), 11), "{spacing}");
    }
}

#[test]
fn nothing_is_reckoned_without_the_spacing() {
    let journal = journal_of("block b\n    area 1 acre\n    rows 1 to 9\n");
    let touched = [Touched { block: BlockId(0), area: Some(Amount::of(1, Unit::ACRE)), leftover: false }];
    let planted = planted(&journal, &touched);
    assert!(planted.row_length.is_none() && planted.trees.is_none());
}

#[test]
fn a_rate_by_the_tree_or_row_is_held_to_its_own_kind_of_range() {
    for (range, over, within) in [
        ("0.1 to 0.5 lb per tree", "3 lb per tree", "0.2 lb per tree"),
        ("at most 6 oz wt per 100 ft row", "9 oz wt per 100 ft row", "6 oz wt per 100 ft row"),
    ] {
        let raised = |put: &str| {
            super::codes(&format!(
                "farm f\n    timezone America/Boise\nblock b\n    area 1 acre\n    rows 1 to 9, 18 ft apart, trees 11 ft apart\n\
                 material m\n    form dry\n    rate {range}\n2026-05-14\nspray b\n    put m {put}\n    volume 60 gal\n    \
                 time 06:00 to 07:00\n"
            ))
        };
        assert_eq!(raised(over), ["rate-outside-range"], "{over}");
        assert!(raised(within).is_empty(), "{within}");
    }
}
