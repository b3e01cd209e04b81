//! The incident bundle: everything about a block and the rest of the farm between two days, for those who must act at
//! once. What was in the tank comes first.

use chrono::NaiveDate;
use serde::Serialize;

use super::amended::{Correction, corrections};
use super::book::Book;
use super::cautions::cautions;
use super::exposure::{Exposure, exposures};
use super::findings::FindingView;
use super::head::Head;
use super::observations::{Seen, seen};
use super::presence::{NoticePosted, People, Reachable, Visit, is_on, posted, visit};
use super::quoted::{Quoted, quoted};
use super::record::{Record, record};
use super::shed::{DayWeather, weather_days};
use super::supply::BatchMade;
use super::words::days;
use super::{assumed, ledger, supply};
use crate::finding::Finding;
use crate::journal::{Block, BlockId, BrewId};
use crate::season::{SprayFacts, block_area};
use crate::text::Span;

/// The incident bundle of a block.
#[derive(Clone, Debug, Serialize)]
pub struct Incident {
    /// Top and foot.
    pub head: Head,
    /// The block.
    pub block: IncidentBlock,
    /// The days.
    pub period: String,
    /// What to do before anything else.
    pub emergency: &'static [&'static str],
    /// What was in the tanks: on the block first.
    pub products: Vec<Exposure>,
    /// Home-made batches that the sprays name.
    pub batches: Vec<BatchMade>,
    /// Everybody who is named, and how to reach them.
    pub people: Vec<Reachable>,
    /// Sprays of the block in the time.
    pub here: Vec<Record>,
    /// The last spray of the block before the time, and earlier ones whose intervals still ran.
    pub before: Vec<Record>,
    /// Sprays of the other blocks in the time.
    pub elsewhere: Vec<Record>,
    /// People in the block.
    pub visits: Vec<Visit>,
    /// Sheets and signs at the block, and for the whole farm.
    pub notices: Vec<NoticePosted>,
    /// The days' weather.
    pub weather: Vec<DayWeather>,
    /// Observations of the block.
    pub seen: Vec<Seen>,
    /// Corrections of records of these days, and those made in them.
    pub corrections: Vec<Correction>,
    /// Findings about any of the entries.
    pub findings: Vec<FindingView>,
    /// The entries as they are written.
    pub quoted: Vec<Quoted>,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// The block of an incident.
#[derive(Clone, Debug, Serialize)]
pub struct IncidentBlock {
    /// Its title.
    pub title: String,
    /// Its name in the journal.
    pub name: String,
    /// Its crop, with cultivars.
    pub crop: Option<String>,
    /// Its area on the first day.
    pub area: Option<String>,
    /// Where it is.
    pub location: Option<String>,
    /// The parcel number.
    pub parcel: Option<String>,
    /// County, section, township and range.
    pub survey: Option<String>,
    /// Site identification number.
    pub site: Option<String>,
    /// The map that shows it.
    pub map: Option<String>,
}

/// What to do before anything else. The numbers are from memory; the first line holds without them.
const EMERGENCY: &[&str] = &[
    "Somebody hurt or ill, or anybody sprayed: call the emergency number first (911 in the United States and Canada, 112 in the European Union), then the poison centre.",
    "What to do until help comes is in the first-aid part of each product's label.",
    "Give this document, the labels and the safety data sheets to those who treat the person, at once.",
    "Nobody goes onto treated ground to fetch anything.",
];

/// The incident bundle of a block, of the days that the book is about.
pub fn incident(book: &Book<'_>, block: BlockId) -> Incident {
    let journal = book.journal();
    let (from, to) = ends(book);
    let touches = |facts: &SprayFacts| facts.touched.iter().any(|touched| touched.block == block);
    let (here, elsewhere): (Vec<&SprayFacts>, Vec<&SprayFacts>) = book.sprays().partition(|facts| touches(facts));
    let before = before(book, block, from);
    let mut entries: Vec<Span> = vec![journal.block(block).named.entry];
    let mut people = People::default();
    let mut brews: Vec<BrewId> = Vec::new();
    for facts in before.iter().chain(&here).chain(&elsewhere) {
        let spray = facts.spray(journal);
        entries.push(spray.at.entry);
        entries.extend(facts.doses.iter().map(|dose| journal.material(dose.material).named.entry));
        entries.extend(spray.mix.and_then(|used| used.mix.id).map(|mix| journal.mix(mix).named.entry));
        people.did(book, &spray.by, "sprayed");
        people.did(book, &spray.authorised, "authorised a spray");
        brews.extend(spray.batches.iter().filter_map(|batch| batch.id));
    }
    let present = book.season.entries.iter().filter(|entry| {
        let on = entry.start.local.date();
        entry.block == block && from <= on && on <= to
    });
    let mut visits = Vec::new();
    for entry in present {
        let (view, span) = visit(book, entry);
        match entry.what {
            crate::season::EntryKind::Work(at) => people.did(book, &journal.works[at].by, "worked in the block"),
            crate::season::EntryKind::Harvest(at) => people.did(book, &journal.harvests[at].by, "picked"),
        }
        visits.push(view);
        entries.push(span);
    }
    let mut postings: Vec<_> = journal.postings.iter().collect();
    postings
        .retain(|one| book.scope.has_day(one.at.day) && (one.ground.blocks.is_empty() || is_on(&one.ground, block)));
    postings.sort_by_key(|one| (one.at.day, one.at.entry.start));
    postings.iter().for_each(|one| people.did(book, &one.by, "posted"));
    entries.extend(postings.iter().map(|one| one.at.entry));
    let looks: Vec<_> = book.looks(block).iter().filter(|look| book.scope.has_day(look.at.day)).collect();
    looks.iter().for_each(|look| people.did(book, &look.by, "looked"));
    entries.extend(looks.iter().map(|look| look.at.entry));
    entries.extend(journal.weather.iter().filter(|one| book.scope.has_day(one.at.day)).map(|one| one.at.entry));
    let amended = |one: &&crate::journal::Amendment| {
        one.day.map(|day| day.value).into_iter().chain([one.at.day]).any(|day| book.scope.has_day(day))
    };
    entries.extend(journal.amendments.iter().filter(amended).map(|one| one.at.entry));
    brews.sort_unstable();
    brews.dedup();
    entries.extend(brews.iter().map(|&brew| journal.brew(brew).named.entry));
    let supply = supply::Supply::new(book, &ledger::Ledger::new(book));
    let records = |sprays: &[&SprayFacts]| -> Vec<Record> {
        let of = sprays.len();
        sprays.iter().enumerate().map(|(index, facts)| record(book, facts, index + 1, of)).collect()
    };
    Incident {
        head: Head::new(book),
        block: about(book, journal.block(block), from),
        period: days(from, to),
        emergency: EMERGENCY,
        products: exposures(book, block, [&here, &before, &elsewhere]),
        batches: brews.iter().map(|&brew| supply.named(book, brew)).collect(),
        people: people.reachable(book),
        here: records(&here),
        before: records(&before),
        elsewhere: records(&elsewhere),
        visits,
        notices: postings.iter().flat_map(|one| posted(book, one)).collect(),
        weather: weather_days(book),
        seen: looks.iter().map(|look| seen(book, look)).collect(),
        corrections: corrections(book),
        findings: findings(book, &entries),
        quoted: quoted(book, entries),
        assumed: assumed::of_incident(book),
        cautions: cautions(book),
    }
}

/// The first and the last day of the book; those of the journal where none is given.
fn ends(book: &Book<'_>) -> (NaiveDate, NaiveDate) {
    let days = || book.journal().days.iter().map(|page| page.at.day);
    let first = book.scope.from.or_else(|| days().min()).unwrap_or_default();
    (first, book.scope.to.or_else(|| days().max()).unwrap_or(first))
}

/// The sprays of a block before a day that still matter on it: the last one, and any whose re-entry or harvest interval
/// was not over.
fn before<'a>(book: &Book<'a>, block: BlockId, from: NaiveDate) -> Vec<&'a SprayFacts> {
    let season = book.season;
    let begin = season.zone.start_of(from);
    let all = season.by_block[block.index()].iter().map(|&at| &season.sprays[at]);
    let earlier: Vec<&SprayFacts> = all.filter(|facts| facts.spray(season.journal).at.day < from).collect();
    let runs =
        |facts: &SprayFacts| season.harvest_hold(facts, block).is_some_and(|hold| hold.until.seconds > begin.seconds);
    let last = earlier.len().saturating_sub(1);
    earlier.iter().enumerate().filter(|(at, facts)| *at == last || runs(facts)).map(|(_, facts)| *facts).collect()
}

fn about(book: &Book<'_>, block: &Block, on: NaiveDate) -> IncidentBlock {
    let crop: Vec<String> = block
        .crop
        .as_ref()
        .map(|crop| crop.value.to_string())
        .into_iter()
        .chain(book.some_words(block.cultivar))
        .collect();
    IncidentBlock {
        title: block.named.shown().to_string(),
        name: block.named.name.to_string(),
        crop: (!crop.is_empty()).then(|| crop.join(", ")),
        area: block_area(block, on).map(|area| book.amount(area)),
        location: book.some_words(block.location),
        parcel: book.some_words(block.parcel),
        survey: book.some_words(block.survey),
        site: book.some_words(block.site),
        map: book.some_words(block.map),
    }
}

/// The findings about any of some entries, in the order of the journal, each once.
fn findings(book: &Book<'_>, entries: &[Span]) -> Vec<FindingView> {
    let mut found: Vec<&Finding> = entries.iter().flat_map(|&entry| book.findings_at(entry)).collect();
    found.sort_by_key(|finding| (finding.span().start, finding.span().end, finding.code, &finding.headline));
    found.dedup_by(|one, other| std::ptr::eq(*one, *other));
    found.into_iter().map(|finding| FindingView::new(book, finding)).collect()
}
