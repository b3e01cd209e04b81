//! Which pages there are.

use serde::Serialize;

use super::edition::FarmPages;
use super::frame::Link;
use crate::finding::{Counts, summary_counts};
use crate::render::{DOCUMENTS, DocumentKind, Sheet};

/// Which program made a page.
pub(super) const MADE_BY: &str = concat!("foliary ", env!("CARGO_PKG_VERSION"));

/// The documents that are looked at most; the others stand on the page that lists all.
const AT_HAND: &[&str] = &["season", "records", "plan", "postings", "stock"];

/// The page that leads to every farm.
#[derive(Debug, Serialize)]
pub(super) struct Start {
    made_by: &'static str,
    counts: String,
    farms: Vec<FarmRow>,
}

#[derive(Debug, Serialize)]
struct FarmRow {
    title: String,
    counts: String,
    errors: usize,
    links: Vec<Link>,
}

pub(super) fn start(farms: &[FarmPages<'_>]) -> Start {
    let row = |farm: &FarmPages<'_>| FarmRow {
        title: farm.title.clone(),
        counts: farm.counts(),
        errors: summary_counts(&farm.findings).errors,
        links: links(farm, ""),
    };
    Start { made_by: MADE_BY, counts: counts(farms), farms: farms.iter().map(row).collect() }
}

/// The findings of all farms, counted.
pub(super) fn counts(farms: &[FarmPages<'_>]) -> String {
    let all = farms.iter().map(|farm| summary_counts(&farm.findings)).fold(Counts::default(), |sum, one| Counts {
        errors: sum.errors + one.errors,
        warnings: sum.warnings + one.warnings,
        notes: sum.notes + one.notes,
        accepted: sum.accepted + one.accepted,
    });
    all.to_string()
}

/// The links to the pages of a farm that are looked at most. `here` is the page that they stand on.
pub(super) fn links(farm: &FarmPages<'_>, here: &str) -> Vec<Link> {
    let at_hand = |word: &str| AT_HAND.contains(&word);
    let documents = DOCUMENTS.iter().filter(|kind| at_hand(kind.word)).map(|kind| (title(kind), kind.word));
    let own = [
        ("Findings", "findings"),
        ("Journal text", "journal"),
        ("Clearance board", "clearance"),
        ("Mix sheets", "mix-sheets"),
    ];
    let elsewhere = DOCUMENTS.iter().any(|kind| kind.word == here && !at_hand(here));
    let all = own
        .map(|(title, word)| (title.to_string(), word))
        .into_iter()
        .chain(documents)
        .chain([("All pages".to_string(), "pages")]);
    all.map(|(title, word)| Link {
        title,
        address: farm.address(word),
        here: word == here || word == "pages" && elsewhere,
    })
    .collect()
}

/// The page that lists others.
#[derive(Debug, Serialize)]
pub(super) struct Pages {
    made_by: &'static str,
    farm: String,
    title: String,
    pages: Vec<PageRow>,
}

#[derive(Debug, Serialize)]
struct PageRow {
    title: String,
    address: String,
    about: String,
}

/// Every page of a farm.
pub(super) fn pages(farm: &FarmPages<'_>) -> Pages {
    let own = [
        ("Findings", "findings", "What disagrees, with the arithmetic and what to do"),
        ("Journal text", "journal", "Your files, with the findings beside the lines"),
        ("Clearance board", "clearance", "Who may go in and what may be picked now"),
        ("Mix sheets", "mix-sheets", "What goes into each load, for the sprays of today and later"),
    ];
    let own = own.map(|(title, word, about)| PageRow {
        title: title.to_string(),
        address: farm.address(word),
        about: about.to_string(),
    });
    let documents = DOCUMENTS.iter().map(|kind| PageRow {
        title: title(kind),
        address: farm.address(kind.word),
        about: kind.about.to_string(),
    });
    let meanings = PageRow {
        title: "What findings mean".to_string(),
        address: "/meaning".to_string(),
        about: "Every finding that there can be, explained".to_string(),
    };
    let pages = own.into_iter().chain(documents).chain([meanings]).collect();
    Pages { made_by: MADE_BY, farm: farm.title.clone(), title: "All pages".to_string(), pages }
}

/// Pages that a page leads to.
pub(super) fn list(farm: &FarmPages<'_>, title: &str, rows: impl IntoIterator<Item = (String, String)>) -> Pages {
    let row = |(title, address)| PageRow { title, address, about: String::new() };
    let pages = rows.into_iter().map(row).collect();
    Pages { made_by: MADE_BY, farm: farm.title.clone(), title: title.to_string(), pages }
}

/// The documents of a kind of which there are several.
pub(super) fn several(farm: &FarmPages<'_>, kind: &DocumentKind, sheets: &[Sheet]) -> Pages {
    let address = |sheet: &Sheet| farm.address(&format!("{}/{}", kind.word, sheet.name));
    list(farm, &title(kind), sheets.iter().map(|sheet| (sheet.title.clone(), address(sheet))))
}

/// A kind of document in words: its name as a heading.
pub(super) fn title(kind: &DocumentKind) -> String {
    let words = match kind.word {
        "season" => "Season summary",
        "postings" => "Posting sheets",
        "signs" => "Warning signs",
        "calibration" => "Calibration cards",
        "law-records" => "Records by rulebook",
        "inputs" => "Input list",
        "binder" => "Audit binder",
        "stock" => "Stock sheet",
        word => {
            let words = word.replace('-', " ");
            let (first, rest) = words.split_at(words.chars().next().map_or(0, char::len_utf8));
            return first.to_uppercase() + rest;
        }
    };
    words.to_string()
}

/// A page with a sentence.
#[derive(Debug, Serialize)]
pub(super) struct Message<'m> {
    made_by: &'static str,
    title: &'m str,
    words: &'m str,
}

pub(super) fn message<'m>(title: &'m str, words: &'m str) -> Message<'m> {
    Message { made_by: MADE_BY, title, words }
}
