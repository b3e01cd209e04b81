//! What an inspector asks for besides the sprays: sprayers measured and cleaned, deliveries, the shelf, and the
//! days' weather.

use serde::Serialize;

use super::book::Book;
use super::notes::notes;
use super::words::day_short;
use crate::journal::{
    At, Calibration, Cleaning, Discard, MaterialId, PersonId, Reading, Receipt, Ref, RigId, ShelfCount, WeatherDay,
};
use crate::quantity::{Exact, show};

/// A sprayer measured or cleaned.
#[derive(Clone, Debug, Serialize)]
pub struct RigCare {
    /// The day.
    pub day: String,
    /// The sprayer.
    pub rig: String,
    /// `measured` or `cleaned`.
    pub done: &'static str,
    /// What it puts out for the ground.
    pub output: Option<String>,
    /// The setup, or how it was cleaned.
    pub setup: Option<String>,
    /// By whom.
    pub by: Option<String>,
}

/// A delivery.
#[derive(Clone, Debug, Serialize)]
pub struct Delivery {
    /// The day.
    pub day: String,
    /// What.
    pub material: String,
    /// How much, in both systems.
    pub amount: Option<String>,
    /// The maker's lot.
    pub lot: Option<String>,
    /// Who delivered.
    pub supplier: Option<String>,
    /// The receipt.
    pub invoice: Option<String>,
}

/// What was on the shelf on a day, or left it unused.
#[derive(Clone, Debug, Serialize)]
pub struct Shelf {
    /// The day.
    pub day: String,
    /// What.
    pub material: String,
    /// `counted` or `thrown out`.
    pub done: &'static str,
    /// How much, in both systems.
    pub amount: Option<String>,
    /// Why it was thrown out, and where it went.
    pub how: Option<String>,
    /// By whom.
    pub by: Option<String>,
}

/// A day's weather.
#[derive(Clone, Debug, Serialize)]
pub struct DayWeather {
    /// The day.
    pub day: String,
    /// Which blocks; absent for the whole farm.
    pub ground: Option<String>,
    /// The lowest temperature.
    pub low: Option<String>,
    /// The highest.
    pub high: Option<String>,
    /// Rain.
    pub rain: Option<String>,
    /// Readings, each in words.
    pub readings: Vec<String>,
    /// Notes, as Markdown.
    pub notes: Vec<String>,
}

/// Measurings and cleanings in the order of time. They belong to no block, so blocks asked for leave all of them in.
pub(super) fn rig_care(book: &Book<'_>) -> Vec<RigCare> {
    let measured = book.journal().calibrations.iter().map(|one| (one.at, calibrated(book, one)));
    let cleaned = book.journal().cleanings.iter().map(|one| (one.at, cleaned(book, one)));
    in_order(book, measured.chain(cleaned).collect())
}

/// Deliveries in the order of time.
pub(super) fn deliveries(book: &Book<'_>) -> Vec<Delivery> {
    in_order(book, book.journal().receipts.iter().map(|one| (one.at, delivery(book, one))).collect())
}

/// Counts of the shelf and what left it unused, in the order of time.
pub(super) fn shelf(book: &Book<'_>) -> Vec<Shelf> {
    let counted = book.journal().counts.iter().map(|one| (one.at, counted(book, one)));
    let thrown_out = book.journal().discards.iter().map(|one| (one.at, thrown_out(book, one)));
    in_order(book, counted.chain(thrown_out).collect())
}

/// The days' weather in the order of time: of the whole farm, and of the blocks of the part to show.
pub(super) fn weather_days(book: &Book<'_>) -> Vec<DayWeather> {
    let shown = |one: &&WeatherDay| one.ground.blocks.is_empty() || book.scope.has_ground(&one.ground);
    in_order(book, book.journal().weather.iter().filter(shown).map(|one| (one.at, weather(book, one))).collect())
}

fn in_order<T>(book: &Book<'_>, mut rows: Vec<(At, T)>) -> Vec<T> {
    rows.retain(|(at, _)| book.scope.has_day(at.day));
    rows.sort_by_key(|(at, _)| (at.day, at.entry.start));
    rows.into_iter().map(|(_, row)| row).collect()
}

fn rig_name(book: &Book<'_>, rig: Ref<RigId>) -> String {
    rig.id.map_or_else(|| book.words(rig.span), |id| book.journal().rig(id).named.shown().to_string())
}

fn care(book: &Book<'_>, at: At, rig: Ref<RigId>, done: &'static str, by: &[Ref<PersonId>]) -> RigCare {
    RigCare { day: day_short(at.day), rig: rig_name(book, rig), done, output: None, setup: None, by: book.people(by) }
}

fn calibrated(book: &Book<'_>, one: &Calibration) -> RigCare {
    let output = one.output.map(|output| {
        let (volume, ground) = output.value;
        let per = if ground.value == Exact::ONE { ground.unit.word().to_string() } else { show(ground) };
        format!("{} per {per}", show(volume))
    });
    let parts = [
        one.speed.map(|speed| book.amount(speed.value)),
        one.pressure.map(|pressure| book.amount(pressure.value)),
        book.some_words(one.setup),
    ];
    RigCare { output, setup: together(parts), ..care(book, one.at, one.rig, "measured", &one.by) }
}

fn cleaned(book: &Book<'_>, one: &Cleaning) -> RigCare {
    let rinse = one.rinse.as_deref().map(|rinse| {
        let water = rinse.volume.map_or_else(|| book.words(rinse.span), |volume| book.amount(volume));
        let place = (!rinse.ground.blocks.is_empty()).then(|| format!(" on {}", book.ground(&rinse.ground)));
        let else_done = book.some_words(rinse.text).map(|words| format!(", {words}"));
        format!("rinsed with {water}{}{}", place.unwrap_or_default(), else_done.unwrap_or_default())
    });
    let setup = together([book.some_words(one.method), rinse]);
    RigCare { setup, ..care(book, one.at, one.rig, "cleaned", &one.by) }
}

fn delivery(book: &Book<'_>, one: &Receipt) -> Delivery {
    Delivery {
        day: day_short(one.at.day),
        material: material_name(book, one.material),
        amount: one.amount.map(|amount| book.amount(amount.value)),
        lot: book.some_words(one.lot),
        supplier: book.some_words(one.supplier),
        invoice: book.some_words(one.invoice),
    }
}

fn material_name(book: &Book<'_>, material: Ref<MaterialId>) -> String {
    material.id.map_or_else(|| book.words(material.span), |id| book.material(id).to_string())
}

fn counted(book: &Book<'_>, one: &ShelfCount) -> Shelf {
    Shelf {
        day: day_short(one.at.day),
        material: material_name(book, one.material),
        done: "counted",
        amount: one.amount.map(|amount| book.amount(amount.value)),
        how: None,
        by: book.people(&one.by),
    }
}

fn thrown_out(book: &Book<'_>, one: &Discard) -> Shelf {
    Shelf {
        day: day_short(one.at.day),
        material: material_name(book, one.material),
        done: "thrown out",
        amount: one.amount.map(|amount| book.amount(amount.value)),
        how: together([book.some_words(one.reason), book.some_words(one.method)]),
        by: book.people(&one.by),
    }
}

fn weather(book: &Book<'_>, one: &WeatherDay) -> DayWeather {
    let amount = |amount: Option<crate::journal::Written<_>>| amount.map(|amount| book.amount(amount.value));
    let ground = book.ground(&one.ground);
    DayWeather {
        day: day_short(one.at.day),
        ground: (!ground.is_empty()).then_some(ground),
        low: amount(one.low),
        high: amount(one.high),
        rain: amount(one.rain),
        readings: one.readings.iter().map(|reading| said(book, reading)).collect(),
        notes: notes(book, &one.notes),
    }
}

/// A reading as it was written, so that nothing of it is lost that could not be read.
fn said(book: &Book<'_>, reading: &Reading) -> String {
    let words = book.words(reading.span);
    words.strip_prefix("reading ").unwrap_or(&words).trim().to_string()
}

fn together<const N: usize>(parts: [Option<String>; N]) -> Option<String> {
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}
