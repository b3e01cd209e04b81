//! One application, with everything that rules on spray records ask for. What the journal does not say is left empty,
//! never filled in.

use serde::Serialize;

use super::amended::{Amended, amendments};
use super::book::Book;
use super::digest::{Digest, entry_lines};
use super::evidence::signatures;
use super::findings::FindingView;
use super::notes::notes;
use super::past::{Past, past};
use super::postings::{Notices, notices};
use super::record_parts::{Batch, Clear, Party, Place, Product, Sprayer, Water, Weather};
use super::record_parts::{batches, clear, parties, places, products, sprayer, water, weather};
use super::totals::both_per_area;
use super::words::{self, clock, day, list, moment, stated};
use crate::journal::{MaterialId, Stated};
use crate::season::{SprayFacts, share_put_down};

/// One application.
#[derive(Clone, Debug, Serialize)]
pub struct Record {
    /// Its number among those shown.
    pub number: usize,
    /// How many are shown.
    pub of: usize,
    /// The day it was done.
    pub date: String,
    /// When it began.
    pub start: Option<String>,
    /// When it ended, as written.
    pub end: Option<String>,
    /// Each session, where there is more than one.
    pub sessions: Vec<String>,
    /// Which ground, in a line.
    pub ground: String,
    /// The blocks.
    pub places: Vec<Place>,
    /// The area treated, all blocks together.
    pub area: Option<String>,
    /// Whether the area was worked out from rows and blocks rather than written.
    pub area_worked_out: bool,
    /// The mix.
    pub mix: Option<String>,
    /// What was in the tank.
    pub products: Vec<Product>,
    /// The finished volume.
    pub volume: Option<String>,
    /// Finished volume for the ground.
    pub volume_per_area: Option<String>,
    /// The water.
    pub water: Water,
    /// Loads of the tank, as written.
    pub loads: Vec<String>,
    /// Type of use.
    pub use_type: Option<String>,
    /// Why.
    pub reason: Option<String>,
    /// Against what.
    pub target: Option<String>,
    /// The growth stage.
    pub stage: Option<String>,
    /// The test, plan or recommendation behind it.
    pub evidence: Option<String>,
    /// The sprayer.
    pub sprayer: Sprayer,
    /// Who sprayed.
    pub applicators: Vec<Party>,
    /// Who authorised it.
    pub authorised: Vec<Party>,
    /// Who owns or runs the farm.
    pub owner: Option<String>,
    /// Weather readings.
    pub weather: Vec<Weather>,
    /// When re-entry ends, and by which material.
    pub reentry: Option<String>,
    /// Whether any label in the tank states a re-entry interval, or says that it states none.
    pub reentry_none: bool,
    /// Materials whose re-entry interval is not written.
    pub reentry_missing: Option<String>,
    /// Sheets and signs.
    pub notices: Vec<Notices>,
    /// When blocks may first be picked.
    pub clear: Vec<Clear>,
    /// Materials whose harvest interval for the crop is not written.
    pub preharvest_missing: Option<String>,
    /// Home-made batches.
    pub batches: Vec<Batch>,
    /// Where and why it was broken off.
    pub stopped: Option<String>,
    /// What was left, and where it went.
    pub leftover: Option<String>,
    /// When and by whom it was written down.
    pub entered: Option<Written>,
    /// What git shows of it; absent where git was not looked at.
    pub past: Option<Past>,
    /// Who signed it, and when.
    pub signed: Option<String>,
    /// Corrections.
    pub amendments: Vec<Amended>,
    /// Findings about it, accepted ones included.
    pub findings: Vec<FindingView>,
    /// Notes, as Markdown.
    pub notes: Vec<String>,
    /// Where the entry is.
    pub lines: String,
    /// What identifies the entry's text.
    pub digest: Digest,
}

/// When and by whom a record was written down.
#[derive(Clone, Debug, Serialize)]
pub struct Written {
    /// The day, with the time where it is known.
    pub on: String,
    /// By whom.
    pub by: Option<String>,
    /// How long after the application: `the same day`, `2 days after`.
    pub after: String,
}

/// The record of a spray.
pub(super) fn record(book: &Book<'_>, facts: &SprayFacts, number: usize, of: usize) -> Record {
    let journal = book.journal();
    let spray = facts.spray(journal);
    let zone = &book.season.zone;
    let sessions = spray.sessions.iter().map(|session| {
        let start = clock(zone.written(session.start, false).0, spray.at.day);
        match session.end {
            Some(end) => format!("{start} to {}", clock(zone.written(end, true).0, spray.at.day)),
            None => format!("{start}, end not recorded"),
        }
    });
    let sessions: Vec<String> = sessions.collect();
    let leftover = spray.leftover.as_ref().map(|leftover| book.words(leftover.span));
    let lines = entry_lines(book.season.sources, spray.at.entry);
    Record {
        number,
        of,
        date: spray.at.day.format("%A %-d %B %Y").to_string(),
        start: (!spray.sessions.is_empty()).then(|| clock(facts.start, spray.at.day)),
        end: (!facts.end_assumed).then(|| clock(facts.end, spray.at.day)),
        sessions: if sessions.len() > 1 { sessions } else { Vec::new() },
        ground: book.ground(&spray.ground),
        places: places(book, facts),
        area: facts.area.map(|area| book.amount(area)),
        area_worked_out: spray.over.is_none(),
        mix: spray.mix.map(|used| {
            used.mix.id.map_or_else(|| book.words(used.mix.span), |mix| journal.mix(mix).named.shown().to_string())
        }),
        products: products(book, facts),
        volume: facts.finished.map(|volume| book.amount(volume)),
        volume_per_area: volume_per_area(book, facts),
        water: water(book, spray),
        loads: spray.loads.iter().map(|load| book.words(load.span)).collect(),
        use_type: book.some_words(spray.use_),
        reason: book.some_words(spray.reason),
        target: book.some_words(spray.target),
        stage: book.some_words(spray.stage),
        evidence: book.some_words(spray.evidence),
        sprayer: sprayer(book, spray),
        applicators: parties(book, &spray.by),
        authorised: parties(book, &spray.authorised),
        owner: book.some_words(journal.farm.as_ref().and_then(|farm| farm.owner)),
        weather: weather(book, spray),
        reentry: facts.reentry.map(|hold| {
            let interval = journal.material(hold.material).reentry.map_or(String::new(), |time| stated(time.value));
            let assumed = if facts.end_assumed { ", from an end taken as 23:59" } else { "" };
            format!("{} ({interval}, {}{assumed})", moment(hold.until), book.material(hold.material))
        }),
        reentry_none: !facts.doses.is_empty()
            && facts.doses.iter().all(|dose| {
                journal.material(dose.material).reentry.is_some_and(|time| time.value == Stated::NoneStated)
            }),
        reentry_missing: missing(book, facts, |material| journal.material(material).reentry.is_none()),
        notices: notices(book, facts),
        clear: clear(book, facts),
        preharvest_missing: missing(book, facts, |material| {
            let without = |block| book.season.preharvest(material, book.season.crop(block)).is_none();
            facts.touched.iter().any(|touched| without(touched.block))
        }),
        batches: batches(book, spray),
        stopped: book.some_words(spray.stopped),
        leftover,
        entered: spray.entered.as_ref().map(|entered| written(book, entered, spray.at.day)),
        past: past(book, spray.at.entry.start, spray.at.day, (!facts.end_assumed).then_some(facts.end)),
        signed: signatures(book, &spray.signed),
        amendments: amendments(book, spray),
        findings: book.findings_at(spray.at.entry).into_iter().map(|finding| FindingView::new(book, finding)).collect(),
        notes: notes(book, &spray.notes),
        lines: book.lines(lines),
        digest: Digest::of_lines(book.season.sources, lines),
    }
}

pub(super) fn written(book: &Book<'_>, entered: &crate::journal::Entered, done: chrono::NaiveDate) -> Written {
    let time = entered.clock.map(|clock| clock.local.format(" %H:%M").to_string()).unwrap_or_default();
    let after = match entered.day.signed_duration_since(done).num_days() {
        0 => "the same day".to_string(),
        1 => "1 day after".to_string(),
        days if days > 1 => format!("{days} days after"),
        days => format!("{} before the application", words::count(days.unsigned_abs() as usize, "day", "days")),
    };
    Written { on: format!("{}{time}", day(entered.day)), by: book.people(&entered.by), after }
}

fn volume_per_area(book: &Book<'_>, facts: &SprayFacts) -> Option<String> {
    // What was left in the tank did not go on the ground.
    let volume = facts.finished?.times(share_put_down(facts, facts.spray(book.journal()))?)?;
    both_per_area(book, volume.base()?.div(facts.area?.base()?)?, volume.unit)
}

/// The materials of a tank of which something is not written.
fn missing(book: &Book<'_>, facts: &SprayFacts, lacks: impl Fn(MaterialId) -> bool) -> Option<String> {
    let names: Vec<&str> =
        facts.doses.iter().filter(|dose| lacks(dose.material)).map(|dose| book.material(dose.material)).collect();
    (!names.is_empty()).then(|| list(&names))
}
