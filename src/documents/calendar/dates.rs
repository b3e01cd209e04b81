//! Days that stand in the journal by themselves: batches, deliveries, picking, licences, approvals, trainings, and when
//! records and reports are due.

use std::collections::BTreeMap;

use chrono::{Datelike, Months, NaiveDate};

use super::super::book::Book;
use super::super::monthly::{month_of, next_month};
use super::super::words::{day, list, sentence};
use super::event::{Draft, EventKind, EventState, When};
use super::sprays::SprayKeys;
use super::{Drafts, task};
use crate::checks::course_words;
use crate::duty::{Asked, Due, Duties, due, elements, lacks};
use crate::journal::{Course, MaterialId, PersonId, Training};
use crate::rulebook::{Demand, TimeSpan};
use crate::season::SprayFacts;

/// A day that is no task: it is ahead, or it went by.
fn fact(book: &Book<'_>, at: When) -> EventState {
    if book.season.as_of.is_some_and(|today| at.last_day() < today) { EventState::Past } else { EventState::ToCome }
}

/// One that is about no block.
fn draft(book: &Book<'_>, kind: EventKind, key: Vec<String>, on: NaiveDate, title: String, why: Vec<String>) -> Draft {
    let at = When::day(on);
    Draft { kind, key, at, state: fact(book, at), title, why, place: None }
}

/// Everything that is of the farm as a whole.
pub(super) fn of_farm(book: &Book<'_>, drafts: &mut Drafts) {
    of_batches(book, drafts);
    of_licences(book, drafts);
    of_approvals(book, drafts);
    let duties = Duties::new(book.season);
    of_trainings(book, &duties, drafts);
    of_reports(book, &duties, drafts);
}

fn of_batches(book: &Book<'_>, drafts: &mut Drafts) {
    for brew in &book.journal().brews {
        let (name, title) = (brew.named.name.to_string(), brew.named.shown());
        let of = match brew.material.and_then(|material| material.id) {
            Some(material) => format!("A batch of {}, begun on {}.", book.material(material), day(brew.at.day)),
            None => format!("A batch begun on {}.", day(brew.at.day)),
        };
        let one = |kind, on: NaiveDate, title: String| draft(book, kind, vec![name.clone()], on, title, vec![of.clone()]);
        drafts.extend(
            brew.ready.map(|ready| one(EventKind::Ready, ready.value, format!("{title}: batch ready for use"))),
        );
        let last = brew.use_by.map(|last| (last.value, format!("{title}: last day to use the batch")));
        drafts.extend(last.map(|(on, title)| one(EventKind::UseBy, on, title)));
    }
}

/// Only those with a last day on record.
fn of_licences(book: &Book<'_>, drafts: &mut Drafts) {
    for person in &book.journal().people {
        let Some(licence) = person.licence else { continue };
        let Some(until) = licence.until else { continue };
        let title = format!("{}: last day of the licence", person.named.shown());
        let why = vec![format!("Licence {}.", book.words(licence.number))];
        drafts.extend([draft(book, EventKind::Licence, vec![person.named.name.to_string()], until, title, why)]);
    }
}

/// The last day on which any approval of a material holds; none where one has no end.
fn of_approvals(book: &Book<'_>, drafts: &mut Drafts) {
    let mut last: BTreeMap<MaterialId, Option<(NaiveDate, NaiveDate)>> = BTreeMap::new();
    for approval in &book.journal().approvals {
        for material in approval.materials.iter().filter_map(|material| material.id) {
            let until = approval.until.map(|until| (until.value, approval.at.day));
            let known = last.entry(material).or_insert(until);
            *known = known.zip(until).map(|(known, until)| known.max(until));
        }
    }
    for (material, until) in last {
        let Some((until, given)) = until else { continue };
        let title = format!("{}: last day of its approval", book.material(material));
        let key = vec![book.journal().material(material).named.name.to_string()];
        let why = vec![format!("Approved on {}.", day(given))];
        drafts.extend([draft(book, EventKind::Approval, key, until, title, why)]);
    }
}

/// A training that a rule asks for: which, what else will do, and for how many months.
fn course(demand: &Demand) -> Option<(Course, &[Course], u32)> {
    match demand {
        Demand::Training { course, or, months, .. } => Some((*course, or, *months)),
        Demand::FitTest { months } => Some((Course::FitTest, &[], *months)),
        _ => None,
    }
}

/// For everybody who had a training that an adopted rulebook wants renewed, the last day for which it counts.
fn of_trainings(book: &Book<'_>, duties: &Duties<'_>, drafts: &mut Drafts) {
    let journal = book.journal();
    let today = book.season.as_of.or(duties.last_page).unwrap_or_default();
    let mut asks: Vec<(Asked<'_>, (Course, &[Course], u32))> = duties.on_day(today, course).collect();
    // Of two rules about one course the strictest is the one to mind.
    asks.sort_by_key(|(_, (course, _, months))| (*course, *months));
    asks.dedup_by_key(|(_, (course, ..))| *course);
    for (asked, (course, or, months)) in asks {
        let mut last: BTreeMap<PersonId, &Training> = BTreeMap::new();
        for training in &journal.trainings {
            if !training.course.is_some_and(|had| had.value == course || or.contains(&had.value)) {
                continue;
            }
            for person in training.people.iter().filter_map(|person| person.id) {
                let known = last.entry(person).or_insert(training);
                if known.at.day < training.at.day {
                    *known = training;
                }
            }
        }
        for (person, training) in last {
            let Some(until) = training.at.day.checked_add_months(Months::new(months)) else { continue };
            let person = &journal.person(person).named;
            let course_said = course_words(course);
            let title = format!("{}: last day for which the {course_said} counts", person.shown());
            let why =
                vec![format!("Last on {}, good for {months} months: {}.", day(training.at.day), asked.cited())];
            let key = vec![person.name.to_string(), course.word().to_string()];
            drafts.extend([draft(book, EventKind::Training, key, until, title, why)]);
        }
    }
}

/// The reports of months with something to report.
fn of_reports(book: &Book<'_>, duties: &Duties<'_>, drafts: &mut Drafts) {
    let report = |demand: &Demand| match demand {
        Demand::MonthlyReport { day } => Some(*day),
        _ => None,
    };
    let mut reports: BTreeMap<(NaiveDate, &str), (NaiveDate, String, usize)> = BTreeMap::new();
    for facts in &book.season.sprays {
        let month = month_of(facts.spray(book.journal()).at.day);
        let mut counted: Vec<&str> = Vec::new();
        for (asked, by) in duties.of_spray(facts, report) {
            let Some(last) = next_month(month).and_then(|next| next.with_day(by)) else { continue };
            let name = asked.adoption.book.name.as_str();
            let known = reports.entry((month, name)).or_insert_with(|| (last, asked.cited(), 0));
            known.0 = known.0.min(last);
            if !counted.contains(&name) {
                counted.push(name);
                known.2 += 1;
            }
        }
    }
    for ((month, name), (by, cited, sprays)) in reports {
        let title = format!("Last day to report the use of {}", month.format("%B %Y"));
        let applications = if sprays == 1 { "1 application".to_string() } else { format!("{sprays} applications") };
        let why = vec![format!("{applications} to report so far, by {cited}.")];
        let key = vec![name.to_string(), month.format("%Y-%m").to_string()];
        drafts.extend([draft(book, EventKind::Report, key, by, title, why)]);
    }
}

/// By when the records that lack something are to be complete.
pub(super) fn of_records(book: &Book<'_>, keys: &SprayKeys, drafts: &mut Drafts) {
    let duties = Duties::new(book.season);
    let deadline = |demand: &Demand| match demand {
        Demand::Deadline(within) => Some(*within),
        _ => None,
    };
    if duties.of_kind(deadline).next().is_none() {
        return;
    }
    for facts in book.sprays() {
        let Some(block) = facts.touched.first().map(|touched| touched.block) else { continue };
        let earliest = |(asked, within): (Asked<'_>, TimeSpan)| Some((due(book.season, facts, within)?, asked.cited()));
        let dues = duties.of_spray(facts, deadline).filter_map(earliest).map(|(due, cited)| (when(due), cited));
        let Some((at, cited)) = dues.min_by_key(|(at, _)| at.order()) else { continue };
        if !drafts.has(at) {
            continue;
        }
        let missing = missing(book, &duties, facts);
        if missing.is_empty() {
            continue;
        }
        let spray = facts.spray(book.journal());
        drafts.extend([Draft {
            kind: EventKind::Record,
            key: keys.of(facts.index, block),
            at,
            state: task(book, at, false),
            title: format!(
                "Record of the spray of {} on {} to be complete",
                book.ground(&spray.ground),
                day(spray.at.day)
            ),
            why: vec![format!("{}.", sentence(&format!("it does not say: {}", list(&missing)))), format!("By {cited}.")],
            place: None,
        }]);
    }
}

fn when(due: Due) -> When {
    match due {
        Due::Day(last) => When::day(last),
        Due::At(last) => When::At(last, None),
    }
}

/// What a record does not say, each thing once. What could not be read may be what is missing.
fn missing(book: &Book<'_>, duties: &Duties<'_>, facts: &SprayFacts) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for (asked, elements) in duties.of_spray(facts, elements) {
        for lack in elements.iter().flat_map(|&element| lacks(book.season, facts, element, &asked.rule.when)) {
            let said = lack.words();
            if !book.season.has_unread_line(lack.entry) && !words.contains(&said) {
                words.push(said);
            }
        }
    }
    words
}
