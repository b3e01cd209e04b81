//! A setup of a sprayer on its card: what it puts out, by every way that it was measured, and its nozzles one by one.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::calibration::aged;
use super::findings::FindingView;
use super::words::{day, other_system};
use crate::journal::Calibration;
use crate::quantity::{Amount, Exact, Per, Rate, System, Unit, show};
use crate::season::{Measured, Method, Way, ground_speed, nozzles, per_minute, rated_flow, total_flow};
use crate::trade::{Flow, UNEVEN_FROM, WORN_FROM, beyond, ground_per_tank, mean, off_mean, over_rated};

/// A setup of a sprayer.
#[derive(Clone, Debug, Serialize)]
pub struct SetupCard {
    /// Its words; absent where none were written.
    pub setup: Option<String>,
    /// The day it was measured.
    pub day: String,
    /// How long ago that was on the day of the card.
    pub age: String,
    /// The last day on which it counts, by the farm's own rule.
    pub due: Option<String>,
    /// Whether that day is past.
    pub overdue: bool,
    /// The output in the farm's units, and in those of the other system.
    pub output: Option<String>,
    /// The same in the other system.
    pub output_other: Option<String>,
    /// Whether the output was written, or else how it was worked out.
    pub output_by: Option<String>,
    /// Speed.
    pub speed: Option<String>,
    /// Pressure.
    pub pressure: Option<String>,
    /// How the rows are driven.
    pub driving: Option<String>,
    /// The course driven.
    pub course: Option<String>,
    /// What one nozzle or one pass covers.
    pub width: Option<String>,
    /// How many nozzles are open.
    pub open: Option<u32>,
    /// What a new nozzle gives.
    pub rated: Option<String>,
    /// Who measured.
    pub by: Option<String>,
    /// Whether its nozzles may differ on purpose: it is driven between rows, and no new nozzle is named.
    pub unlike: bool,
    /// What was caught, nozzle by nozzle.
    pub catches: Vec<CatchRow>,
    /// The mean of the catches, in a minute where the time is known.
    pub mean: Option<String>,
    /// Every way that the output was worked out.
    pub ways: Vec<WayView>,
    /// How long a tank lasts at the flow measured.
    pub tank_time: Option<String>,
    /// The ground that a tank covers.
    pub tank_ground: Option<String>,
    /// What was taken as so.
    #[serde(skip)]
    pub assumed: Vec<String>,
    /// Findings about the record.
    pub findings: Vec<FindingView>,
}

/// What a nozzle gave.
#[derive(Clone, Debug, Serialize)]
pub struct CatchRow {
    /// Its number, as written.
    pub number: usize,
    /// What was caught, and in how long.
    pub caught: String,
    /// What that is in a minute.
    pub per_minute: Option<String>,
    /// How far it is off the mean of all: `+4 %`.
    pub off_mean: Option<String>,
    /// How far it is off a new one at the same pressure.
    pub off_new: Option<String>,
    /// Whether that is too far: over 10 % off a new one, or off the mean where all nozzles are of one kind.
    pub out: bool,
}

/// A way that the output was worked out.
#[derive(Clone, Debug, Serialize)]
pub struct WayView {
    /// From what.
    pub from: &'static str,
    /// What it comes to.
    pub output: String,
    /// Each step of the sum.
    pub working: Vec<String>,
    /// What was taken as so.
    pub assumed: Option<String>,
}

/// A measuring as a card shows it.
pub(super) fn setup_card(
    book: &Book<'_>,
    one: &Measured<'_>,
    tank: Option<Amount>,
    due: Option<NaiveDate>,
    today: NaiveDate,
) -> SetupCard {
    let calibration = one.calibration;
    let (measured, age) = aged(calibration.at.day, today);
    let output = one.output();
    let output_by = match one.written() {
        Some(_) => Some("as written".to_string()),
        None => one.worked_out().map(|(way, _)| format!("worked out from {}", method(way.from))),
    };
    let first = |way: &Way| way.readings.first().and_then(|worked| worked.assumed.clone());
    SetupCard {
        setup: book.some_words(calibration.setup),
        day: measured,
        age,
        due: due.map(day),
        overdue: due.is_some_and(|due| due < today),
        output: output.and_then(|rate| said(rate, book.home())).map(Rate::show),
        output_other: output.and_then(|rate| said(rate, other_system(book.home()))).map(Rate::show),
        output_by,
        speed: ground_speed(calibration).map(|speed| book.amount(speed)),
        pressure: calibration.pressure.map(|pressure| book.amount(pressure.value)),
        driving: calibration.driving.map(|driving| driving.value.word().replace('-', " ")),
        course: calibration.course.map(|course| {
            let time = course.value.time.map_or_else(String::new, |time| format!(" in {}", show(time)));
            format!("{}{time}", book.amount(course.value.length))
        }),
        width: calibration.width.map(|width| book.amount(width.value)),
        open: calibration.open.map(|open| open.value),
        rated: calibration.rated.map(|rated| {
            let rated = rated.value;
            let pressure = rated.pressure.map_or_else(String::new, |pressure| format!(" at {}", show(pressure)));
            format!("{} in {}{pressure}", show(rated.amount), show(rated.time))
        }),
        by: book.people(&calibration.by),
        unlike: !alike(calibration),
        catches: catches(calibration),
        mean: mean_of(calibration),
        ways: one.ways.iter().filter_map(way).collect(),
        tank_time: tank.and_then(|tank| minutes(total_flow(calibration)?.time_for(tank)?)),
        tank_ground: tank.and_then(|tank| Some(book.amount(ground_per_tank(tank, output?)?))),
        assumed: one.ways.iter().filter_map(first).collect(),
        findings: book
            .findings_at(calibration.at.entry)
            .into_iter()
            .map(|found| FindingView::new(book, found))
            .collect(),
    }
}

fn method(from: Method) -> &'static str {
    match from {
        Method::Caught => "what was caught",
        Method::Used => "what filling up again took",
        Method::Plot => "the plot",
        Method::Rated => "what new nozzles give",
    }
}

fn way(way: &Way) -> Option<WayView> {
    let worked = way.readings.first()?;
    Some(WayView {
        from: method(way.from),
        output: worked.output.show(),
        working: worked.working.clone(),
        assumed: worked.assumed.clone(),
    })
}

/// An output in gal per acre, or in L per ha.
fn said(output: Rate, system: System) -> Option<Rate> {
    let (unit, ground) = match system {
        System::Us => (Unit::GALLON, Unit::ACRE),
        System::Imperial => (Unit::IMP_GALLON, Unit::ACRE),
        System::Metric => (Unit::LITRE, Unit::HECTARE),
    };
    output.said_as(unit, Per::Area(Amount::of(1, ground)))
}

/// Whether all nozzles are of one kind: those of a sprayer between rows differ on purpose.
fn alike(calibration: &Calibration) -> bool {
    calibration.rated.is_some() || calibration.driving.is_none()
}

/// Each nozzle; those of no known time are held against one another as they were caught.
fn catches(calibration: &Calibration) -> Vec<CatchRow> {
    let nozzles = nozzles(calibration);
    let flows = per_minute(calibration);
    let bare: Vec<Amount> = nozzles.iter().map(|(amount, _)| *amount).collect();
    let compared = flows.as_ref().unwrap_or(&bare);
    let off = off_mean(compared).filter(|off| off.len() > 1);
    let new = rated_flow(calibration);
    let against_new = |at: usize| {
        let flow = Flow::new(*flows.as_ref()?.get(at)?, Amount::of(1, Unit::MINUTE))?;
        over_rated(flow, new?)
    };
    let alike = alike(calibration);
    let row = |(at, (amount, time)): (usize, &(Amount, Option<Amount>))| {
        let off_mean = off.as_ref().and_then(|off| off.get(at)).copied();
        let off_new = against_new(at);
        let too_far = |share: Option<Exact>, percent| share.is_some_and(|share| beyond(share, percent));
        CatchRow {
            number: at + 1,
            caught: time.map_or_else(|| show(*amount), |time| format!("{} in {}", show(*amount), show(time))),
            per_minute: flows.as_ref().and_then(|flows| flows.get(at)).map(|flow| show(*flow)),
            off_mean: off_mean.and_then(signed),
            off_new: off_new.and_then(signed),
            out: too_far(off_new, WORN_FROM) || alike && too_far(off_mean, UNEVEN_FROM) || amount.value.is_zero(),
        }
    };
    nozzles.iter().enumerate().map(row).collect()
}

fn mean_of(calibration: &Calibration) -> Option<String> {
    match per_minute(calibration) {
        Some(flows) => Some(format!("{} in a minute", show(mean(&flows)?))),
        None => {
            let caught: Vec<Amount> = nozzles(calibration).into_iter().map(|(amount, _)| amount).collect();
            Some(show(mean(&caught)?))
        }
    }
}

/// `+4.2 %`, `-12 %`, `0 %`.
fn signed(share: Exact) -> Option<String> {
    let percent = share.mul(Exact::int(100))?;
    let sign = if percent.is_positive() {
        "+"
    } else if percent.is_negative() {
        "-"
    } else {
        ""
    };
    Some(format!("{sign}{} %", percent.abs().decimal(1)))
}

/// `12.5 min`.
fn minutes(time: Amount) -> Option<String> {
    Some(format!("{} min", time.in_unit(Unit::MINUTE)?.value.figures(3)))
}
