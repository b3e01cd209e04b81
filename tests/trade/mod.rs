//! The arithmetic of the trade, by itself and through the whole way from text to findings.

mod amounts;
mod bbch;
mod calibrated;
mod calibration;
mod canopy;
mod element;
mod flowering;
mod ground;
mod loads;
mod published_wrong;
mod season;
mod slip;
mod tank;

use chrono::NaiveDate;
use foliary::finding::Finding;
use foliary::text::Sources;
use foliary::{Farm, check_farm};

/// What a journal raises, as of the end of 2026. A farm and its time zone are put in front.
fn findings(journal: &str) -> Vec<Finding> {
    let mut sources = Sources::new();
    let text = format!("farm test-farm\n    units US\n    timezone America/Boise\n\n{journal}");
    let file = sources.add("journal.spray", text).unwrap();
    check_farm(&sources, Farm { files: &[file], missing: &[] }, NaiveDate::from_ymd_opt(2026, 12, 31))
}

/// The codes of what a journal raises.
fn codes(journal: &str) -> Vec<&'static str> {
    findings(journal).iter().map(|finding| finding.code).collect()
}

/// The only finding of a journal, which must be of that code.
fn only(journal: &str, code: &str) -> Finding {
    let mut found = findings(journal);
    let codes: Vec<&str> = found.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, [code], "{journal}\n{found:#?}");
    found.remove(0)
}
