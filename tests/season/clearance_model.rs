//! The clearance against a model that asks every minute: written from the facts that the test made up, with the time zone
//! library alone.

use chrono::{DateTime, Duration, NaiveDate, NaiveDateTime, NaiveTime, TimeZone, Utc};
use chrono_tz::Tz;
use foliary::duty::{Duties, clearance};
use foliary::season::{PartClearance, Season, State};
use foliary::text::Sources;
use foliary::{Farm, compile_farm};
use proptest::prelude::*;

/// How many rows each of the two blocks has.
const ROWS: u32 = 6;

/// What a label says of a wait.
#[derive(Clone, Copy, Debug)]
enum Label {
    Silent,
    NoneStated,
    Hours(i64),
    Days(u32),
}

/// What is known of a product: its re-entry interval, and its harvest interval on pears and on everything else.
#[derive(Clone, Copy, Debug)]
struct Product {
    reentry: Label,
    pears: Label,
    others: Label,
}

#[derive(Clone, Copy, Debug)]
enum RowsOf {
    All,
    Odd,
    Even,
    Alternate,
    Run(u32, u32),
}

/// A spray as it was done: minutes from the first midnight, on the wall.
#[derive(Clone, Debug)]
struct Done {
    block: usize,
    rows: RowsOf,
    day: i64,
    /// Start and length of each session; no end where the length is `None`.
    sessions: Vec<(i64, Option<i64>)>,
    products: Vec<usize>,
    leftover: Option<(usize, RowsOf)>,
}

impl Label {
    fn words(self) -> Option<String> {
        match self {
            Label::Silent => None,
            Label::NoneStated => Some("none stated".to_string()),
            Label::Hours(hours) => Some(format!("{hours} h")),
            Label::Days(days) => Some(format!("{days} days")),
        }
    }
}

impl RowsOf {
    fn words(self) -> String {
        match self {
            RowsOf::All => String::new(),
            RowsOf::Odd => " odd rows".to_string(),
            RowsOf::Even => " even rows".to_string(),
            RowsOf::Alternate => " alternate rows".to_string(),
            RowsOf::Run(first, last) => format!(" rows {first} to {last}"),
        }
    }

    fn has(self, row: u32) -> bool {
        match self {
            RowsOf::All | RowsOf::Alternate => true,
            RowsOf::Odd => row % 2 == 1,
            RowsOf::Even => row % 2 == 0,
            RowsOf::Run(first, last) => (first..=last).contains(&row),
        }
    }
}

const BLOCKS: [&str; 2] = ["pears", "plums"];

fn journal(zone: Tz, first: NaiveDate, products: &[Product], done: &[Done]) -> String {
    let mut text = format!("farm f\n    timezone {zone}\n\n");
    for (name, crop) in BLOCKS.iter().zip(["pear", "plum"]) {
        text += &format!("block {name}\n    crop {crop}\n    area 1 acre\n    rows 1 to {ROWS}\n\n");
    }
    for (at, product) in products.iter().enumerate() {
        text += &format!("material m{at}\n    form liquid\n");
        let lines = [
            product.reentry.words().map(|words| format!("    reentry {words}\n")),
            product.pears.words().map(|words| format!("    preharvest {words} on pear\n")),
            product.others.words().map(|words| format!("    preharvest {words}\n")),
        ];
        text += &lines.into_iter().flatten().collect::<String>();
        text += "\n";
    }
    for spray in done {
        let day = first + Duration::days(spray.day);
        text += &format!("{day}\n\nspray {}{}\n    volume 10 gal\n", BLOCKS[spray.block], spray.rows.words());
        for product in &spray.products {
            text += &format!("    put m{product} 1 fl oz per gal\n");
        }
        for &(start, length) in &spray.sessions {
            let clock =
                |minutes: i64| (day.and_time(NaiveTime::MIN) + Duration::minutes(minutes)).format("%Y-%m-%d %H:%M");
            match length {
                Some(length) => text += &format!("    time {} to {}\n", clock(start), clock(start + length)),
                None => text += &format!("    time {}\n", clock(start)),
            }
        }
        if let Some((block, rows)) = spray.leftover {
            text += &format!("    leftover 1 gal on {}{}\n", BLOCKS[block], rows.words());
        }
        text += "\n";
    }
    text
}

/// A time on the wall as a moment: the earlier of two, or the later, and for one that was skipped the moment of the jump.
fn moment(zone: Tz, local: NaiveDateTime, late: bool) -> i64 {
    let mut local = local;
    loop {
        let found = zone.from_local_datetime(&local);
        if let Some(time) = if late { found.latest() } else { found.earliest() } {
            return time.timestamp();
        }
        local += Duration::minutes(1);
    }
}

/// Start and end of a spray.
fn span(zone: Tz, first: NaiveDate, spray: &Done) -> (i64, i64) {
    let day = first + Duration::days(spray.day);
    let at = |minutes: i64| day.and_time(NaiveTime::MIN) + Duration::minutes(minutes);
    let last_minute = |day: NaiveDate| moment(zone, day.and_hms_opt(23, 59, 0).unwrap(), true);
    if spray.sessions.is_empty() {
        return (moment(zone, day.and_time(NaiveTime::MIN), false), last_minute(day));
    }
    let mut ends = Vec::new();
    let mut starts = Vec::new();
    for &(start, length) in &spray.sessions {
        let begun = moment(zone, at(start), false);
        starts.push(begun);
        let ended = length.map(|length| moment(zone, at(start + length), true)).filter(|ended| *ended > begun);
        // A start that was skipped shows the time after the jump.
        ends.push(ended.unwrap_or_else(|| last_minute(zone.timestamp_opt(begun, 0).unwrap().date_naive())));
    }
    (*starts.iter().min().unwrap(), *ends.iter().max().unwrap())
}

/// Whether a wait runs at a moment, or is not known.
fn runs(zone: Tz, label: Label, calendar: bool, end: i64, now: i64) -> (bool, bool) {
    match label {
        Label::Silent => (false, now - end < 365 * 86_400),
        Label::NoneStated => (false, false),
        Label::Hours(hours) => (now < end + hours * 3_600, false),
        Label::Days(days) if calendar => {
            let day = zone.timestamp_opt(end, 0).unwrap().date_naive() + Duration::days(i64::from(days));
            (now < moment(zone, day.and_time(NaiveTime::MIN), false).max(end), false)
        }
        Label::Days(days) => (now < end + i64::from(days) * 86_400, false),
    }
}

/// Closed and not known, for people and for picking, of a row at a moment.
fn model(
    zone: Tz,
    first: NaiveDate,
    products: &[Product],
    done: &[Done],
    place: (usize, u32),
    now: i64,
) -> [(bool, bool); 2] {
    let (block, row) = place;
    let (mut people, mut picking) = ((false, false), (false, false));
    for spray in done {
        let own = spray.block == block && spray.rows.has(row);
        let rest = spray.leftover.is_some_and(|(other, rows)| other == block && rows.has(row));
        let (start, end) = span(zone, first, spray);
        if !(own || rest) || now < start {
            continue;
        }
        let mut both = |closed: bool, unknown: bool| {
            people = (people.0 || closed, people.1 || unknown);
            picking = (picking.0 || closed, picking.1 || unknown);
        };
        both(now < end, spray.products.is_empty() && now - end < 365 * 86_400);
        for &product in &spray.products {
            let (closed, unknown) = runs(zone, products[product].reentry, false, end, now);
            both(closed, unknown);
        }
        for &product in &spray.products {
            let label = match products[product].pears {
                Label::Silent => products[product].others,
                own if block == 0 => own,
                _ => products[product].others,
            };
            let (closed, unknown) = runs(zone, label, true, end, now);
            picking = (picking.0 || closed, picking.1 || unknown);
        }
    }
    [people, picking]
}

fn label() -> impl Strategy<Value = Label> {
    prop_oneof![
        1 => Just(Label::Silent),
        2 => Just(Label::NoneStated),
        4 => (0i64..80).prop_map(Label::Hours),
        2 => (0u32..5).prop_map(Label::Days),
    ]
}

fn product() -> impl Strategy<Value = Product> {
    (label(), label(), label()).prop_map(|(reentry, pears, others)| Product { reentry, pears, others })
}

fn rows() -> impl Strategy<Value = RowsOf> {
    prop_oneof![
        2 => Just(RowsOf::All),
        1 => Just(RowsOf::Odd),
        1 => Just(RowsOf::Even),
        1 => Just(RowsOf::Alternate),
        2 => (1u32..=ROWS, 0u32..ROWS).prop_map(|(first, more)| RowsOf::Run(first, (first + more).min(ROWS))),
    ]
}

fn done() -> impl Strategy<Value = Done> {
    let session = (0i64..24 * 60, prop_oneof![4 => (1i64..400).prop_map(Some), 1 => Just(None)]);
    (
        (0usize..2, rows(), 0i64..6),
        prop::collection::vec(session, 0..3),
        prop::collection::vec(0usize..3, 0..3),
        prop::option::weighted(0.3, (0usize..2, rows())),
    )
        .prop_map(|((block, rows, day), sessions, mut products, leftover)| {
            products.sort_unstable();
            products.dedup();
            Done { block, rows, day, sessions, products, leftover }
        })
}

/// The part that holds a row.
fn part_of(parts: &[PartClearance], row: u32) -> &PartClearance {
    let has = |part: &&PartClearance| {
        part.rows.is_empty()
            || part.rows.iter().any(|run| {
                let within = run.first <= row && run.last.is_none_or(|last| row <= last);
                within && (!run.every_other || row % 2 == run.first % 2)
            })
    };
    let holding: Vec<&PartClearance> = parts.iter().filter(has).collect();
    assert_eq!(holding.len(), 1, "row {row} is in one part: {parts:?}");
    holding[0]
}

fn told(state: &State) -> (bool, bool) {
    (state.closed.is_some(), !state.not_known.is_empty())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_board_is_clear_exactly_when_nothing_runs(
        zone in prop::sample::select(vec![Tz::America__New_York, Tz::Australia__Lord_Howe, Tz::Europe__Dublin, Tz::UTC]),
        first in prop::sample::select(vec!["2026-03-06", "2026-10-30", "2026-05-14", "2026-10-02", "2026-04-03", "2026-03-27"]),
        products in prop::collection::vec(product(), 3),
        sprays in prop::collection::vec(done(), 1..5),
        asked in prop::collection::vec(-300i64..16 * 24 * 60, 12),
    ) {
        let first: NaiveDate = first.parse().unwrap();
        let text = journal(zone, first, &products, &sprays);
        let mut sources = Sources::new();
        let file = sources.add("journal.spray", text.clone()).unwrap();
        let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
        prop_assert!(journal.troubles.is_empty(), "{:?}\n{}", journal.troubles, text);
        let season = Season::new(&journal, &sources, None);
        let duties = Duties::new(&season);
        let midnight = moment(zone, first.and_time(NaiveTime::MIN), false);
        // Any minute, and those at which something turns.
        let mut minutes: Vec<i64> = asked.iter().map(|minute| midnight + minute * 60).collect();
        for spray in &sprays {
            let (start, end) = span(zone, first, spray);
            minutes.extend([start - 60, start, end - 60, end]);
        }
        let mut turning: Vec<i64> = Vec::new();
        for _ in 0..2 {
            for now in std::mem::take(&mut minutes) {
                let board = clearance(&duties, season.zone.at(now));
                for (block, parts) in board.blocks.iter().enumerate() {
                    for row in 1..=ROWS {
                        let part = part_of(&parts.parts, row);
                        let wanted = model(zone, first, &products, &sprays, (block, row), now);
                        let shown = DateTime::<Utc>::from_timestamp(now, 0).unwrap().with_timezone(&zone);
                        prop_assert_eq!([told(&part.people), told(&part.picking)], wanted, "{} row {} at {}\n{}", BLOCKS[block], row, shown, text);
                        let closed = [&part.people, &part.picking].into_iter().filter_map(|state| state.closed.as_ref());
                        // A spray that began meanwhile would close it again; what is known now ends then.
                        turning.extend(closed.flat_map(|closed| [closed.until.seconds - 60, closed.until.seconds]));
                    }
                }
            }
            // And each moment that was said, with the minute before it.
            turning.sort_unstable();
            turning.dedup();
            minutes = std::mem::take(&mut turning);
        }
    }
}
