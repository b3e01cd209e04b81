//! The audit binder: what there is, traces back from each lot, the balance of each material, corrections, known gaps.

use chrono::NaiveDate;
use serde::Serialize;

use super::amended::{Correction, corrections};
use super::balance::{Balance, balances};
use super::book::Book;
use super::cautions::cautions;
use super::evidence::{Sampled, Trained, sampled, trained};
use super::findings::FindingView;
use super::head::Head;
use super::keeping::{Keeping, keeping, kept_longest};
use super::ledger::Ledger;
use super::supply::{Arrival, BatchMade, Supply};
use super::trace::{Trace, traces};
use super::trail::trail;
use super::words::{count, day, days};
use super::{assumed, opening};
use crate::duty::Duties;
use crate::journal::{At, Ground};

/// The audit binder of a farm.
#[derive(Clone, Debug, Serialize)]
pub struct Binder {
    /// Top and foot.
    pub head: Head,
    /// What was done, in a line.
    pub done: String,
    /// What there is, with counts.
    pub contents: Vec<Content>,
    /// The rulebooks that the farm works under.
    pub rulebooks: Vec<Adoption>,
    /// From each lot back to its inputs.
    pub traces: Vec<Trace>,
    /// The mass balance of each material.
    pub balances: Vec<Balance>,
    /// Every delivery, by its number.
    pub arrivals: Vec<Arrival>,
    /// Every home-made batch, by its number.
    pub batches: Vec<BatchMade>,
    /// Corrections of all kinds of records.
    pub corrections: Vec<Correction>,
    /// What git shows besides, a sentence each; nothing where it was not looked at.
    pub git: Vec<String>,
    /// Findings that the grower lets stand, with the reasons.
    pub explained: Vec<FindingView>,
    /// Findings that stand open.
    pub open: Vec<FindingView>,
    /// People trained.
    pub trained: Vec<Trained>,
    /// Samples sent to laboratories.
    pub sampled: Vec<Sampled>,
    /// How long the records are kept.
    pub keeping: Keeping,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// A kind of record, and how much there is of it.
#[derive(Clone, Debug, Serialize)]
pub struct Content {
    /// What.
    pub what: &'static str,
    /// How many.
    pub count: usize,
    /// Of which of them something can be said: `4 of them signed`.
    pub of_them: Option<String>,
    /// From when to when.
    pub period: Option<String>,
    /// Where they are to be found.
    pub found: &'static str,
}

/// A rulebook that the farm works under.
#[derive(Clone, Debug, Serialize)]
pub struct Adoption {
    /// Its title, or its name where no rulebook of that name is at hand.
    pub title: String,
    /// Its name.
    pub name: String,
    /// From when to when the farm works under it.
    pub time: String,
    /// Law, scheme or guide; who makes it; where it is published. Absent where it is not at hand.
    pub about: Option<String>,
    /// The day on which its rules were set down.
    pub set_down: Option<String>,
}

/// The audit binder of a book.
pub fn binder(book: &Book<'_>) -> Binder {
    let ledger = Ledger::new(book);
    let supply = Supply::new(book, &ledger);
    let duties = Duties::new(book.season);
    let findings = |accepted: bool| {
        let shown = book.findings.iter().filter(|finding| finding.accepted.is_some() == accepted);
        shown.map(|finding| FindingView::new(book, finding)).collect()
    };
    Binder {
        head: Head::new(book),
        done: opening::done(book),
        contents: contents(book),
        rulebooks: adoptions(book),
        traces: traces(book, &supply),
        balances: balances(book, &ledger),
        arrivals: supply.arrivals(book),
        batches: supply.batches(book),
        corrections: corrections(book),
        git: seen_in_git(book),
        explained: findings(true),
        open: findings(false),
        trained: trained(book),
        sampled: sampled(book),
        keeping: keeping(book, &duties, book.sprays().filter_map(|facts| kept_longest(book, &duties, facts))),
        assumed: assumed::of_binder(book),
        cautions: cautions(book),
    }
}

/// What git's history was asked and what it holds, with how many records were changed or are gone. Each of them stands in
/// the trail.
fn seen_in_git(book: &Book<'_>) -> Vec<String> {
    let Some(history) = book.season.history else { return Vec::new() };
    let trail = trail(book);
    if history.silence().is_some() {
        return trail.read;
    }
    let changed =
        trail.records.iter().filter(|record| record.past.as_ref().is_some_and(|past| !past.changes.is_empty()));
    let changed = count(changed.count(), "record was", "records were");
    let gone = count(trail.removed.len(), "record is", "records are");
    let mut said = trail.read;
    said.push(format!(
        "By git, {changed} changed after being committed, and {gone} in the journal no more; the trail shows each."
    ));
    said
}

/// Where the documents besides the binder hold what the binder only counts.
const RECORDS: &str = "application records";
const SEASON: &str = "season summary";
const INPUTS: &str = "input list";

/// What there is, with counts. Records of ground are those of the ground to show.
fn contents(book: &Book<'_>) -> Vec<Content> {
    let journal = book.journal();
    let mut all = Vec::new();
    let mut add = |what, found, of_them: Option<String>, days: Vec<NaiveDate>| {
        let days: Vec<NaiveDate> = days.into_iter().filter(|&day| book.scope.has_day(day)).collect();
        if let (Some(&first), Some(&last)) = (days.iter().min(), days.iter().max()) {
            let period = super::words::days(first, last);
            let period = Some(period.trim_start_matches("on ").to_string());
            all.push(Content { what, count: days.len(), of_them, period, found });
        }
    };
    let sprays: Vec<_> = book.sprays().map(|facts| facts.spray(journal)).collect();
    let signed = sprays.iter().filter(|spray| !spray.signed.is_empty()).count();
    let signed = (signed > 0).then(|| format!("{signed} signed"));
    add("Applications", RECORDS, signed, sprays.iter().map(|spray| spray.at.day).collect());
    let here = |ats: Vec<(At, &Ground)>| -> Vec<NaiveDate> {
        ats.into_iter().filter(|(_, ground)| book.scope.has_ground(ground)).map(|(at, _)| at.day).collect()
    };
    let with_lot = |pick: &&crate::journal::Harvest| {
        pick.lot.is_some() && book.scope.has_day(pick.at.day) && book.scope.has_ground(&pick.ground)
    };
    let lots = journal.harvests.iter().filter(with_lot).count();
    let lots = (lots > 0).then(|| format!("{lots} with a lot"));
    add("Picks", "here, Traces", lots, here(journal.harvests.iter().map(|one| (one.at, &one.ground)).collect()));
    add("Observations", SEASON, None, here(journal.observations.iter().map(|one| (one.at, &one.ground)).collect()));
    add("Work in blocks", "the journal", None, here(journal.works.iter().map(|one| (one.at, &one.ground)).collect()));
    add("Days of weather", SEASON, None, journal.weather.iter().map(|one| one.at.day).collect());
    add("Sheets and signs", RECORDS, None, journal.postings.iter().map(|one| one.at.day).collect());
    add("Deliveries", "here, Deliveries", None, journal.receipts.iter().map(|one| one.at.day).collect());
    add("Home-made batches", "here, Batches", None, journal.brews.iter().map(|one| one.at.day).collect());
    add("Counts of the shelf", "here, Balance", None, journal.counts.iter().map(|one| one.at.day).collect());
    add("Discards", "here, Balance", None, journal.discards.iter().map(|one| one.at.day).collect());
    add("Approvals of materials", INPUTS, None, journal.approvals.iter().map(|one| one.at.day).collect());
    add("Samples", "here, Samples", None, here(journal.samples.iter().map(|one| (one.at, &one.ground)).collect()));
    add("Trainings", "here, Trainings", None, journal.trainings.iter().map(|one| one.at.day).collect());
    add("Sprayers measured", SEASON, None, journal.calibrations.iter().map(|one| one.at.day).collect());
    add("Sprayers cleaned", SEASON, None, journal.cleanings.iter().map(|one| one.at.day).collect());
    add("Corrections", "here, Corrections", None, journal.amendments.iter().map(|one| one.at.day).collect());
    all
}

fn adoptions(book: &Book<'_>) -> Vec<Adoption> {
    let adopted = book.journal().farm.iter().flat_map(|farm| &farm.rulebooks);
    let one = |adopted: &crate::journal::Adopted| {
        let rules = book.season.shelf.find(&adopted.name.value);
        let time = match (adopted.from, adopted.until) {
            (Some(from), Some(until)) => days(from, until).trim_start_matches("on ").to_string(),
            (Some(from), None) => format!("from {} on", day(from)),
            (None, Some(until)) => format!("until {}", day(until)),
            (None, None) => "always".to_string(),
        };
        Adoption {
            title: rules.map_or_else(|| adopted.name.value.to_string(), |rules| rules.title.clone()),
            name: adopted.name.value.to_string(),
            time,
            about: rules.map(|rules| {
                let number = count(rules.rules.len(), "rule", "rules");
                format!("{}, {}; {}; {}; {number}", rules.sort.word(), rules.place, rules.authority, rules.citation)
            }),
            set_down: rules.map(|rules| day(rules.set_down)),
        }
    };
    adopted.map(one).collect()
}
