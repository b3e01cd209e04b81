//! When flower buds are set. The trade's value: flower buds of apple and cherry set in June and July of the year before.
//! Apple: University of Massachusetts, "Return bloom". Cherry: common practice, no source.

use chrono::NaiveDate;
use foliary::trade::bud_set;

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

#[test]
fn buds_of_apple_and_cherry_are_set_in_june_and_july_of_the_year_before() {
    for crop in ["apple", "cherry"] {
        assert_eq!(bud_set(crop, 2027), Some(day(2026, 6, 1)..=day(2026, 7, 31)), "{crop}");
    }
}

#[test]
fn nothing_is_said_of_other_crops() {
    for crop in ["pear", "squash", "pineapple", ""] {
        assert_eq!(bud_set(crop, 2027), None, "{crop}");
    }
}
