//! What was measured on a block more than once, as rows of points over time.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::wilson::wilson;
use super::words::{day_short, sentence};
use crate::journal::{BlockId, Observation, PickedRows};
use crate::quantity::{Amount, Unit, show};

/// What kind of thing was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum SeriesKind {
    /// So many of so many.
    Incidence,
    /// Percent of an area.
    Severity,
    /// Dissolved solids.
    Brix,
    /// Shoot growth.
    Growth,
}

/// A row of measurements.
#[derive(Clone, Debug)]
pub(super) struct Series {
    pub of: BlockId,
    /// The rows that were looked at; all where absent.
    pub rows: Option<PickedRows>,
    /// The block and the rows, in words.
    pub block: String,
    pub kind: SeriesKind,
    /// What was looked for, or the kind of measurement.
    pub what: String,
    pub points: Vec<Point>,
}

/// One measurement.
#[derive(Clone, Debug)]
pub(super) struct Point {
    pub day: NaiveDate,
    /// In the unit of the axis.
    pub value: f64,
    /// The interval in which the share in the block lies, 95 times in 100.
    pub interval: Option<(f64, f64)>,
    pub label: String,
}

impl Point {
    /// The value, with its interval where it has one: `18 of 100 (12 to 27 %)`.
    pub(super) fn said(&self) -> String {
        match self.interval {
            Some((low, high)) => format!("{} ({low:.0} to {high:.0} %)", self.label),
            None => self.label.clone(),
        }
    }
}

/// A small plot: view data for an SVG of fixed size.
#[derive(Clone, Debug, Serialize)]
pub struct Plot {
    /// What and where.
    pub title: String,
    /// The points in words, for those who cannot see the plot.
    pub text: String,
    /// Width and height of the drawing.
    pub width: u32,
    /// Height.
    pub height: u32,
    /// Points joined by a line, as an SVG list.
    pub line: String,
    /// The points.
    pub points: Vec<PlotPoint>,
    /// Where sprays stand on the axis.
    pub sprays: Vec<String>,
    /// The bottom of the axis.
    pub floor: String,
    /// What the top of the axis stands for.
    pub top: String,
    /// The first day.
    pub first: String,
    /// The last day.
    pub last: String,
}

/// A point of a plot.
#[derive(Clone, Debug, Serialize)]
pub struct PlotPoint {
    /// Across.
    pub x: String,
    /// Down.
    pub y: String,
    /// The top of its interval, if it has one.
    pub high: Option<String>,
    /// The bottom of its interval.
    pub low: Option<String>,
    /// The value in words.
    pub label: String,
    /// Where the words stand, across.
    pub label_x: String,
    /// Down.
    pub label_y: String,
    /// `start`, `middle` or `end`: how the words stand there.
    pub anchor: &'static str,
}

/// Every row of measurements of the part to show, by block in the order of the journal.
pub(super) fn series(book: &Book<'_>) -> Vec<Series> {
    let mut rows: Vec<Series> = Vec::new();
    for block in book.blocks() {
        // Counts of other rows, or of fruit instead of leaves, are another row of counts.
        let mut known: BTreeMap<(SeriesKind, String, String), Series> = BTreeMap::new();
        for seen in book.looks(block).iter().filter(|seen| book.scope.has_day(seen.at.day)) {
            // A look at several blocks together is no measurement of any one of them.
            if seen.ground.blocks.len() > 1 {
                continue;
            }
            let ground = book.ground(&seen.ground);
            for (kind, what, point) in points(book, seen) {
                let row = known.entry((kind, what.to_lowercase(), ground.clone())).or_insert_with(|| Series {
                    of: block,
                    rows: seen.ground.rows.as_ref().map(|picked| picked.rows.clone()),
                    block: ground.clone(),
                    kind,
                    what,
                    points: Vec::new(),
                });
                row.points.push(point);
            }
        }
        rows.extend(known.into_values());
    }
    rows
}

fn points(book: &Book<'_>, seen: &Observation) -> Vec<(SeriesKind, String, Point)> {
    let day = seen.at.day;
    let plain = |value: f64, label: String| Point { day, value, interval: None, label };
    let incidence = seen.incidence.iter().filter(|count| count.of > 0).map(|count| {
        let interval = wilson(count.found, count.of).map(|(low, high)| (low * 100.0, high * 100.0));
        let value = 100.0 * f64::from(count.found) / f64::from(count.of);
        let label = format!("{} of {}", count.found, count.of);
        let point = Point { interval, ..plain(value, label) };
        let on = count.text.map(|text| format!(" on {}", book.words(text))).unwrap_or_default();
        (SeriesKind::Incidence, format!("{}{on}", thing(&book.words(count.what))), point)
    });
    let severity = seen.severity.iter().map(|seen| {
        let label = format!("{} %", seen.percent.figures(3));
        (
            SeriesKind::Severity,
            format!("{}, severity", thing(&book.words(seen.what))),
            plain(seen.percent.to_f64(), label),
        )
    });
    let brix = seen.brix.iter().map(|sample| {
        let what = sample.what.map_or("Brix".to_string(), |what| format!("Brix of {}", book.words(what)));
        (SeriesKind::Brix, what, plain(sample.value.to_f64(), sample.value.figures(3)))
    });
    let unit = if book.home() == crate::quantity::System::Metric { Unit::CENTIMETRE } else { Unit::INCH };
    let growth = seen.growth.iter().filter_map(|sample| {
        let value: Amount = sample.value.in_unit(unit)?;
        Some((SeriesKind::Growth, format!("Shoot growth, {}", unit.word()), plain(value.value.to_f64(), show(value))))
    });
    incidence.chain(severity).chain(brix).chain(growth).collect()
}

/// `leaf-curl` as words: `Leaf curl`.
pub(super) fn thing(name: &str) -> String {
    sentence(&name.replace('-', " "))
}

const WIDTH: u32 = 272;
const HEIGHT: u32 = 118;
const LEFT: f64 = 8.0;
const RIGHT: f64 = 240.0;
const TOP: f64 = 26.0;
const FLOOR: f64 = 96.0;

/// Plots of all rows with two points or more.
pub(super) fn plots(book: &Book<'_>, rows: &[Series]) -> Vec<Plot> {
    rows.iter().filter(|row| row.points.len() > 1).filter_map(|row| plot(book, row)).collect()
}

fn plot(book: &Book<'_>, row: &Series) -> Option<Plot> {
    let (first, last) = (row.points.first()?.day, row.points.last()?.day);
    let days = last.signed_duration_since(first).num_days().max(1) as f64;
    let across = |day: NaiveDate| {
        LEFT + 12.0 + (RIGHT - LEFT - 24.0) * day.signed_duration_since(first).num_days() as f64 / days
    };
    let highest =
        row.points.iter().map(|point| point.interval.map_or(point.value, |(_, high)| high)).fold(0.0, f64::max);
    let top = ceiling(highest);
    let down = |value: f64| FLOOR - (FLOOR - TOP) * value / top;
    let season = book.season;
    let sprays = season.by_block[row.of.index()].iter().filter_map(|&at| {
        let day = season.sprays[at].spray(book.journal()).at.day;
        (first <= day && day <= last).then(|| tenths(across(day)))
    });
    let mut line = String::new();
    for point in &row.points {
        line.push_str(&format!("{},{} ", tenths(across(point.day)), tenths(down(point.value))));
    }
    let points = row.points.iter().enumerate().map(|(index, point)| PlotPoint {
        x: tenths(across(point.day)),
        y: tenths(down(point.value)),
        high: point.interval.map(|(_, high)| tenths(down(high))),
        low: point.interval.map(|(low, _)| tenths(down(low))),
        label: point.label.clone(),
        label_x: tenths(across(point.day)),
        label_y: tenths(down(point.interval.map_or(point.value, |(_, high)| high)) - 5.0),
        anchor: match index {
            0 => "start",
            last if last + 1 == row.points.len() => "end",
            _ => "middle",
        },
    });
    let said: Vec<String> =
        row.points.iter().map(|point| format!("{} on {}", point.said(), day_short(point.day))).collect();
    let unit = if matches!(row.kind, SeriesKind::Incidence | SeriesKind::Severity) { " %" } else { "" };
    Some(Plot {
        title: format!("{} – {}", row.block, row.what),
        text: said.join("; "),
        width: WIDTH,
        height: HEIGHT,
        line: line.trim_end().to_string(),
        points: thinned(points.collect()),
        sprays: sprays.collect(),
        floor: tenths(FLOOR),
        top: format!("{top}{unit}"),
        first: day_short(first),
        last: day_short(last),
    })
}

/// Takes the words from points that stand so close that their words would lie on each other; the first and the last keep
/// theirs.
fn thinned(mut points: Vec<PlotPoint>) -> Vec<PlotPoint> {
    let place = |point: &PlotPoint| point.x.parse::<f64>().unwrap_or_default();
    let last = points.last().map(place).unwrap_or_default();
    let mut free_from = f64::MIN;
    let count = points.len();
    for (index, point) in points.iter_mut().enumerate() {
        let x = place(point);
        let inner = index > 0 && index + 1 < count;
        if inner && (x - free_from < 26.0 || last - x < 62.0) {
            point.label.clear();
        } else {
            free_from = x + if index == 0 { 26.0 } else { 22.0 };
        }
    }
    points
}

/// A round number that holds the highest value.
fn ceiling(highest: f64) -> f64 {
    const STEPS: &[f64] = &[1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0];
    STEPS.iter().copied().find(|step| highest <= *step).unwrap_or_else(|| (highest / 100.0).ceil() * 100.0)
}

/// A length in a drawing, to a tenth.
pub(super) fn tenths(length: f64) -> String {
    let rounded = (length * 10.0).round() / 10.0;
    format!("{rounded}")
}
