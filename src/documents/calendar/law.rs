//! What adopted rulebooks set a day for: trainings to be renewed, reports, records to be complete.

use std::collections::BTreeMap;

use chrono::{Datelike, Months, NaiveDate};

use super::super::book::Book;
use super::super::monthly::{month_of, next_month};
use super::super::words::{count, day, list, sentence};
use super::dates::of_day;
use super::event::{Draft, EventKind, When};
use super::keys::SprayKeys;
use super::{Drafts, task};
use crate::checks::course_words;
use crate::duty::{Asked, Due, Duties, due, elements, lacks};
use crate::journal::{Course, PersonId, Training};
use crate::rulebook::{Demand, TimeSpan};
use crate::season::SprayFacts;

/// What is of the farm as a whole.
pub(super) fn of_rules(book: &Book<'_>, drafts: &mut Drafts) {
    let duties = Duties::new(book.season);
    of_trainings(book, &duties, drafts);
    of_reports(book, &duties, drafts);
}

/// A training that a rule asks for: which, what else will do, and for how many months.
type Asks<'s> = (Course, &'s [Course], u32);

fn course(demand: &Demand) -> Option<Asks<'_>> {
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
    let mut asks: Vec<(Asked<'_>, Asks<'_>)> = duties.on_day(today, course).collect();
    // Of two rules about one course the strictest is the one to mind.
    asks.sort_by_key(|(_, (course, _, months))| (*course, *months));
    asks.dedup_by_key(|(_, (course, ..))| *course);
    let courses: Vec<Course> = asks.iter().map(|(_, (course, ..))| *course).collect();
    for (asked, (course, or, months)) in asks {
        // Another course that will do is told where that one is asked for itself.
        let counts = |had: Course| had == course || or.contains(&had) && !courses.contains(&had);
        let mut last: BTreeMap<PersonId, &Training> = BTreeMap::new();
        for training in &journal.trainings {
            if !training.course.is_some_and(|had| counts(had.value)) {
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
            let why = vec![format!("Last on {}, good for {months} months: {}.", day(training.at.day), asked.cited())];
            let key = vec![person.name.to_string(), course.word().to_string()];
            drafts.extend([of_day(book, EventKind::Training, key, until, title, why)]);
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
        let applications = count(sprays, "application", "applications");
        let why = vec![format!("{applications} to report so far, by {cited}.")];
        let key = vec![name.to_string(), month.format("%Y-%m").to_string()];
        drafts.extend([of_day(book, EventKind::Report, key, by, title, why)]);
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
            why: vec![
                format!("{}.", sentence(&format!("it does not say: {}", list(&missing)))),
                format!("By {cited}."),
            ],
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
