//! Days in several orders, blank ones, times.

use foliary::import::{BlankDate, DateOrder, Fate, Mapping};

use super::{doubts, fate, imported, imported_into, left};

fn sheet(dates: &[&str]) -> Vec<u8> {
    let rows: String = dates.iter().map(|date| format!("\"{date}\",North,Epsom salt,4 oz,10 gal\n")).collect();
    format!("Date,Block,Material,Amount,Volume\n{rows}").into_bytes()
}

/// The day of each row's entry; nothing where it waits.
fn days(dates: &[&str]) -> (DateOrder, Vec<Option<String>>) {
    let imported = imported(&sheet(dates));
    let lines: Vec<&str> = imported.text.lines().collect();
    let day = |row: usize| match *fate(&imported, row) {
        Fate::Entry(line) | Fate::Joined(_, line) => {
            let page = lines[..line].iter().rev().find(|line| line.starts_with("20"));
            page.map(|page| page[..10].to_string())
        }
        _ => None,
    };
    (imported.mapping.date_order, (2..dates.len() + 2).map(day).collect())
}

fn all(days: &[&str]) -> Vec<Option<String>> {
    days.iter().map(|day| Some((*day).to_string())).collect()
}

#[test]
fn the_whole_column_decides_the_order() {
    assert_eq!(days(&["5/6/24", "5/14/24"]), (DateOrder::MonthDayYear, all(&["2024-05-06", "2024-05-14"])));
    assert_eq!(days(&["5.6.2024", "14.5.2024"]), (DateOrder::DayMonthYear, all(&["2024-06-05", "2024-05-14"])));
    assert_eq!(
        days(&["2024-05-06", "14-May-24", "May 15, 2024", "Thu 16 May 2024", "2024/5/17"]).1,
        all(&["2024-05-06", "2024-05-14", "2024-05-15", "2024-05-16", "2024-05-17"])
    );
}

#[test]
fn what_nothing_tells_waits_and_is_not_guessed() {
    // 5 May can be read in one way only, and a weekday tells as well: 6 May 2024 was a Monday, 5 June a Wednesday.
    let (order, read) = days(&["5/6/24", "5/5/24", "Mon 5/6/24", "Wed 5/6/24", "7/8/24"]);
    assert_eq!(order, DateOrder::Unsettled);
    let day = |day: &str| Some(day.to_string());
    assert_eq!(read, [None, day("2024-05-05"), day("2024-05-06"), day("2024-06-05"), None]);
    let (order, read) = days(&["5/14/24", "14/5/24", "5/6/24"]);
    assert_eq!((order, read), (DateOrder::Unsettled, vec![day("2024-05-14"), day("2024-05-14"), None]));
    assert_eq!(days(&["31/31/24", "soon", "45000", "5/14"]).1, [None, None, None, None]);
}

#[test]
fn a_wrong_weekday_is_marked() {
    let imported = imported(&sheet(&["Fri 2024-05-14"]));
    assert!(doubts(&imported, 2)[0].contains("is a Tuesday"), "{:?}", doubts(&imported, 2));
}

#[test]
fn a_settled_order_brings_in_what_waited_and_nothing_twice() {
    let bytes = sheet(&["5/6/24", "7/8/24"]);
    let first = imported(&bytes);
    assert!(matches!(fate(&first, 2), Fate::Held(_, why) if why.contains("2024-05-06 or 2024-06-05")));
    let still = imported_into(super::FARM, &bytes, Some(first.mapping.clone()), &left(&first));
    assert_eq!(still.text, "");
    assert!(matches!(fate(&still, 2), Fate::StillHeld(..)));
    let settled = Mapping { date_order: DateOrder::DayMonthYear, ..first.mapping.clone() };
    let second = imported_into(super::FARM, &bytes, Some(settled.clone()), &left(&first));
    assert!(second.text.contains("\n2024-06-05 Wed\n") && second.text.contains("\n2024-08-07 Wed\n"));
    let both = [left(&first), left(&second)].concat();
    let third = imported_into(super::FARM, &bytes, Some(settled), &both);
    assert_eq!(third.text, "");
    assert!(matches!(fate(&third, 2), Fate::Had(_)));
}

#[test]
fn a_blank_date_is_that_above_only_where_the_sheet_keeps_to_it() {
    let kept = b"Date,Block,Material,Amount\n2024-05-14,North,Epsom salt,4 lb\n,North,Kelp extract,2 qt\n";
    let imported_one = imported(kept);
    assert_eq!(imported_one.mapping.blank_date, BlankDate::AsAbove);
    assert!(matches!(fate(&imported_one, 3), Fate::Joined(2, _)));
    assert!(doubts(&imported_one, 3)[0].contains("assumed to be of the day of row 2"));
    let not = b"Date,Block,Material,Amount\n2024-05-14,North,Epsom salt,4 lb\n2024-05-14,North,Kelp extract,2 qt\n,North,Soap,2 qt\n";
    let imported_two = imported(not);
    assert_eq!(imported_two.mapping.blank_date, BlankDate::Unsettled);
    assert!(matches!(fate(&imported_two, 4), Fate::Held(..)));
}

#[test]
fn times_are_read_as_they_are_written() {
    let time = |start: &str, end: &str| {
        let text = format!("Date,Block,Material,Amount,Start,End\n2024-05-14,North,Epsom salt,4 lb,{start},{end}\n");
        let imported = imported(text.as_bytes());
        imported.text.lines().find_map(|line| line.trim().strip_prefix("time ")).map(|time| time.trim().to_string())
    };
    assert_eq!(time("5:50 AM", "7:20 am").as_deref(), Some("05:50 to 07:20"));
    assert_eq!(time("0550", "0720").as_deref(), Some("05:50 to 07:20"));
    assert_eq!(time("12:15 a.m.", "1pm").as_deref(), Some("00:15 to 13:00"));
    assert_eq!(time("17:05", "").as_deref(), Some("17:05"));
    assert_eq!(time("early", "7:20"), None);
    assert_eq!(time("6", "7"), None);
}

/// The `time` line of one row, its note, and its doubts.
fn time_of(head: &str, cells: &str) -> (Option<String>, Option<String>, Vec<String>) {
    let imported = imported(format!("Block,Material,Amount,{head}\nNorth,Epsom salt,4 lb,{cells}\n").as_bytes());
    let line = |word: &str| {
        let mut lines = imported.text.lines().map(str::trim);
        lines.find_map(|line| line.strip_prefix(word)).map(|rest| rest.trim().to_string())
    };
    (line("time "), line("note "), doubts(&imported, 2).to_vec())
}

#[test]
fn one_cell_may_say_from_when_to_when() {
    for (cell, time) in [
        ("6:00-7:30", "06:00 to 07:30"),
        ("6:00 to 7:30", "06:00 to 07:30"),
        ("6:00 \u{2013} 7:30", "06:00 to 07:30"),
        ("from 0600 until 0730", "06:00 to 07:30"),
        ("6-7:30", "06:00 to 07:30"),
        ("6-7 am", "06:00 to 07:00"),
        // One half of the day said for both.
        ("6:00-7:30 pm", "18:00 to 19:30"),
        ("11:00 to 1:30 pm", "11:00 to 13:30"),
        ("11 AM to 1:30", "11:00 to 13:30"),
        ("5:00 p.m. - 6:15", "17:00 to 18:15"),
        ("17:00 - 6:15 pm", "17:00 to 18:15"),
        ("11:30-1:15", "11:30 to 13:15"),
    ] {
        for (head, cells) in [
            ("When,Time", format!("2024-05-14,{cell}")),
            ("Date,Start", format!("2024-05-14,{cell}")),
            ("Date,Start,End", format!("2024-05-14,{cell},")),
        ] {
            let (read, note, doubts) = time_of(head, &cells);
            assert_eq!((read.as_deref(), note, doubts), (Some(time), None, Vec::new()), "{head}: {cells}");
        }
    }
    let (read, ..) = time_of("When", "2024-05-14 6:00-7:30");
    assert_eq!(read.as_deref(), Some("06:00 to 07:30"));
    // Two hours without a minute may be anything, and night work is asked about.
    assert_eq!(time_of("Date,Time", "2024-05-14,6-7").0, None);
    let (read, _, doubts) = time_of("Date,Time", "2024-05-14,10:00 pm to 1:00 am");
    assert_eq!(read.as_deref(), Some("22:00 to 01:00"));
    assert!(doubts[0].contains("on the next day?"), "{doubts:?}");
}

#[test]
fn times_that_differ_are_all_kept() {
    let (read, note, _) = time_of("Date,Time,End", "2024-05-14,6:00-7:30,7:45");
    assert_eq!((read.as_deref(), note.as_deref()), (Some("06:00 to 07:30"), Some("End: 7:45")));
    let (read, note, _) = time_of("Date,Time,Start", "2024-05-14,6:00-7:30,6:15");
    assert_eq!((read.as_deref(), note.as_deref()), (Some("06:15 to 07:30"), Some("Time: 6:00-7:30")));
    let (read, note, _) = time_of("Date,Start", "2024-05-14 5:50,6:00");
    assert_eq!((read.as_deref(), note.as_deref()), (Some("06:00"), Some("The date cell says 05:50")));
}

/// There is no month 13: the day is read all the same, and marked.
#[test]
fn a_day_of_another_order_than_its_column_is_read_in_the_one_way_it_can_be() {
    let bytes = sheet(&["4/19/2024", "4/20/2024", "13.5.2024"]);
    let first = imported(&bytes);
    let mut settled = first.mapping.clone();
    settled.date_order = DateOrder::MonthDayYear;
    let again = imported_into("", &bytes, Some(settled), &[]);
    assert!(again.text.contains("2024-05-13"), "{}", again.text);
    assert!(doubts(&again, 4)[0].contains("can only be 2024-05-13"), "{:?}", doubts(&again, 4));
}
