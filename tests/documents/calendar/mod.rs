//! What is ahead, as a page and as a file that another library than its writer reads.

mod reader;

use std::collections::BTreeSet;

use chrono::{DateTime, Duration, NaiveDate, TimeZone, Utc};
use chrono_tz::Tz;
use foliary::documents::{Book, Calendar, EventKind, EventState, Scope, When, calendar};
use foliary::duty::{Duties, clearance};
use foliary::finding::Finding;
use foliary::journal::Trouble;
use foliary::plan::{Request, plan};
use foliary::render::{Format, Templates, ical};
use foliary::season::{Moment, RowRun, Season, Verdict};
use foliary::text::Sources;
use foliary::{Farm, checks, compile_farm};
use proptest::prelude::*;

use self::reader::{Read, ReadEvent, read};

const ALDER_MILL: &str = include_str!("alder-mill/journal.spray");

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Does something with the calendar of a journal as of a day.
fn with<T>(
    text: &str,
    as_of: &str,
    scope: &Scope,
    kinds: &[EventKind],
    then: impl Fn(&Calendar, &Season<'_>) -> T,
) -> T {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    // Hidden characters are told of and written out; all else is read.
    let troubles = |trouble: &&Trouble| !matches!(trouble, Trouble::HiddenCharacters { .. });
    assert_eq!(journal.troubles.iter().find(troubles), None);
    let season = Season::new(&journal, &sources, Some(day(as_of)));
    let findings: Vec<Finding> = checks::run(&season);
    let book = Book::new(&season, &findings, &[file], scope);
    let planned = plan(&season, &[file], &Request::all(day(as_of))).unwrap();
    then(&calendar(&book, Some(&planned), kinds), &season)
}

fn view(text: &str, as_of: &str) -> Calendar {
    with(text, as_of, &Scope::default(), &[], |view, _| view.clone())
}

/// The entries of the file of a journal, as read.
fn entries(text: &str, as_of: &str) -> Vec<ReadEvent> {
    read(&ical(&view(text, as_of), None))
}

/// The one entry whose title begins so.
fn entry(entries: &[ReadEvent], title: &str) -> ReadEvent {
    let found: Vec<&ReadEvent> = entries.iter().filter(|entry| entry.summary.starts_with(title)).collect();
    let titles = || entries.iter().map(|entry| entry.summary.as_str()).collect::<Vec<_>>();
    assert_eq!(found.len(), 1, "{title} in {:#?}", titles());
    found[0].clone()
}

fn boise(text: &str) -> Read {
    let local = text.parse().unwrap();
    Read::Utc(chrono_tz::America::Boise.from_local_datetime(&local).unwrap().with_timezone(&Utc))
}

fn days(first: &str, after: &str) -> (Read, Option<Read>) {
    (Read::Day(day(first)), Some(Read::Day(day(after))))
}

#[test]
fn a_farms_calendar() {
    let view = view(ALDER_MILL, "2026-05-12");
    let templates = Templates::new(Vec::new()).unwrap();
    insta::assert_snapshot!("page", templates.fill("calendar", &view, Format::Markdown).unwrap());
    insta::assert_snapshot!("file", ical(&view, None).replace("\r\n", "\n"));
    assert!(templates.fill("calendar", &view, Format::Html).unwrap().contains("Week of 11 May 2026"));
}

#[test]
fn what_follows_sprays_is_read_back() {
    let entries = entries(ALDER_MILL, "2026-05-12");
    // 72 h from 07:12 on 12 May.
    let entry_again = entry(&entries, "Creek pears: re-entry");
    assert_eq!((entry_again.start, entry_again.end), (boise("2026-05-15T07:12:00"), None));
    // The sulfur of the day before ends on 12 May, and the oil keeps the block closed.
    let closed = entry(&entries, "Creek pears, rows 1 to 7: still closed until 15 May 2026 07:12, by something else");
    assert_eq!((closed.start, closed.cancelled), (boise("2026-05-12T07:20:00"), true));
    // 10 days, 12 May being day 0.
    let clear = entry(&entries, "Creek pears: clear to pick");
    assert_eq!((clear.start, clear.end), days("2026-05-22", "2026-05-23"));
    assert_eq!(clear.location.as_deref(), Some("Creek pears, north of the creek, second gate"));
    let picking = entry(&entries, "Blocked: Creek pears: picking expected, but not clear before 22 May 2026");
    assert_eq!((picking.start, picking.end), days("2026-05-18", "2026-06-21"));
    // 40 CFR 170.409(b)(3): signs come down within three days after the interval.
    let down = entry(&entries, "Creek pears: warning signs may come down");
    assert_eq!((down.start, down.end), (boise("2026-05-15T07:12:00"), Some(boise("2026-05-18T07:12:00"))));
    assert!(down.description.contains("40 CFR 170.409"), "{}", down.description);
}

#[test]
fn days_of_the_journal_are_read_back() {
    let entries = entries(ALDER_MILL, "2026-05-12");
    for (title, first, after) in [
        ("whey-1: batch ready", "2026-05-06", "2026-05-07"),
        ("whey-1: last day", "2026-05-20", "2026-05-21"),
        ("Kelp powder, lot K-7: last day", "2026-06-30", "2026-07-01"),
        // 90 days from 20 February.
        ("Airblast sprayer: last day", "2026-05-21", "2026-05-22"),
        ("Ada Quill: last day of the licence", "2026-12-31", "2027-01-01"),
        ("Tarn Wettable: last day of its approval", "2026-10-31", "2026-11-01"),
        ("Brook Oil: last day of its approval", "2026-10-31", "2026-11-01"),
        ("Hill pears: picking expected", "2026-09-05", "2026-09-06"),
        // 3 CCR 6627: by the 10th of the next month.
        ("Last day to report the use of May 2026", "2026-06-10", "2026-06-11"),
        // 40 CFR 170.501(a): within the last 12 months.
        ("Ned Tarrow: last day for which the training as a handler", "2027-02-20", "2027-02-21"),
    ] {
        let entry = entry(&entries, title);
        assert_eq!((entry.start, entry.end), days(first, after), "{title}");
    }
}

#[test]
fn what_no_interval_is_recorded_for_is_said_and_gets_no_entry() {
    let view = view(ALDER_MILL, "2026-05-12");
    assert_eq!(view.unknown.len(), 2, "{:?}", view.unknown);
    assert!(view.unknown[0].contains("people may go in") && view.unknown[0].contains("Kelp powder"));
    assert!(view.unknown[1].contains("they may pick") && view.unknown[1].contains("Hill pears on 12 May 2026"));
    let asking = ALDER_MILL.replace("    put tarn 3 lb", "    put tarn 3 lb\n    put kelp 1 oz wt per gal");
    let entries = entries(&asking, "2026-05-02");
    let ask = entry(&entries, "Hill pears: recorded re-entry interval over, ask before going in");
    assert!(ask.description.contains("Not recorded: the re-entry interval of Kelp powder. Ask before anyone goes in."));
}

#[test]
fn entries_are_known_again_whatever_their_times() {
    let uids = |text: &str, as_of: &str| -> BTreeSet<String> {
        let uids: Vec<String> = entries(text, as_of).into_iter().map(|entry| entry.uid).collect();
        let set: BTreeSet<String> = uids.iter().cloned().collect();
        assert_eq!(set.len(), uids.len(), "each entry has a name of its own");
        set
    };
    let before = uids(ALDER_MILL, "2026-05-12");
    for (was, now) in [
        ("time 05:40 to 07:12", "time 06:40 to 09:30"),
        ("reentry 72 h", "reentry 96 h"),
        ("preharvest 10 days", "preharvest 14 days"),
        ("rounds 4, every 7 to 10 days", "rounds 4, every 9 to 12 days"),
        ("ready 2026-05-06", "ready 2026-05-08"),
        ("use-by 2026-06-30", "use-by 2026-07-30"),
        ("until 2026-12-31", "until 2027-12-31"),
        ("every 90 days", "every 80 days"),
        ("picking 2026-05-18 to 2026-06-20", "picking 2026-05-25 to 2026-06-25"),
        ("block creek-pear \"Creek pears\"", "block creek-pear \"Pears by the creek\""),
    ] {
        assert_eq!(before, uids(&ALDER_MILL.replace(was, now), "2026-05-12"), "{was}");
    }
    let other = uids(&ALDER_MILL.replace("farm alder-mill", "farm birch-mill"), "2026-05-12");
    assert!(before.is_disjoint(&other), "two farms' entries never are the same");
    assert!(before.iter().all(|uid| uid.ends_with("@foliary.invalid") && uid.is_ascii() && !uid.contains("alder")));
}

#[test]
fn a_later_file_moves_what_changed() {
    let old = entry(&entries(ALDER_MILL, "2026-05-12"), "Creek pears: re-entry");
    let mended = ALDER_MILL.replace("time 05:40 to 07:12", "time 05:40 to 09:00");
    let new = entry(&entries(&mended, "2026-05-13"), "Creek pears: re-entry");
    assert_eq!((&new.uid, new.start), (&old.uid, boise("2026-05-15T09:00:00")));
    // RFC 5546 section 2.1.5: the higher sequence number is the later, and of equal ones the later stamp.
    assert!(new.sequence > old.sequence && new.stamp > old.stamp);
    let made = |now| ical(&view(ALDER_MILL, "2026-05-12"), now);
    assert_eq!(made(None), made(None));
    // Made again within the day, it is the later one.
    let start = "2026-05-12T00:00:00Z".parse::<chrono::DateTime<chrono::Utc>>().unwrap().timestamp();
    let (early, late) = (read(&made(Some(start + 3_600))), read(&made(Some(start + 7_200))));
    assert!(early.iter().zip(&late).all(|(early, late)| early.uid == late.uid && early.sequence < late.sequence));
}

#[test]
fn sprays_alike_on_one_day_are_told_apart() {
    let twice = format!(
        "{ALDER_MILL}\nspray creek-pear rows 8 to 14\n    mix oil-wash, 20 gal\n    over 0.6 acre\n    time 08:00 to 09:00\n    by ada\n"
    );
    let entries = entries(&twice, "2026-05-12");
    let uids: BTreeSet<&str> = entries.iter().map(|entry| entry.uid.as_str()).collect();
    assert_eq!(uids.len(), entries.len());
    // What was there before keeps its name.
    let before = entry(&self::entries(ALDER_MILL, "2026-05-12"), "Creek pears: clear to pick");
    assert!(uids.contains(before.uid.as_str()));
}

#[test]
fn what_was_done_is_marked() {
    let done = format!("{ALDER_MILL}\n2026-05-15 Fri\n\npost creek-pear\n    down signs at 09:00\n    by ned\n");
    let entries = entries(&done, "2026-05-15");
    entry(&entries, "Done: Creek pears: warning signs may come down");
    entry(&entries, "Done: Hill pears: round 1 of Pear sulfur");
    assert!(
        entries
            .iter()
            .any(|entry| entry.summary.starts_with("Done: Creek pears") && entry.summary.ends_with("signs up"))
    );
    // Nothing says that signs went up on the hill.
    let up = self::entries(ALDER_MILL, "2026-05-12").into_iter().filter(|entry| entry.summary.ends_with("signs up"));
    assert!(up.clone().all(|entry| entry.summary.contains("Creek pears")), "{:?}", up.collect::<Vec<_>>());
}

#[test]
fn the_days_and_kinds_asked_for_are_all_there_is() {
    let scope = Scope { from: Some(day("2026-05-15")), to: Some(day("2026-05-22")), ..Scope::default() };
    with(ALDER_MILL, "2026-05-12", &scope, &[], |view, _| {
        for event in view.events() {
            assert!(event.at.last_day() >= day("2026-05-15") && event.at.first_day() <= day("2026-05-22"), "{event:?}");
        }
        // What is asked for are days of the calendar: the spray it follows was before.
        assert!(view.events().iter().any(|event| event.title.starts_with("Creek pears: re-entry")));
        // It goes on since the 18th, and stands in the week in which it begins.
        assert_eq!(view.weeks[0].first, "2026-05-11");
    });
    let kinds = [EventKind::Licence, EventKind::UseBy];
    with(ALDER_MILL, "2026-05-12", &Scope::default(), &kinds, |view, _| {
        let found: BTreeSet<&str> = view.events().iter().map(|event| event.kind).collect();
        assert_eq!(found, BTreeSet::from(["licence", "use-by"]));
    });
    with(ALDER_MILL, "2026-07-01", &Scope::default(), &[], |view, _| {
        assert!(view.events().iter().all(|event| event.at.last_day() >= day("2026-06-17")), "two weeks back");
    });
}

#[test]
fn lines_are_folded_and_ended_as_the_format_wants() {
    let text = ical(
        &view(
            &ALDER_MILL.replace("second gate", "zweites Tor, hinter der großen Eiche, ölig und weiß, süß"),
            "2026-05-12",
        ),
        None,
    );
    // A line whose fold the library would put an octet too late.
    let long = ALDER_MILL.replace("second gate", &"x".repeat(400));
    let text = text + &ical(&view(&long, "2026-05-12"), None);
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    for line in text.split_terminator("\r\n") {
        // RFC 5545 section 3.1: no more than 75 octets; the reader would not mind.
        assert!(line.len() <= 75, "{line}");
        assert!(!line.contains(['\r', '\n']));
    }
    assert!(
        read(text.split_inclusive("END:VCALENDAR\r\n").next().unwrap())
            .iter()
            .any(|entry| entry.location.as_ref().is_some_and(|place| place.contains("ölig und weiß, süß")))
    );
}

#[test]
fn nothing_rings_repeats_or_invites() {
    let text = ical(&view(ALDER_MILL, "2026-05-12"), None);
    for word in ["VALARM", "RRULE", "ATTENDEE", "ORGANIZER", "METHOD", "URL"] {
        assert!(!text.contains(word), "{word}");
    }
}

#[test]
fn a_wait_across_a_clock_change_is_the_moment_of_the_season() {
    for zone in [Tz::America__New_York, Tz::Europe__Dublin, Tz::Australia__Lord_Howe] {
        for sprayed in ["2026-03-07", "2026-10-31", "2026-03-28", "2026-10-24", "2026-04-04", "2026-10-03"] {
            let text = ALDER_MILL
                .replace("America/Boise", zone.name())
                .replace("2026-05-12 Tue", sprayed)
                .replace("05:40 to 07:12", "20:00 to 23:10");
            with(&text, sprayed, &Scope::default(), &[EventKind::Reentry], |view, season| {
                let facts = season
                    .sprays
                    .iter()
                    .find(|facts| facts.start.local.date() == day(sprayed) && facts.reentry.is_some())
                    .unwrap();
                let hold = facts.reentry.unwrap().until;
                let ended = zone.from_local_datetime(&day(sprayed).and_hms_opt(23, 10, 0).unwrap()).unwrap();
                let wanted = (ended + Duration::hours(72)).with_timezone(&Utc);
                assert_eq!(hold.seconds, wanted.timestamp());
                let entry = read(&ical(view, None))
                    .into_iter()
                    .find(|entry| entry.summary == "Creek pears: re-entry interval over");
                assert_eq!(entry.unwrap().start, Read::Utc(wanted), "{zone} {sprayed}");
                // The page and other programs see the farm's own clock, with its offset.
                let event = view
                    .weeks
                    .iter()
                    .flat_map(|week| &week.events)
                    .find(|event| event.title.starts_with("Creek pears: re-entry"))
                    .unwrap();
                assert_eq!(DateTime::parse_from_rfc3339(&event.start).unwrap(), wanted);
                assert_eq!(event.at, When::At(hold, None));
            });
        }
    }
}

#[test]
fn moments_float_where_no_time_zone_is_known() {
    let text = ALDER_MILL.replace("    timezone America/Boise\n", "");
    let entry = entry(&entries(&text, "2026-05-12"), "Creek pears: re-entry");
    assert_eq!(entry.start, Read::Floating("2026-05-15T07:12:00".parse().unwrap()));
}

#[test]
fn a_part_of_a_minute_counts_as_a_whole_one() {
    let text = ALDER_MILL.replace("reentry 72 h", "reentry 4321.5 min");
    assert_eq!(entry(&entries(&text, "2026-05-12"), "Creek pears: re-entry").start, boise("2026-05-15T07:14:00"));
}

#[test]
fn days_that_no_file_can_say_are_left_out() {
    let entries = entries(&ALDER_MILL.replace("until 2026-12-31", "until 9999-12-31"), "2026-05-12");
    assert!(entries.iter().all(|entry| !entry.summary.contains("licence")));
}

#[test]
fn a_record_that_lacks_something_is_due() {
    // Washington's rules want the record made on the day of the application (WAC 16-228-1320).
    let text = ALDER_MILL.replace("us-worker-protection, us-california", "us-washington");
    let view = view(&text, "2026-05-12");
    let due = view
        .events()
        .into_iter()
        .find(|event| event.kind == "record" && event.title.contains("Creek pears on 12 May"))
        .cloned();
    let due = due.unwrap();
    assert!(due.why[0].starts_with("It does not say: "), "{:?}", due.why);
    assert_eq!(due.standing, EventState::Due);
}

#[test]
fn an_empty_journal_has_an_empty_calendar() {
    let view = view("farm f\n", "2026-05-12");
    assert!(view.weeks.is_empty());
    assert_eq!(read(&ical(&view, None)), Vec::new());
}

/// Whether a part of a block has a row that an entry is about, by the words of its title.
fn meets(rows: &[RowRun], title: &str) -> bool {
    let of = |row: u32| match title {
        _ if title.contains("odd rows") => row % 2 == 1,
        _ if title.contains("rows 1 to 7") => row <= 7,
        _ if title.contains("rows 8 to 14") => row >= 8,
        _ if title.contains("rows 13 to 14") => row >= 13,
        _ => true,
    };
    let has = |row: u32| {
        rows.iter().any(|run| {
            run.first <= row
                && run.last.is_none_or(|last| row <= last)
                && (!run.every_other || row % 2 == run.first % 2)
        })
    };
    rows.is_empty() || (1..=14).any(|row| of(row) && has(row))
}

/// How the rows of an entry stand at a moment by their clearance: the latest end, and whether anything is not known.
fn board(season: &Season<'_>, moment: Moment, title: &str, picking: bool) -> (Option<Moment>, bool) {
    let board = clearance(&Duties::new(season), moment);
    let here = board.blocks[0].parts.iter().filter(|part| meets(&part.rows, title));
    let states = here.map(|part| if picking { &part.picking } else { &part.people });
    let until = states.clone().filter_map(|state| state.closed.as_ref()).map(|closed| closed.until).max();
    (until, states.clone().any(|state| !state.not_known.is_empty() || state.verdict() == Verdict::NotKnown))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// No entry says that a block is free while its clearance says that it is not, nor the other way round.
    #[test]
    fn entries_agree_with_the_clearance_of_their_moment(
        sprays in prop::collection::vec((0i64..12, 0u32..24, prop::sample::select(vec!["sulfur-wash", "oil-wash", "whey-tonic"]), 0usize..4), 1..9),
        rinse in prop::option::of(0i64..12),
    ) {
        let first = day("2026-05-15");
        let mut text = ALDER_MILL.to_string();
        let rows = ["", " rows 1 to 7", " rows 8 to 14", " odd rows"];
        for (number, (after, hour, mix, which)) in sprays.iter().enumerate() {
            let on = first + Duration::days(*after);
            text += &format!(
                "\n{on}\n\nspray creek-pear{}\n    mix {mix}, 30 gal\n    over 0.5 acre\n    time {hour:02}:{number:02} to {hour:02}:59\n    by ada\n    rig airblast\n",
                rows[*which]
            );
        }
        if let Some(after) = rinse {
            let on = first + Duration::days(after);
            text += &format!("\n{on}\n\nclean airblast\n    method triple rinse\n    time 23:00 to 23:30\n    rinse 10 gal on creek-pear rows 13 to 14\n    by ada\n");
        }
        let kinds = [EventKind::Reentry, EventKind::Clear];
        with(&text, "2026-05-12", &Scope::default(), &kinds, |view, season| {
            assert!(view.events().iter().any(|event| event.title.contains("Creek pears")));
            for event in view.events().into_iter().filter(|event| event.block.as_deref() == Some("Creek pears")) {
                let moment = match event.at {
                    When::At(moment, _) => moment,
                    When::Days(day, _) => season.zone.start_of(day),
                };
                let picking = event.kind == "clear-to-pick";
                let (until, unknown) = board(season, moment, &event.title, picking);
                assert_eq!(until.is_some(), event.standing == EventState::Replaced, "{event:?} {until:?}\n{text}");
                if until.is_none() {
                    assert_eq!(unknown, event.title.contains("ask before"), "{event:?}\n{text}");
                }
                // A moment before, it was not free.
                let before = Moment { seconds: moment.seconds - 1, local: moment.local - Duration::seconds(1) };
                assert!(board(season, before, &event.title, picking).0.is_some(), "{event:?}\n{text}");
            }
        });
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever a title holds, it is one line of text to the reader, and the entry next to it is not touched.
    #[test]
    fn hostile_titles_come_back_as_text(title in "[ -~\u{a0}-\u{2fff}😀\u{202e}]{0,160}", also in "[;:,\\\\n\"' A-Z=-]{0,60}") {
        let words = format!("x{title}{also}x").replace('"', "'");
        let text = ALDER_MILL.replace("\"Creek pears\"", &format!("\"{words}\"")).replace("second gate", &words);
        let entries = entries(&text, "2026-05-12");
        prop_assert_eq!(entries.len(), self::entries(ALDER_MILL, "2026-05-12").len());
        let shown = foliary::text::escape_hidden(&words).into_owned();
        let clear = entries.iter().find(|entry| entry.summary.ends_with(": clear to pick by what is recorded"));
        prop_assert_eq!(&clear.unwrap().summary, &format!("{shown}: clear to pick by what is recorded"));
        prop_assert!(clear.unwrap().location.as_ref().unwrap().starts_with(&shown));
    }
}
