//! What was seen, as a table.

use serde::Serialize;

use super::book::Book;
use super::notes::notes;
use super::series::thing;
use super::wilson::wilson;
use super::words::{clock, day};
use crate::journal::{Clocked, Incidence, Observation};

/// A look at a block.
#[derive(Clone, Debug, Serialize)]
pub struct Seen {
    /// The day.
    pub day: String,
    /// From when to when.
    pub time: Option<String>,
    /// Which ground.
    pub ground: String,
    /// Who looked.
    pub by: Option<String>,
    /// The growth stage.
    pub stage: Option<String>,
    /// Each reading in words: `Leaf curl 18 of 100 leaves (12 to 27 %)`.
    pub readings: Vec<String>,
    /// Where photographs are filed.
    pub photos: Vec<String>,
    /// Notes, as Markdown.
    pub notes: Vec<String>,
}

/// The observations of the part to show, in the order of time.
pub(super) fn observations(book: &Book<'_>) -> Vec<Seen> {
    let mut seen: Vec<&Observation> = book.journal().observations.iter().collect();
    seen.retain(|seen| book.scope.has_day(seen.at.day) && book.scope.has_ground(&seen.ground));
    seen.sort_by_key(|seen| (seen.at.day, seen.at.entry.start));
    seen.into_iter().map(|look| self::seen(book, look)).collect()
}

/// One look.
pub(super) fn seen(book: &Book<'_>, seen: &Observation) -> Seen {
    Seen {
        day: day(seen.at.day),
        time: seen.time.map(|time| {
            let end = time.end.map(|end| clock(book.season.zone.written(end, true).0, seen.at.day));
            let start = clock(book.season.zone.written(time.start, false).0, seen.at.day);
            end.map_or_else(|| start.clone(), |end| format!("{start} to {end}"))
        }),
        ground: book.ground(&seen.ground),
        by: book.people(&seen.by),
        stage: book.some_words(seen.stage),
        readings: readings(book, seen),
        photos: seen.photos.iter().map(|&photo| book.words(photo)).collect(),
        notes: notes(book, &seen.notes),
    }
}

fn readings(book: &Book<'_>, seen: &Observation) -> Vec<String> {
    let mut readings = Vec::new();
    if let Some(bloom) = seen.bloom {
        readings.push(format!("{} % open bloom", bloom.value.figures(3)));
    }
    for count in &seen.incidence {
        readings.push(format!("{} {}", thing(&book.words(count.what)), counted(book, count)));
    }
    for seen in &seen.severity {
        let of = seen.text.map(|text| format!(" {}", book.words(text))).unwrap_or_default();
        readings.push(format!("{} severity {} %{of}", thing(&book.words(seen.what)), seen.percent.figures(3)));
    }
    if let Some(count) = &seen.fruit_set {
        readings.push(format!("Fruit set {}", counted(book, count)));
    }
    let sample = |of: Option<u32>, what: Option<crate::text::Span>| match (of, what) {
        (Some(of), Some(what)) => format!(" of {of} {}", book.words(what)),
        (Some(of), None) => format!(" of {of}"),
        _ => String::new(),
    };
    let at =
        |clock: Option<Clocked>| clock.map(|clock| clock.local.format(" at %H:%M").to_string()).unwrap_or_default();
    for brix in &seen.brix {
        readings.push(format!("Brix {}{}{}", brix.value.figures(3), sample(brix.of, brix.what), at(brix.clock)));
    }
    for growth in &seen.growth {
        let sample = sample(growth.of, growth.what);
        readings.push(format!("Shoot growth {}{sample}{}", book.amount(growth.value), at(growth.clock)));
    }
    readings
}

/// `18 of 100 leaves (12 to 27 %)`.
fn counted(book: &Book<'_>, count: &Incidence) -> String {
    let of_what = count.text.map(|text| format!(" {}", book.words(text))).unwrap_or_default();
    let share = wilson(count.found, count.of)
        .map(|(low, high)| format!(" ({:.0} to {:.0} %)", low * 100.0, high * 100.0))
        .unwrap_or_default();
    format!("{} of {}{of_what}{share}", count.found, count.of)
}
