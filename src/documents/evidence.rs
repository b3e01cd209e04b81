//! What stands behind the records: people trained, samples sent to laboratories.

use serde::Serialize;

use super::book::Book;
use super::words::{day, list};
use crate::journal::{LabSample, Signed, Training};

/// People trained, fitted or examined.
#[derive(Clone, Debug, Serialize)]
pub struct Trained {
    /// The day.
    pub day: String,
    /// Who.
    pub people: Option<String>,
    /// For what.
    pub course: Option<&'static str>,
    /// By whom.
    pub trainer: Option<String>,
    /// Materials used, or the certificate.
    pub evidence: Option<String>,
    /// Signatures.
    pub signed: Option<String>,
}

/// A sample sent to a laboratory.
#[derive(Clone, Debug, Serialize)]
pub struct Sampled {
    /// The day it was taken.
    pub day: String,
    /// Which ground.
    pub ground: String,
    /// Of what.
    pub kind: Option<&'static str>,
    /// What was found.
    pub found: Vec<String>,
    /// Which laboratory.
    pub lab: Option<String>,
    /// The number of its report.
    pub report: Option<String>,
    /// Who took it.
    pub by: Option<String>,
}

/// Trainings of the days to show, in the order of time.
pub(super) fn trained(book: &Book<'_>) -> Vec<Trained> {
    let mut all: Vec<&Training> = book.journal().trainings.iter().collect();
    all.retain(|one| book.scope.has_day(one.at.day));
    all.sort_by_key(|one| (one.at.day, one.at.entry.start));
    let view = |one: &Training| Trained {
        day: day(one.at.day),
        people: book.people(&one.people),
        course: one.course.map(|course| course.value.word()),
        trainer: book.some_words(one.trainer),
        evidence: book.some_words(one.evidence),
        signed: signatures(book, &one.signed),
    };
    all.into_iter().map(view).collect()
}

/// Samples of the part to show, in the order of time.
pub(super) fn sampled(book: &Book<'_>) -> Vec<Sampled> {
    let mut all: Vec<&LabSample> = book.journal().samples.iter().collect();
    all.retain(|one| book.scope.has_day(one.at.day) && book.scope.has_ground(&one.ground));
    all.sort_by_key(|one| (one.at.day, one.at.entry.start));
    let view = |one: &LabSample| Sampled {
        day: day(one.at.day),
        ground: book.ground(&one.ground),
        kind: one.kind.map(|kind| kind.value.word()),
        found: one.found.iter().map(|&found| book.words(found)).collect(),
        lab: book.some_words(one.lab),
        report: book.some_words(one.evidence),
        by: book.people(&one.by),
    };
    all.into_iter().map(view).collect()
}

/// `Rowan Vale on 15 May 2026 08:00`.
pub(super) fn signatures(book: &Book<'_>, signed: &[Signed]) -> Option<String> {
    let one = |signed: &Signed| {
        let time = signed.clock.map(|clock| clock.local.format(" %H:%M").to_string()).unwrap_or_default();
        format!("{} on {}{time}", book.people(&signed.by).unwrap_or_default(), day(signed.day))
    };
    let all: Vec<String> = signed.iter().map(one).collect();
    (!all.is_empty()).then(|| list(&all))
}
