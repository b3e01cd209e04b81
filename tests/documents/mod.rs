//! Documents: what they say, that they are harmless whatever the journal says, and that they look right on paper and on
//! a phone.

mod audit;
pub mod browser;
mod calendar;
mod calibration;
mod clearance;
mod columns;
mod command;
mod hostile;
mod incident;
mod law_records;
mod paper_and_text;
mod posted;
mod postings_and_shed;
mod signs;
mod snapshots;
mod stock;
mod templates;
mod what_they_say;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use foliary::documents::{
    Book, FarmCard, Language, Link, MixJob, PlanView, Records, Scope, Summary, batch_labels, binder,
    calendar as of_calendar, calibration_cards, clearance_board, incident, index, inputs, law_records, mix_sheet,
    monthly_use, plan_view, posting_sheets, records, sign_schedule, stock_sheet, summary,
};
use foliary::files::{Loaded, load};
use foliary::finding::Finding;
use foliary::journal::BlockId;
use foliary::journal::Journal;
use foliary::plan::{Request, WhatIf, plan};
use foliary::render::{Format, Templates};
use foliary::season::Season;
use foliary::text::{SourceId, Sources, Span};
use foliary::{Farm, checks, compile_farm};
use serde::Serialize;

/// A document by its name, in both formats.
struct Written {
    name: &'static str,
    html: String,
    markdown: String,
}

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("journal-examples").join(name)
}

fn as_of() -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(2026, 12, 31)
}

/// Which findings a book of a test has.
enum Found {
    /// None, so that a test of documents does not hang on what is checked.
    Nothing,
    /// Those of the checks.
    Checked,
    /// Made for the test.
    These(fn(&Journal, &Sources) -> Vec<Finding>),
}

/// Does something with the book of a journal's files.
fn with_book<T>(
    sources: &Sources,
    files: &[SourceId],
    scope: &Scope,
    found: &Found,
    use_book: impl FnOnce(&Book<'_>) -> T,
) -> T {
    let journal = compile_farm(sources, Farm { files, missing: &[] });
    let season = Season::new(&journal, sources, as_of());
    let findings = match found {
        Found::Nothing => Vec::new(),
        Found::Checked => checks::run(&season),
        Found::These(make) => make(&journal, sources),
    };
    use_book(&Book::new(&season, &findings, files, scope))
}

fn loaded(name: &str) -> Loaded {
    load(&[example(name)]).unwrap()
}

/// Views of a journal given as text.
fn views(text: &str, found: &Found) -> (Summary, Records) {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    with_book(&sources, &[file], &Scope::default(), found, |book| (summary(book), records(book)))
}

fn write(book: &Book<'_>, templates: &Templates) -> Vec<Written> {
    let (season, sheets) = (summary(book), records(book));
    let links = vec![Link { title: "Season summary".into(), path: "farm/season".into(), endings: vec!["html", "md"] }];
    let cards = index(vec![FarmCard::new(book, links)]);
    let mut written = vec![
        filled(templates, "season", &season),
        filled(templates, "records", &sheets),
        filled(templates, "index", &cards),
    ];
    written.push(filled(templates, "inputs", &inputs(book)));
    written.push(filled(templates, "binder", &binder(book)));
    written.push(filled(templates, "calendar", &of_calendar(book, None, &[])));
    written.push(filled(templates, "incident", &incident(book, BlockId::at(0))));
    written.extend(law_records(book).iter().map(|view| filled(templates, "law-records", view)));
    written.extend(monthly_use(book).map(|view| filled(templates, "monthly-use", &view)));
    written.extend(posting_sheets(book).map(|view| filled(templates, "postings", &view)));
    written.extend(calibration_cards(book).map(|view| filled(templates, "calibration", &view)));
    written.push(filled(templates, "stock", &stock_sheet(book)));
    written.extend(batch_labels(book).map(|view| filled(templates, "batch-labels", &view)));
    written.extend(sign_schedule(book).map(|view| filled(templates, "signs", &view)));
    let said = ["As asked for: 60 gal.".to_string()];
    let job = |facts| MixJob { facts, volume: &said, warnings: &said, language: Language::Both };
    let sheet = book.sprays().find_map(|facts| mix_sheet(book, job(facts)).ok());
    written.extend(sheet.map(|view| filled(templates, "mix-sheet", &view)));
    let busy = book.season.sprays.last().map_or_else(|| book.season.zone.at(0), |facts| facts.start);
    written.push(filled(templates, "clearance", &clearance_board(book, busy)));
    written.extend(planned(book).map(|view| filled(templates, "plan", &view)));
    written
}

/// The plan as it is on the last page of the journal; nothing of a journal without pages.
fn planned(book: &Book<'_>) -> Option<PlanView> {
    let today = book.season.journal.days.iter().map(|day| day.at.day).max()?;
    let plan = plan(book.season, &book.files, &Request::all(today)).unwrap();
    Some(plan_view(book, &plan, Some((&[hostile::HOSTILE.to_string()], &WhatIf::default()))))
}

fn filled(templates: &Templates, name: &'static str, view: &impl Serialize) -> Written {
    let fill = |format| templates.fill(name, view, format).unwrap();
    Written { name, html: fill(Format::Html), markdown: fill(Format::Markdown) }
}

/// All documents of a journal given as text.
fn documents(text: &str, found: &Found) -> Vec<Written> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let templates = Templates::new(Vec::new()).unwrap();
    with_book(&sources, &[file], &Scope::default(), found, |book| write(book, &templates))
}

/// All documents of every farm of an example.
fn example_documents(name: &str, found: &Found) -> Vec<(String, Vec<Written>)> {
    let loaded = loaded(name);
    let templates = Templates::new(Vec::new()).unwrap();
    let farms = loaded.farms.iter().map(|farm| {
        let name = farm.folder.file_name().unwrap().to_string_lossy().into_owned();
        let written = with_book(&loaded.sources, &farm.files, &Scope::default(), found, |book| write(book, &templates));
        (name, written)
    });
    farms.collect()
}

/// The first place where some words stand.
fn at(sources: &Sources, words: &str) -> Span {
    let (_, source) = sources.iter().next().unwrap();
    let offset = source.text().find(words).expect("the words stand in the journal") as u32;
    Span::new(source.base() + offset, source.base() + offset + words.len() as u32)
}
