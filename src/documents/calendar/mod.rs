//! What is ahead, by weeks: rounds due, when people may go in and pick again, signs and sheets, batches, calibrations,
//! licences. The same for the calendar on a telephone: each entry has a name of its own, so that reading it in again moves
//! what changed.

mod dates;
mod event;
mod holds;
mod keys;
mod law;
mod notices;
mod rounds;
mod waits;

use chrono::{Datelike, Days, NaiveDate};
use serde::Serialize;

pub use event::{Event, EventKind, EventState, When};

use self::event::Draft;
use self::keys::SprayKeys;
use self::waits::BlockWaits;
use super::assumed;
use super::book::Book;
use super::cautions::cautions;
use super::head::Head;
use super::phrases::whole_minute;
use super::scope::Scope;
use super::words::{day, days};
use crate::duty::{Duties, rule_waits};
use crate::journal::BlockId;
use crate::plan::Plan;
use crate::season::Moment;

/// How many days back a calendar begins where no day is asked for, so that what was done lately is marked in it.
const BACK: u64 = 14;
/// The last year whose days calendar files can say, all but its last day: the end of that is in the year 10000.
const LAST_YEAR: i32 = 9999;

/// What reading a calendar file does, by RFC 5545 sections 3.8.4.7 and 3.8.7.4 and RFC 5546 section 2.1.5.
const READING_IN: &[&str] = &[
    "Reading the file in again moves and rewords what changed: every entry keeps its identity, which is made of what it is about and never of its time, and its sequence number is the number of minutes from 1 January 2000 to the moment that counted as now: the start of the day, where a day was given.",
    "A record that was taken out of the journal leaves its entries in the calendar: no file can say what is no longer in it. Delete them by hand, or delete the calendar and read the file in anew.",
    "An entry whose place another one took, and a round that was skipped, is in the file as cancelled, and says why.",
    "A calendar shows what was known on the day of the file. Look at the journal before you act by it.",
];

/// The calendar of a farm.
#[derive(Clone, Debug, Serialize)]
pub struct Calendar {
    /// Top and foot.
    pub head: Head,
    /// Which days, in words.
    pub days: String,
    /// The time zone; absent where none is written, and moments are as the clock on the wall has them.
    pub zone: Option<&'static str>,
    /// The weeks with anything in them, in the order of time.
    pub weeks: Vec<Week>,
    /// What another entry took the place of: only for calendars that still hold it.
    pub replaced: Vec<Event>,
    /// What is not in it though it should be.
    pub unknown: Vec<String>,
    /// What reading the file in does.
    pub reading_in: Vec<&'static str>,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// A week, from Monday on.
#[derive(Clone, Debug, Serialize)]
pub struct Week {
    /// `Week of 11 May 2026`.
    pub title: String,
    /// Its Monday.
    pub first: String,
    /// What is in it, in the order of time.
    pub events: Vec<Event>,
}

impl Calendar {
    /// Every entry, those whose place another took included, in the order of time.
    pub fn events(&self) -> Vec<&Event> {
        let mut all: Vec<&Event> = self.weeks.iter().flat_map(|week| &week.events).chain(&self.replaced).collect();
        all.sort_by(|one, other| order(one).cmp(&order(other)));
        all
    }
}

fn order(event: &Event) -> impl Ord + use<'_> {
    (event.at.order(), event.sort, &event.title, &event.uid)
}

/// The calendar of a book: of the days that it is about, or else from two weeks ago on; of some kinds, or of all where none
/// is given. The rounds are those of the plan of the same season, where there is one.
pub fn calendar(book: &Book<'_>, plan: Option<&Plan>, kinds: &[EventKind]) -> Calendar {
    let asked = book.scope;
    let back = || book.season.as_of.map(|today| today.checked_sub_days(Days::new(BACK)).unwrap_or(today));
    let mut drafts = Drafts { from: asked.from.or_else(back), to: asked.to, ..Drafts::default() };
    // Days are asked of what follows, not of what it follows from: a wait can be of a spray long ago.
    let scope = Scope { blocks: asked.blocks.clone(), ..Scope::default() };
    let whole = book.about(&scope);
    let keys = SprayKeys::new(&whole);
    if let Some(plan) = plan {
        rounds::of_rounds(&whole, plan, &mut drafts);
    }
    let duties = Duties::new(book.season);
    let asked = rule_waits(&duties);
    let blocks = 0..book.journal().blocks.len();
    let waits: Vec<BlockWaits<'_>> = blocks.map(|block| BlockWaits::new(&whole, &asked, BlockId::at(block))).collect();
    holds::of_holds(&whole, &waits, &mut drafts);
    dates::of_picking(&whole, &waits, &mut drafts);
    notices::of_notices(&whole, &keys, &mut drafts);
    law::of_records(&whole, &keys, &mut drafts);
    // What is of the whole farm is of no block that was asked for.
    if scope.blocks.is_empty() {
        dates::of_farm(&whole, &mut drafts);
        law::of_rules(&whole, &mut drafts);
    }
    let farm = book.journal().farm.as_ref().map_or("", |farm| &farm.named.name);
    let zoned = book.season.zone.name().is_some();
    let (from, to) = (drafts.from, drafts.to);
    let wanted = |draft: &Draft| kinds.is_empty() || kinds.contains(&draft.kind);
    let mut events: Vec<Event> = drafts.list.into_iter().filter(wanted).map(|draft| draft.event(farm, zoned)).collect();
    events.sort_by(|one, other| order(one).cmp(&order(other)));
    let (replaced, events) = events.into_iter().partition(|event| event.standing == EventState::Replaced);
    Calendar {
        head: Head::new(&whole),
        days: match (from, to) {
            (Some(from), Some(to)) => days(from, to),
            (Some(from), None) => format!("from {} on", day(from)),
            (None, Some(to)) => format!("up to {}", day(to)),
            (None, None) => "all that is known".to_string(),
        },
        zone: book.season.zone.name(),
        weeks: weeks(events, from),
        replaced,
        unknown: drafts.unknown,
        reading_in: READING_IN.to_vec(),
        assumed: assumed::of_calendar(&whole),
        cautions: cautions(&whole),
    }
}

/// Entries by the week in which they begin; what began before the days that are asked for stands in the first.
fn weeks(events: Vec<Event>, from: Option<NaiveDate>) -> Vec<Week> {
    let mut weeks: Vec<(NaiveDate, Week)> = Vec::new();
    for event in events {
        let first = event.at.first_day();
        let first = from.map_or(first, |from| first.max(from));
        let monday = first.week(chrono::Weekday::Mon).checked_first_day().unwrap_or(first);
        match weeks.last_mut() {
            Some((known, week)) if *known == monday => week.events.push(event),
            _ => {
                let title = format!("Week of {}", day(monday));
                weeks.push((monday, Week { title, first: monday.to_string(), events: vec![event] }));
            }
        }
    }
    weeks.into_iter().map(|(_, week)| week).collect()
}

/// What goes into the calendar, as far as it is of the days that are asked for.
#[derive(Default)]
struct Drafts {
    from: Option<NaiveDate>,
    to: Option<NaiveDate>,
    list: Vec<Draft>,
    unknown: Vec<String>,
}

impl Drafts {
    /// Whether something is of the days that are asked for. Nothing is of years that no
    /// calendar file can say.
    fn has(&self, at: When) -> bool {
        let sayable = |day: NaiveDate| (0..LAST_YEAR).contains(&day.year());
        sayable(at.first_day())
            && sayable(at.last_day())
            && self.from.is_none_or(|from| from <= at.last_day())
            && self.to.is_none_or(|to| at.first_day() <= to)
    }

    fn extend(&mut self, drafts: impl IntoIterator<Item = Draft>) {
        for draft in drafts {
            if self.has(draft.at) {
                self.list.push(draft);
            }
        }
    }
}

/// How something stands that is to be done, and may have been.
fn task(book: &Book<'_>, at: When, done: bool) -> EventState {
    match book.season.as_of {
        _ if done => EventState::Done,
        Some(today) if at.last_day() < today => EventState::Overdue,
        Some(today) if at.first_day() <= today => EventState::Due,
        _ => EventState::ToCome,
    }
}

/// A block's title, and where it is.
fn place(book: &Book<'_>, block: BlockId) -> (String, Option<String>) {
    (book.block(block).to_string(), book.some_words(book.journal().block(block).location))
}

/// The end of a wait, a part of a minute counted as a whole one, so that no calendar shows it too early.
fn whole(book: &Book<'_>, moment: Moment) -> Moment {
    let seconds = whole_minute(moment).signed_duration_since(moment.local).num_seconds();
    if seconds == 0 { moment } else { book.season.zone.later(moment, seconds) }
}
