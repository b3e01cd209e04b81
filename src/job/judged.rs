//! What the checks that judge a job come to.

use crate::checks::{check_named, never_accepted_ahead};
use crate::finding::{Finding, Level};
use crate::text::Span;

/// Whether the check of a code judges a job.
fn is_judged(code: &str) -> bool {
    check_named(code).is_some_and(|check| check.ahead.judges_job())
}

/// What checks come to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Verdict {
    /// Errors that are open: in the journal, or in the job. With any of them no sheet is printed.
    pub stops: Vec<Finding>,
    /// Warnings and notes about the job.
    pub warnings: Vec<Finding>,
    /// What is wrong with the home-made batches at hand, a sentence each.
    pub batches: Vec<String>,
}

/// The verdict on a job that stands beside the journal: `journal` is what all checks find in the journal without it, and
/// `with_job` what the judging ones find in both; `mix` is the entry of its mix, whose warnings are the job's, too.
pub fn verdict_of_job(journal: &[Finding], with_job: Vec<Finding>, job: Span, mix: Option<Span>) -> Verdict {
    let mut stops: Vec<Finding> = journal.iter().filter(|finding| is_open_error(finding)).cloned().collect();
    let mut warnings = Vec::new();
    for finding in with_job.into_iter().filter(|finding| is_judged(finding.code) && finding.accepted.is_none()) {
        if journal.contains(&finding) {
            continue;
        }
        if finding.level == Level::Error {
            stops.push(finding);
        } else if touches(&finding, job) {
            warnings.push(finding);
        }
    }
    warnings.extend(journal.iter().filter(|finding| mix.is_some_and(|mix| warns(finding, mix))).cloned());
    Verdict { stops, warnings, batches: Vec::new() }
}

/// The verdict on a job that stands in the journal as an entry: what all checks find, but for what is not known of that
/// entry yet; warnings of its mix are the job's, too.
pub fn verdict_of_record(journal: &[Finding], entry: Span, mix: Option<Span>) -> Verdict {
    let of_entry = |finding: &Finding| entry.covers(finding.span());
    let stops = journal.iter().filter(|one| match of_entry(one) {
        // An accept stands in the record, but here the tank is still to be filled.
        true => is_open_error(one) && is_judged(one.code) || never_accepted_ahead(one.code),
        false => is_open_error(one),
    });
    let told = |one: &&Finding| warns(one, entry) || mix.is_some_and(|mix| warns(one, mix));
    let stops = stops.map(|stop| Finding { accepted: None, ..stop.clone() });
    Verdict { stops: stops.collect(), warnings: journal.iter().filter(told).cloned().collect(), batches: Vec::new() }
}

/// Whether a finding that is no error, and not accepted, is about a place and judges a job.
fn warns(finding: &Finding, place: Span) -> bool {
    finding.level != Level::Error && finding.accepted.is_none() && is_judged(finding.code) && touches(finding, place)
}

fn is_open_error(finding: &Finding) -> bool {
    finding.level == Level::Error && finding.accepted.is_none()
}

fn touches(finding: &Finding, place: Span) -> bool {
    finding.labels.iter().any(|label| place.covers(label.span))
}
