//! One sheet of paper about one spray, to hang where people pass: what was sprayed, where, and when they may go back in.
//! Nobody's interval is invented: what is not recorded is said to be so, and no time is printed as if it were known.

use chrono::NaiveDateTime;
use serde::Serialize;

use super::amended::{Amended, amendments};
use super::book::Book;
use super::closed::Closed;
use super::digest::{Digest, entry_lines};
use super::element_values::actives;
use super::notice_rules::{SheetAsked, longest, undeclared, without_interval};
use super::phrases::{self, Both, PHRASES};
use super::postings::sheets;
use crate::duty::{Duties, Exclusion, exclusion_zone};
use crate::finding::{Finding, Level};
use crate::journal::{Ground, Picked, PickedRows, Session};
use crate::season::Change;
use crate::season::{Moment, SprayFacts};

/// A sheet to hang up.
#[derive(Clone, Debug, Serialize)]
pub struct PostingSheet {
    /// Its number among those shown.
    pub number: usize,
    /// How many are shown.
    pub of: usize,
    /// Which ground, in a line.
    pub ground: Both,
    /// The blocks.
    pub places: Vec<PostedPlace>,
    /// The day of the spray.
    pub day: Both,
    /// When people may go in.
    pub entry: Entry,
    /// When it was sprayed, a line a session; empty where no time is recorded.
    pub sessions: Vec<PostedSession>,
    /// What was in the tank.
    pub products: Vec<PostedProduct>,
    /// Until when the sheet stays up.
    pub stays: Stays,
    /// How far everybody else stays away while spraying, where a rule in force says so.
    pub zone: Option<Both>,
    /// Two sentences to say aloud.
    pub tell: Both,
    /// When it was hung up, and by whom, as far as recorded.
    pub hung: Vec<Both>,
    /// When it was taken down.
    pub taken: Vec<Both>,
    /// Whether findings at error level are open about this record.
    pub errors: bool,
    /// Corrections of the record.
    pub amendments: Vec<Amended>,
    /// Who asks for the sheet.
    pub asked_by: Vec<Both>,
    /// How large the letters can be: `roomy`, `snug` or `tight`.
    pub fit: &'static str,
    /// Where the entry is.
    pub lines: String,
    /// What identifies the entry's text.
    pub digest: Digest,
}

/// When people may go in.
#[derive(Clone, Debug, Serialize)]
pub struct Entry {
    /// The end of the longest interval that is recorded.
    pub until: Option<Both>,
    /// Whether an interval is not recorded, so that one must ask.
    pub ask: bool,
    /// The same end as the least to wait, for where one must ask.
    pub not_before: Option<Both>,
    /// Which intervals are not recorded, and what the end was counted from.
    pub why: Vec<Both>,
    /// Blocks that another spray keeps closed for longer.
    pub longer: Vec<Both>,
    /// The latest of all these ends.
    #[serde(skip)]
    latest: Option<Both>,
}

impl Entry {
    /// How many lines it takes, about.
    fn lines(&self) -> usize {
        self.why.len() + 3 * self.longer.len() + if self.ask { 2 } else { 0 }
    }
}

/// Until when a sheet stays up.
#[derive(Clone, Debug, Serialize)]
pub struct Stays {
    /// The time; absent where no rule says how long.
    pub until: Option<Both>,
    /// Whether it is the earliest that can be told, since an interval is not recorded.
    pub at_least: bool,
    /// What it was counted from.
    pub why: Both,
    /// The moment by which the sheet may come down, by what is recorded.
    #[serde(skip)]
    pub over: Moment,
}

/// A block on a sheet.
#[derive(Clone, Debug, Serialize)]
pub struct PostedPlace {
    /// Its title.
    pub block: String,
    /// Its name in the journal, where that differs.
    pub name: Option<String>,
    /// Whether it only got what was left in the tank.
    pub leftover: bool,
    /// The crop.
    pub crop: Option<String>,
    /// Where it is.
    pub location: Option<String>,
    /// The map that shows it.
    pub map: Option<String>,
}

/// When it was sprayed.
#[derive(Clone, Debug, Serialize)]
pub struct PostedSession {
    /// The start.
    pub start: Both,
    /// The end.
    pub end: Option<Both>,
}

/// Something in the tank.
#[derive(Clone, Debug, Serialize)]
pub struct PostedProduct {
    /// Its title.
    pub name: String,
    /// The registration number.
    pub registration: Option<String>,
    /// Active ingredients with their share.
    pub actives: Option<String>,
    /// The re-entry interval on its label.
    pub interval: Option<Both>,
    /// Where the safety data sheet is filed.
    pub sds: Option<String>,
}

/// How large the letters can be so that the sheet stays one, by the lines that it takes besides those of every sheet.
fn fit(lines: usize) -> &'static str {
    match lines {
        0..=9 => "roomy",
        10..=15 => "snug",
        _ => "tight",
    }
}

/// What the sheets of a farm are made from, worked out once for all of them.
pub(super) struct Wall<'s> {
    pub duties: Duties<'s>,
    closed: Closed,
}

impl<'s> Wall<'s> {
    /// Of a book.
    pub(super) fn new(book: &Book<'s>, duties: Duties<'s>) -> Self {
        Self { duties, closed: Closed::new(book.season) }
    }
}

/// The sheet of a spray, not yet numbered.
pub(super) fn posting_sheet(book: &Book<'_>, wall: &Wall<'_>, facts: &SprayFacts, asked: SheetAsked) -> PostingSheet {
    let journal = book.journal();
    let spray = facts.spray(journal);
    let zone = &book.season.zone;
    let unknown = undeclared(book, spray);
    let missing = without_interval(book, facts, &unknown);
    let products = products(book, facts, &unknown);
    let places = places(book, facts);
    let entry = entry(book, wall, facts, &missing, products.is_empty());
    let (zone_said, zone_rule) = exclusion(book, wall, facts);
    let session = |session: &Session| PostedSession {
        start: phrases::moment(zone.written(session.start, false).0.local),
        end: session.end.map(|end| phrases::moment(zone.written(end, true).0.local)),
    };
    let changes = sheets(book, facts);
    let open_error = |finding: &&Finding| finding.level == Level::Error && finding.accepted.is_none();
    let errors = book.findings_at(spray.at.entry).iter().any(open_error);
    let amendments = amendments(book, spray);
    let lines_taken = entry.lines()
        + 2 * (products.len() + places.len() + spray.sessions.len().max(1) + amendments.len())
        + 2 * (usize::from(zone_said.is_some()) + usize::from(errors) + usize::from(!changes.is_empty()));
    let posted =
        |up: bool| changes.iter().filter(|change| change.up == up).map(|change| posted(book, change)).collect();
    let lines = entry_lines(book.season.sources, spray.at.entry);
    PostingSheet {
        number: 0,
        of: 0,
        ground: ground(book, &spray.ground),
        zone: zone_said,
        day: phrases::day(spray.at.day),
        tell: tell(book, facts, &entry, &products),
        stays: stays(book, facts, &asked, entry.ask),
        sessions: spray.sessions.iter().map(session).collect(),
        fit: fit(lines_taken),
        entry,
        products,
        places,
        hung: posted(true),
        taken: posted(false),
        errors,
        amendments,
        asked_by: asked.by.into_iter().chain(zone_rule).collect(),
        lines: book.lines(lines),
        digest: Digest::of_lines(book.season.sources, lines),
    }
}

/// Blocks by their titles, and which rows of them: `Creek pears, Hill pears, rows 1-6, 9`.
fn ground(book: &Book<'_>, ground: &Ground) -> Both {
    let names = ground.blocks.iter();
    let names = names.map(|block| block.id.map_or_else(|| book.words(block.span), |id| book.block(id).to_string()));
    let names: Vec<String> = names.collect();
    let blocks = if names.is_empty() { PHRASES.not_recorded.said() } else { Both::same(names.join(", ")) };
    let rows = match &ground.rows {
        None => return blocks,
        Some(Picked { rows: PickedRows::Odd, .. }) => PHRASES.odd_rows.said(),
        Some(Picked { rows: PickedRows::Even, .. }) => PHRASES.even_rows.said(),
        Some(Picked { rows: PickedRows::Alternate, .. }) => PHRASES.every_other.said(),
        Some(Picked { rows: PickedRows::Listed(runs), .. }) => {
            let run = |&(first, last): &(u32, u32)| {
                if first == last { first.to_string() } else { format!("{first}-{last}") }
            };
            let runs: Vec<String> = runs.iter().map(run).collect();
            PHRASES.rows.with(&[("rows", &Both::same(runs.join(", ")))])
        }
    };
    Both { en: format!("{}, {}", blocks.en, rows.en), es: format!("{}, {}", blocks.es, rows.es) }
}

fn places(book: &Book<'_>, facts: &SprayFacts) -> Vec<PostedPlace> {
    let one = |touched: &crate::season::Touched| {
        let block = book.journal().block(touched.block);
        PostedPlace {
            block: block.named.shown().to_string(),
            name: block.named.title.as_ref().map(|_| block.named.name.to_string()),
            leftover: touched.leftover,
            crop: block.crop.as_ref().map(|crop| crop.value.to_string()),
            location: book.some_words(block.location),
            map: book.some_words(block.map),
        }
    };
    facts.touched.iter().map(one).collect()
}

fn products(book: &Book<'_>, facts: &SprayFacts, undeclared: &[String]) -> Vec<PostedProduct> {
    let declared = facts.doses.iter().map(|dose| {
        let material = book.journal().material(dose.material);
        PostedProduct {
            name: material.named.shown().to_string(),
            registration: book.some_words(material.registration),
            actives: actives(material),
            interval: material.reentry.map(|time| phrases::stated(time.value)),
            sds: book.some_words(material.sds),
        }
    });
    let unknown = undeclared.iter().map(|name| PostedProduct {
        name: name.clone(),
        registration: None,
        actives: None,
        interval: None,
        sds: None,
    });
    declared.chain(unknown).collect()
}

/// How far others stay away while spraying, and the rule that says so; the widest it can be where that is not recorded.
fn exclusion(book: &Book<'_>, wall: &Wall<'_>, facts: &SprayFacts) -> (Option<Both>, Option<Both>) {
    let (phrase, distance, asked) = match exclusion_zone(&wall.duties, facts) {
        Exclusion::Zone(zone) => (PHRASES.zone, zone.distance, zone.asked),
        Exclusion::Unknown(zone) => (PHRASES.zone_unknown, zone.at_most, zone.asked),
        Exclusion::NotAsked | Exclusion::NoneNeeded(_) => return (None, None),
    };
    let distance = Both::same(book.amount(distance));
    (Some(phrase.with(&[("distance", &distance)])), Some(Both::same(asked.cited())))
}

fn entry(book: &Book<'_>, wall: &Wall<'_>, facts: &SprayFacts, missing: &[String], nothing: bool) -> Entry {
    let ask = nothing || !missing.is_empty();
    let mut why = Vec::new();
    if !missing.is_empty() {
        why.push(PHRASES.ask_for.with(&[("products", &Both::same(missing.join(" + ")))]));
    }
    let counted = facts.reentry.zip(longest(book, facts)).map(|(hold, (stated, materials))| {
        let names: Vec<&str> = materials.into_iter().map(|material| book.material(material)).collect();
        let names = Both::same(names.join(" + "));
        why.push(PHRASES.counted.with(&[("interval", &phrases::stated(stated)), ("products", &names)]));
        hold.until
    });
    if facts.end_assumed && counted.is_some() {
        why.push(PHRASES.end_assumed.with(&[("end", &phrases::moment(facts.end.local))]));
    }
    let until = counted.map(|until| phrases::moment(phrases::whole_minute(until)));
    let not_before = until.as_ref().map(|until| PHRASES.not_before.with(&[("until", until)]));
    let own = counted.unwrap_or(facts.end);
    let mut latest = counted;
    let mut longer = Vec::new();
    for touched in &facts.touched {
        let closed = wall.closed.until(book.season, touched.block, own).filter(|closed| *closed > own);
        if let Some(closed) = closed {
            let place = Both::same(book.block(touched.block));
            let until = phrases::moment(phrases::whole_minute(closed));
            let said = PHRASES.longer.with(&[("place", &place), ("until", &until)]);
            if !longer.contains(&said) {
                longer.push(said);
            }
            latest = latest.max(Some(closed));
        }
    }
    let latest = latest.map(|latest| phrases::moment(phrases::whole_minute(latest)));
    Entry { until, ask, not_before, why, longer, latest }
}

/// Until when the sheet of a spray stays up.
pub(super) fn stays(book: &Book<'_>, facts: &SprayFacts, asked: &SheetAsked, at_least: bool) -> Stays {
    let from = facts.reentry.map_or(facts.end, |hold| hold.until);
    let Some(stays) = asked.stays else {
        return Stays { until: None, at_least, why: PHRASES.stays_unknown.said(), over: from };
    };
    let over = book.season.zone.later(from, stays);
    let rule = if facts.reentry.is_some() { PHRASES.stays_from_reentry } else { PHRASES.stays_from_end };
    Stays {
        until: Some(phrases::moment(phrases::whole_minute(over))),
        at_least,
        why: rule.with(&[("time", &phrases::seconds(stays))]),
        over,
    }
}

/// Two sentences: what was sprayed where and when, and when people may go in.
fn tell(book: &Book<'_>, facts: &SprayFacts, entry: &Entry, products: &[PostedProduct]) -> Both {
    let names: Vec<&str> = products.iter().map(|product| product.name.as_str()).collect();
    let names = if names.is_empty() { PHRASES.not_recorded.said() } else { Both::same(names.join(" + ")) };
    let place = ground(book, &facts.spray(book.journal()).ground);
    let span = span(book, facts);
    let mut values = vec![("place", &place), ("span", &span), ("products", &names)];
    let phrase = match &entry.latest {
        _ if entry.ask => PHRASES.tell_ask,
        Some(until) => {
            values.push(("until", until));
            PHRASES.tell_until
        }
        None => PHRASES.tell_none,
    };
    phrase.with(&values)
}

/// `on Friday 1 May 2026 from 06:10 (6:10 am) to 07:20 (7:20 am)`.
fn span(book: &Book<'_>, facts: &SprayFacts) -> Both {
    let spray = facts.spray(book.journal());
    if spray.sessions.is_empty() {
        return PHRASES.span_without_times.with(&[("day", &phrases::day(spray.at.day))]);
    }
    let (start, end): (NaiveDateTime, NaiveDateTime) = (facts.start.local, facts.end.local);
    if facts.end_assumed {
        return PHRASES.span_without_end.with(&[("start", &phrases::moment(start))]);
    }
    if start.date() == end.date() {
        let day = phrases::day(start.date());
        let (start, end) = (phrases::clock(start), phrases::clock(end));
        return PHRASES.span_one_day.with(&[("day", &day), ("start", &start), ("end", &end)]);
    }
    PHRASES.span_two_days.with(&[("start", &phrases::moment(start)), ("end", &phrases::moment(end))])
}

/// When and by whom something went up or came down.
fn posted(book: &Book<'_>, change: &Change<'_>) -> Both {
    let when = match change.posted.clock {
        Some(clock) => phrases::moment(book.season.zone.written(clock, true).0.local),
        None => phrases::day(change.on),
    };
    match book.people(&change.posting.by) {
        Some(by) => Both { en: format!("{}, {by}", when.en), es: format!("{}, {by}", when.es) },
        None => when,
    }
}
