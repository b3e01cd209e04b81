//! When the flower buds of fruit trees are made.

use std::ops::RangeInclusive;

use chrono::NaiveDate;

/// The days on which the flower buds of a crop are set that open in the spring of `bloom_year`, in the northern
/// hemisphere: June and July of the year before. `None` for crops whose time is not known here.
///
/// Source for apple: University of Massachusetts, "Return bloom": buds form in June and July, from 25 to 30 days after full
/// bloom. For cherry: common practice, no source.
pub fn bud_set(crop: &str, bloom_year: i32) -> Option<RangeInclusive<NaiveDate>> {
    if !matches!(crop, "apple" | "apples" | "cherry" | "cherries" | "sweet-cherry" | "sour-cherry") {
        return None;
    }
    let first = NaiveDate::from_ymd_opt(bloom_year - 1, 6, 1)?;
    let last = NaiveDate::from_ymd_opt(bloom_year - 1, 7, 31)?;
    Some(first..=last)
}
