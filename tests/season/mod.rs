//! What follows from a journal: moments across clock changes, rows, bloom, rounds, and the waits that hang on them.
#![allow(clippy::unwrap_used, reason = "a helper of tests that cannot go on should stop")]

mod bloom;
mod calibrations;
mod clearance;
mod clearance_model;
mod clock;
mod doses;
mod planted;
mod rounds;
mod rows;
mod stock;
mod stock_laws;
mod unread;
mod waits;

use chrono::NaiveDate;
use foliary::finding::Finding;
use foliary::journal::Journal;
use foliary::text::Sources;
use foliary::{Farm, check_farm, compile_farm};

/// The findings of a journal, with the last day of 2026 as today.
fn found(text: &str) -> Vec<Finding> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    check_farm(&sources, Farm { files: &[file], missing: &[] }, NaiveDate::from_ymd_opt(2026, 12, 31))
}

/// The codes of the findings of a journal.
fn codes(text: &str) -> Vec<&'static str> {
    found(text).iter().map(|finding| finding.code).collect()
}

/// A journal, understood.
fn journal_of(text: &str) -> Journal {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    compile_farm(&sources, Farm { files: &[file], missing: &[] })
}
