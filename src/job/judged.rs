//! Which checks judge a job that is not done yet, and what they come to.

use crate::checks::never_accepted_ahead;
use crate::finding::{Finding, Level};
use crate::text::Span;

/// The checks that judge a job before the tank is filled: whether it can be read, what is in the tank, where and when it
/// goes.
pub const JUDGED: &[&str] = &[
    "unreadable-line",
    "unknown-word",
    "misplaced-field",
    "repeated-field",
    "missing-field",
    "nameless-entry",
    "unknown-name",
    "look-alike-name",
    "unknown-choice",
    "unknown-unit",
    "wrong-dimension",
    "unreadable-number",
    "unreadable-date",
    "unsettled-ounce",
    "wrong-form",
    "wrong-shape",
    "hidden-character",
    "empty-spray",
    "rate-outside-range",
    "mix-over-limit",
    "class-over-limit",
    "volume-disagrees",
    "area-over-block",
    "rows-outside-block",
    "row-area-disagrees",
    "stock-disagrees",
    "same-spray-twice",
    "season-count-exceeded",
    "season-amount-exceeded",
    "spacing-too-short",
    "round-early",
    "rounds-extra",
    "harvest-in-interval",
    "kept-too-close",
    "not-in-one-tank",
    "dangerous-tank",
    "tank-ph-outside",
    "sprayed-in-bloom",
    "batch-out-of-date",
    "lot-expired",
    "lot-overdrawn",
    "lot-unknown",
    "purpose-against-status",
    "minimum-risk-claim",
    "basic-substance-use",
    "refused-substance",
    "input-not-approved",
    "manure-before-harvest",
    "tea-on-food",
    "build-up-unwatched",
    "calibration-old",
    "output-disagrees",
];

/// The checks that do not, with what they are about.
pub const LEFT_OUT: &[(&str, &[&str])] = &[
    (
        "what is known only once the job is done: times, people, weather, amounts, batches, signatures",
        &[
            "amount-disagrees",
            "last-load-full",
            "loads-disagree",
            "end-before-start",
            "missing-end",
            "session-too-long",
            "clock-change",
            "weather-outside-limits",
            "impossible-weather",
            "batch-unnamed",
            "entry-before-reentry",
            "licence-lapsed",
            "training-lapsed",
            "fit-test-lapsed",
            "record-incomplete",
            "record-late",
            "need-test-missing",
            "plan-reason-missing",
        ],
    ),
    (
        "postings, which come after the spray",
        &["posting-missing", "posting-late", "posting-down-early", "signs-out-of-time", "exclusion-zone-unknown"],
    ),
    (
        "the day: a job lies ahead, and its date line is written by the program",
        &["future-date", "undated-entry", "wrong-weekday", "round-late", "rounds-missed", "stage-unknown"],
    ),
    (
        "the journal besides the job, which is judged by itself",
        &[
            "duplicate-name",
            "unknown-timezone",
            "missing-folder",
            "amendment-of-nothing",
            "amendment-disagrees",
            "change-without-reason",
            "changed-after-signing",
            "record-removed",
            "history-cut-off",
            "accept-of-nothing",
            "rulebook-unknown",
            "rulebook-ended",
            "status-unwritten",
            "workers-unwritten",
            "kept-too-short",
            "registration-malformed",
            "nozzles-worn",
            "count-disagrees",
        ],
    ),
];

/// Whether a check judges a job.
pub fn is_judged(code: &str) -> bool {
    JUDGED.contains(&code)
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
