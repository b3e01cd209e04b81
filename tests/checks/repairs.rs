//! A line that cannot be read for one small reason is shown as it can be read.

use chrono::NaiveDate;
use foliary::text::Sources;
use foliary::{Farm, check_farm};

/// What is offered for a line, put where it belongs.
fn offered(before: &str, line: &str) -> Option<String> {
    let mut sources = Sources::new();
    let text = format!("farm f\n    timezone America/Boise\nblock b\n    area 1 acre\n{before}\n    {line}\n");
    let file = sources.add("journal.spray", text).unwrap();
    let found = check_farm(&sources, Farm { files: &[file], missing: &[] }, NaiveDate::from_ymd_opt(2026, 12, 31));
    let help = found.into_iter().find(|finding| finding.code == "unreadable-line")?.help?;
    Some(help.strip_prefix("write it like this: `")?.strip_suffix('`')?.to_string())
}

#[test]
fn small_slips_of_writing_are_shown_right() {
    let spray = "2026-05-14\nspray b";
    for (before, written, right) in [
        ("material m\n    form dry", "within temperature below 85 F", "within temperature at most 85 F"),
        ("material m\n    form dry", "within wind max 10 mph", "within wind at most 10 mph"),
        ("limits l", "total oil most 2 % v/v", "total oil at most 2 % v/v"),
        (spray, "time 6 to 7", "time 6:00 to 7:00"),
        (spray, "time 6am to 7:30", "time 6:00 am to 7:30"),
        ("2026-05-14\npost b", "up sheet at 6 am", "up sheet at 6:00 am"),
        ("2026-05-14\nweather", "rain none", "rain 0 in"),
        (spray, "over 0,5 acre", "over 0.5 acre"),
        (spray, "over: 0.5 acre", "over 0.5 acre"),
    ] {
        assert_eq!(offered(before, written).as_deref(), Some(right), "{written}");
    }
}

#[test]
fn nothing_is_offered_where_it_would_not_help() {
    for line in ["over the hill", "time soon", "rain cats and dogs"] {
        assert_eq!(offered("2026-05-14\nspray b", line), None, "{line}");
    }
}
