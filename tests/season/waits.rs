//! Waits between what was done: found exactly where the rule is broken, whatever days and hours are written.

use chrono::{Duration, NaiveDate, NaiveDateTime, TimeZone};
use chrono_tz::Tz;
use proptest::prelude::*;

use super::{codes, found};

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// A farm in a zone with one block and one material, of which these fields are said.
fn standing(zone: Tz, material: &str) -> String {
    format!(
        "farm larkspur-bend\n    timezone {zone}\n\nblock creek-pear\n    crop pear\n    area 1.2 acre\n    rows 1 to 20\n\n\
         material sulfur\n    form dry\n    class sulfur\n{material}\n\nmix sulfur-wash\n    in 100 gal\n    put sulfur 3 lb\n\n\
         material summer-oil\n    form liquid\n    class oil\n\nmix oil-wash\n    in 100 gal\n    put summer-oil 1 gal\n"
    )
}

fn spray(on: NaiveDate, rows: &str, mix: &str, from: &str, to: &str) -> String {
    format!("\n{on}\n\nspray creek-pear{rows}\n    mix {mix}, 100 gal\n    time {from} to {to}\n")
}

fn count(text: &str, code: &str) -> usize {
    codes(text).iter().filter(|found| **found == code).count()
}

proptest! {
    /// Day 0 is the day of the spray; the first date that is clear is so many days later, and is said.
    #[test]
    fn a_harvest_interval_is_counted_on_the_calendar(interval in 0i64..40, after in 1i64..60, start in 0i64..300) {
        let sprayed = day("2026-01-05") + Duration::days(start);
        let picked = sprayed + Duration::days(after);
        let text = standing(Tz::America__Boise, &format!("    preharvest {interval} days"))
            + &spray(sprayed, "", "sulfur-wash", "06:00", "10:40")
            + &format!("\n{picked}\n\nharvest creek-pear\n    time 00:00 to 09:00\n");
        let findings = found(&text);
        let of: Vec<_> = findings.iter().filter(|finding| finding.code == "harvest-in-interval").collect();
        prop_assert_eq!(of.len(), usize::from(after < interval));
        if let [finding] = of.as_slice() {
            let clear = (sprayed + Duration::days(interval)).format("%-d %B %Y").to_string();
            prop_assert!(finding.headline.ends_with(&clear), "{}", finding.headline);
        }
    }

    /// Hours that really pass, by the time zone library, not hours on the wall.
    #[test]
    fn re_entry_is_counted_in_hours_that_pass(
        zone in prop::sample::select(vec![Tz::America__New_York, Tz::Australia__Lord_Howe, Tz::Europe__Dublin]),
        sprayed in prop::sample::select(vec!["2026-03-07", "2026-10-31", "2026-05-14", "2026-10-03", "2026-04-04", "2026-03-28"]),
        end in 12 * 60i64..24 * 60,
        wait in 1i64..72,
        entered in 0i64..4 * 24 * 60,
    ) {
        let midnight = day(sprayed).and_hms_opt(0, 0, 0).unwrap();
        let ended = midnight + Duration::minutes(end);
        let entered = ended + Duration::minutes(entered);
        let seconds = |local: NaiveDateTime| zone.from_local_datetime(&local).single().map(|time| time.timestamp());
        // Times that were skipped or happened twice have tests of their own.
        let (Some(from), Some(to)) = (seconds(ended), seconds(entered)) else { return Ok(()) };
        let text = standing(zone, &format!("    reentry {wait} h"))
            + &spray(day(sprayed), "", "sulfur-wash", "06:00", &ended.format("%H:%M").to_string())
            + &format!("\n{}\n\nwork creek-pear\n    time {} to 23:59\n    task mowing\n", entered.date(), entered.format("%H:%M"));
        prop_assert_eq!(count(&text, "entry-before-reentry"), usize::from(to - from < wait * 3_600), "{}", text);
    }

    /// Spacing and keeping apart are counted on the calendar, and only on rows that were sprayed both times.
    #[test]
    fn spacing_is_counted_on_the_calendar_and_by_rows(
        asked in 1i64..20,
        sprays in prop::collection::vec((1i64..12, 1u32..15, 0u32..6), 1..8),
    ) {
        let mut text = standing(Tz::America__Boise, &format!("    spacing {asked} days"));
        let mut done: Vec<(i64, u32, u32)> = Vec::new();
        let (mut on, mut wanted) = (0, 0);
        for (gap, first, more) in sprays {
            on += gap;
            let last = first + more;
            text += &spray(day("2026-03-01") + Duration::days(on), &format!(" rows {first} to {last}"), "sulfur-wash", "06:00", "07:00");
            // One finding a spray: with the latest that touched any of its rows.
            let before = done.iter().filter(|(_, from, to)| *from <= last && first <= *to).map(|(on, ..)| *on).max();
            wanted += usize::from(before.is_some_and(|before| on - before < asked));
            done.push((on, first, last));
        }
        prop_assert_eq!(count(&text, "spacing-too-short"), wanted, "{}", text);
    }

    #[test]
    fn keeping_apart_holds_both_ways(
        asked in 1i64..30,
        sprays in prop::collection::vec((0i64..12, any::<bool>()), 1..8),
    ) {
        let mut text = standing(Tz::America__Boise, "")
            + &format!("\nlimits house-rules\n    apart oil {asked} days from sulfur\n");
        let mut last: [Option<i64>; 2] = [None, None];
        let (mut on, mut wanted) = (0, 0);
        for (order, (gap, oil)) in sprays.into_iter().enumerate() {
            on += gap;
            let mix = if oil { "oil-wash" } else { "sulfur-wash" };
            // In the order of the day.
            let (from, to) = (format!("{:02}:00", 6 + order), format!("{:02}:30", 6 + order));
            text += &spray(day("2026-03-01") + Duration::days(on), "", mix, &from, &to);
            wanted += usize::from(last[usize::from(!oil)].is_some_and(|before| on - before < asked));
            last[usize::from(oil)] = Some(on);
        }
        prop_assert_eq!(count(&text, "kept-too-close"), wanted, "{}", text);
    }
}

#[test]
fn re_entry_overrides_a_shorter_harvest_interval() {
    let text = standing(Tz::America__Boise, "    reentry 72 h\n    preharvest 2 days")
        + &spray(day("2026-08-03"), "", "sulfur-wash", "06:00", "10:40")
        + "\n2026-08-04\n\nharvest creek-pear\n    time 07:00 to 09:00\n";
    let findings = found(&text);
    let harvest = findings.iter().find(|finding| finding.code == "harvest-in-interval").unwrap();
    assert!(harvest.headline.ends_with("6 August 2026 10:40"), "{}", harvest.headline);
    assert!(harvest.working.iter().any(|line| line.contains("comes before a shorter harvest interval")));
    // After the harvest interval, and still inside re-entry: people first.
    let text = text.replace("2026-08-04", "2026-08-05");
    assert_eq!(codes(&text), ["entry-before-reentry"]);
    let text = text.replace("2026-08-05", "2026-08-06").replace("07:00 to 09:00", "10:40 to 11:00");
    assert!(codes(&text).is_empty());
}

#[test]
fn what_is_not_known_is_not_reported() {
    let boise = Tz::America__Boise;
    // A pick on the day of the spray, without a time: before or after, nobody can say; only the time is asked for.
    let pick = "\nharvest creek-pear\n    amount 20 lb\n";
    let text = standing(boise, "    preharvest 14 days")
        + &spray(day("2026-08-03"), "", "sulfur-wash", "06:00", "07:00")
        + pick;
    assert_eq!(codes(&text), ["entry-before-reentry"]);
    assert_eq!(found(&text)[0].level, foliary::finding::Level::Warning);
    // The same for a spray without a time.
    let text = standing(boise, "    reentry 4 h")
        + "\n2026-08-03\n\nspray creek-pear\n    mix sulfur-wash, 100 gal\n\nwork creek-pear\n    time 07:00 to 09:00\n    task mowing\n";
    assert_eq!(codes(&text), ["missing-end"]);
    // No interval stated.
    let text = standing(boise, "    reentry none stated\n    preharvest none stated")
        + &spray(day("2026-08-03"), "", "sulfur-wash", "06:00", "07:00")
        + "\nwork creek-pear\n    time 07:00 to 09:00\n    task mowing\n";
    assert!(codes(&text).is_empty());
}

#[test]
fn nobody_is_in_a_block_while_it_is_sprayed_but_who_sprays() {
    let text = |more: &str, time: &str, rows: &str| {
        let spray = spray(day("2026-08-03"), "", "sulfur-wash", "06:00", "07:00");
        standing(Tz::America__Boise, "    reentry none stated")
            + "\nperson t-marsh\n"
            + &spray.replace("creek-pear", "creek-pear rows 1 to 4").replace("    mix", "    by t-marsh\n    mix")
            + &format!("\nwork creek-pear{rows}\n    {time}\n    task mowing\n{more}")
    };
    assert_eq!(codes(&text("", "time 05:00 to 06:10", "")), ["entry-before-reentry"]);
    assert_eq!(codes(&text("", "time 06:59", "")), ["entry-before-reentry"]);
    assert_eq!(codes(&text("", "note no time", "")), ["entry-before-reentry"]);
    assert!(codes(&text("", "time 07:00 to 09:00", "")).is_empty());
    assert!(codes(&text("", "time 05:00 to 06:10", " rows 5 to 9")).is_empty());
    assert!(codes(&text("    by t-marsh\n", "time 05:00 to 06:10", "")).is_empty());
}

#[test]
fn what_hangs_on_an_assumed_end_alone_is_a_warning() {
    use foliary::finding::Level;
    let text = |work: &str| {
        standing(Tz::America__Boise, "    reentry 12 h")
            + "\n2026-08-03\n\nspray creek-pear\n    mix sulfur-wash, 100 gal\n    time 06:00\n"
            + &format!("\nwork creek-pear\n    time {work}\n    task mowing\n")
    };
    let level = |work: &str| {
        let findings = found(&text(work));
        findings.iter().find(|finding| finding.code == "entry-before-reentry").map(|finding| finding.level)
    };
    // Not over however early the spray ended.
    assert_eq!(level("17:00 to 18:00"), Some(Level::Error));
    assert_eq!(level("18:00 to 19:00"), Some(Level::Warning));
}

#[test]
fn an_end_that_cannot_be_believed_raises_nothing_further() {
    let text = |work: &str| {
        standing(Tz::America__Boise, "    reentry 12 h")
            + &spray(day("2026-08-03"), "", "sulfur-wash", "09:00", "07:00")
            + &format!("\nwork creek-pear\n    time {work}\n    task mowing\n")
    };
    assert_eq!(codes(&text("21:00 to 22:00")), ["end-before-start"]);
    assert_eq!(codes(&text("20:59 to 22:00")), ["end-before-start", "entry-before-reentry"]);
}
