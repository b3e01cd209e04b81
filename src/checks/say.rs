//! Words that many checks share: moments, spans of time, amounts and lists, as a grower reads them.

use chrono::NaiveDate;

use crate::journal::MaterialId;
use crate::quantity::{Amount, Exact, System, show_both};
use crate::season::{Moment, Season};

/// `14 May 2026`.
pub(crate) fn day(day: NaiveDate) -> String {
    day.format("%-d %B %Y").to_string()
}

/// `14 May 2026 07:20`.
pub(super) fn moment(moment: Moment) -> String {
    moment.local.format("%-d %B %Y %H:%M").to_string()
}

/// A number of seconds in words: `12 hours`, `3 days`, `1 day 4 hours`, `45 minutes`.
pub(super) fn time(seconds: i64) -> String {
    let (days, rest) = (seconds / 86_400, seconds % 86_400);
    let (hours, minutes) = (rest / 3_600, (rest % 3_600) / 60);
    let part =
        |count: i64, word: &str| (count != 0).then(|| format!("{count} {word}{}", if count == 1 { "" } else { "s" }));
    let parts: Vec<String> =
        [part(days, "day"), part(hours, "hour"), part(minutes, "minute")].into_iter().flatten().collect();
    if parts.is_empty() { "less than a minute".to_string() } else { parts.join(" ") }
}

/// `one`, `one and two`, `one, two and three`.
pub(crate) fn list<S: AsRef<str>>(items: &[S]) -> String {
    match items {
        [] => String::new(),
        [one] => one.as_ref().to_string(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

/// An amount in the farm's units first, with the other system in brackets.
pub(super) fn amount(season: &Season<'_>, amount: Amount) -> String {
    let home = season.journal.farm.as_ref().map_or(System::Us, |farm| farm.units);
    show_both(amount, home)
}

/// The name of a material, as the journal declares it.
pub(super) fn material<'j>(season: &Season<'j>, id: MaterialId) -> &'j str {
    &season.journal.material(id).named.name
}

/// A ratio for people: `3`, `2.47`, `0.5`.
pub(super) fn times(ratio: Exact) -> String {
    ratio.decimal(2)
}
