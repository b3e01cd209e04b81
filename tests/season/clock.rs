//! Moments against the time zone library itself.

use chrono::{DateTime, LocalResult, NaiveDate, NaiveDateTime, TimeZone, Utc};
use chrono_tz::Tz;
use foliary::season::{ClockChange, ClockFit, Zone};
use foliary::syntax::Which;
use proptest::prelude::*;

const ZONES: &[Tz] = &[
    Tz::America__New_York,
    Tz::America__Boise,
    Tz::Australia__Lord_Howe,
    Tz::Europe__Dublin,
    Tz::Africa__Casablanca,
    Tz::Asia__Kathmandu,
    Tz::America__Scoresbysund,
    // Left out the whole of 30 December 2011.
    Tz::Pacific__Apia,
];

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn local(text: &str) -> NaiveDateTime {
    NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap()
}

fn utc(text: &str) -> i64 {
    local(text).and_utc().timestamp()
}

fn zone(zone: Tz) -> Zone {
    Zone::new(Some(zone), day("2026-01-01"), day("2026-12-31"))
}

#[test]
fn a_time_that_the_clocks_jumped_over_is_the_moment_of_the_jump() {
    let (moment, fit) = zone(Tz::America__New_York).moment(local("2026-03-08 02:30"), None, false);
    assert_eq!(
        (moment.seconds, moment.local, fit),
        (utc("2026-03-08 07:00"), local("2026-03-08 03:00"), ClockFit::Never)
    );
    let change = zone(Tz::America__New_York).change_at(local("2026-03-08 02:30"));
    assert_eq!(change, Some(ClockChange { from: local("2026-03-08 02:00"), to: local("2026-03-08 03:00") }));
}

#[test]
fn a_time_that_happened_twice_is_the_later_where_a_wait_hangs_on_it() {
    let zone = zone(Tz::America__New_York);
    let one_thirty = local("2026-11-01 01:30");
    let moment = |which, late| {
        let (moment, fit) = zone.moment(one_thirty, which, late);
        (moment.seconds, fit)
    };
    let (first, second) = (utc("2026-11-01 05:30"), utc("2026-11-01 06:30"));
    assert_eq!(moment(None, false), (first, ClockFit::Twice));
    assert_eq!(moment(None, true), (second, ClockFit::Twice));
    assert_eq!(moment(Some(Which::First), true), (first, ClockFit::Once));
    assert_eq!(moment(Some(Which::Second), false), (second, ClockFit::Once));
    let change = zone.change_at(one_thirty);
    assert_eq!(change, Some(ClockChange { from: local("2026-11-01 02:00"), to: local("2026-11-01 01:00") }));
}

#[test]
fn a_change_of_half_an_hour_is_half_an_hour() {
    let zone = zone(Tz::Australia__Lord_Howe);
    let (moment, fit) = zone.moment(local("2026-10-04 02:15"), None, false);
    assert_eq!((moment.local, fit), (local("2026-10-04 02:30"), ClockFit::Never));
    assert_eq!(zone.moment(local("2026-10-04 02:30"), None, false).1, ClockFit::Once);
    let first = zone.moment(local("2026-04-05 01:45"), None, false);
    let second = zone.moment(local("2026-04-05 01:45"), None, true);
    assert_eq!((first.1, second.1), (ClockFit::Twice, ClockFit::Twice));
    assert_eq!(second.0.seconds - first.0.seconds, 30 * 60);
    let change = zone.change_at(local("2026-04-05 01:45"));
    assert_eq!(change, Some(ClockChange { from: local("2026-04-05 02:00"), to: local("2026-04-05 01:30") }));
}

#[test]
fn a_day_that_was_left_out_is_left_out() {
    let zone = Zone::new(Some(Tz::Pacific__Apia), day("2011-12-01"), day("2012-01-31"));
    let (moment, fit) = zone.moment(local("2011-12-30 07:00"), None, false);
    assert_eq!((moment.local, fit), (local("2011-12-31 00:00"), ClockFit::Never));
}

#[test]
fn twelve_hours_over_a_change_are_twelve_hours() {
    let zone = zone(Tz::America__New_York);
    let later = |from: &str| zone.later(zone.moment(local(from), None, true).0, 12 * 3_600).local;
    assert_eq!(later("2026-03-07 19:30"), local("2026-03-08 08:30"));
    assert_eq!(later("2026-10-31 19:30"), local("2026-11-01 06:30"));
    assert_eq!(later("2026-05-14 19:30"), local("2026-05-15 07:30"));
}

fn any_zone() -> impl Strategy<Value = Tz> {
    prop::sample::select(ZONES)
}

/// Any minute from 2005 to 2035, the hours about changes more often than their share.
fn any_local() -> impl Strategy<Value = NaiveDateTime> {
    let start = utc("2005-01-01 00:00");
    let any = (0i64..30 * 366 * 24 * 60).prop_map(move |minute| start + minute * 60);
    let changes = prop::sample::select(vec![
        "2026-03-08 02:30",
        "2026-11-01 01:30",
        "2026-10-04 02:15",
        "2026-04-05 01:45",
        "2026-03-29 01:30",
        "2026-10-25 01:30",
        "2011-12-30 12:00",
        "2026-02-15 02:30",
        "2026-03-22 02:30",
    ]);
    let about = (changes, -180i64..180).prop_map(|(change, minute)| utc(change) + minute * 60);
    prop_oneof![any, about].prop_map(|seconds| DateTime::<Utc>::from_timestamp(seconds, 0).unwrap().naive_utc())
}

proptest! {
    #[test]
    fn moments_are_those_of_the_library(tz in any_zone(), local in any_local(), late: bool, table: bool) {
        // With the table of quiet days, and without.
        let (first, last) = if table { ("2005-01-01", "2036-01-01") } else { ("1990-01-01", "1990-01-02") };
        let zone = Zone::new(Some(tz), day(first), day(last));
        let (moment, fit) = zone.moment(local, None, late);
        match tz.from_local_datetime(&local) {
            LocalResult::Single(time) => {
                prop_assert_eq!((moment.seconds, moment.local, fit), (time.timestamp(), local, ClockFit::Once));
            }
            LocalResult::Ambiguous(one, other) => {
                let wanted = if late { one.max(other) } else { one.min(other) };
                prop_assert_eq!((moment.seconds, fit), (wanted.timestamp(), ClockFit::Twice));
            }
            LocalResult::None => {
                prop_assert_eq!(fit, ClockFit::Never);
                // The moment exists, the one before it reads earlier than what was written, and none lies between.
                let shown = |seconds| tz.timestamp_opt(seconds, 0).unwrap().naive_local();
                prop_assert_eq!(shown(moment.seconds), moment.local);
                prop_assert!(shown(moment.seconds - 1) < local && local < moment.local);
            }
        }
    }

    #[test]
    fn later_counts_the_seconds_that_pass(tz in any_zone(), local in any_local(), hours in 0i64..24 * 60) {
        let zone = Zone::new(Some(tz), day("2026-01-01"), day("2026-12-31"));
        let from = zone.moment(local, None, true).0;
        let later = zone.later(from, hours * 3_600);
        prop_assert_eq!(later.seconds - from.seconds, hours * 3_600);
        prop_assert_eq!(later.local, tz.timestamp_opt(later.seconds, 0).unwrap().naive_local());
    }

    #[test]
    fn a_change_is_there_exactly_where_a_time_is_not_plain(tz in any_zone(), local in any_local()) {
        let zone = Zone::new(Some(tz), day("2026-01-01"), day("2026-12-31"));
        let plain = matches!(tz.from_local_datetime(&local), LocalResult::Single(_));
        match zone.change_at(local) {
            None => prop_assert!(plain),
            Some(change) => {
                prop_assert!(!plain);
                prop_assert!(change.from.min(change.to) <= local && local < change.from.max(change.to));
            }
        }
    }
}

#[test]
fn without_a_zone_times_stand_as_they_are() {
    let zone = Zone::new(None, day("2026-01-01"), day("2026-12-31"));
    let (moment, fit) = zone.moment(local("2026-03-08 02:30"), None, false);
    assert_eq!((moment.local, fit), (local("2026-03-08 02:30"), ClockFit::Once));
    assert_eq!(zone.later(moment, 3_600).local, local("2026-03-08 03:30"));
    assert_eq!(zone.change_at(local("2026-03-08 02:30")), None);
}
