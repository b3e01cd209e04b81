//! A card for each sprayer: what each of its setups puts out, how that was measured, and a place for the next measuring.

use chrono::{Days, NaiveDate};
use serde::Serialize;

use super::book::Book;
use super::calibration_setup::{SetupCard, setup_card};
use super::cautions::cautions;
use super::head::Head;
use super::words::{day, interval};
use crate::journal::{Calibration, RigId};
use crate::quantity::{Amount, Exact, System, Unit, show};
use crate::season::Measured;
use crate::trade::ounce_course;

/// The most lines for catches that are left blank.
const MOST_BLANKS: usize = 24;
/// The fewest.
const FEWEST_BLANKS: usize = 6;

/// The cards of a farm.
#[derive(Clone, Debug, Serialize)]
pub struct CalibrationCards {
    /// Top and foot.
    pub head: Head,
    /// One for each sprayer, in the order of the journal.
    pub cards: Vec<CalibrationCard>,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// The card of a sprayer.
#[derive(Clone, Debug, Serialize)]
pub struct CalibrationCard {
    /// The sprayer.
    pub rig: String,
    /// What its tank holds.
    pub tank: Option<String>,
    /// How it applies.
    pub method: Option<String>,
    /// Its nozzles.
    pub nozzles: Option<String>,
    /// Its droplets.
    pub droplets: Option<String>,
    /// How long a calibration counts, by the farm's own rule.
    pub rule: Option<String>,
    /// The setups, the last measured first.
    pub setups: Vec<SetupCard>,
    /// How to measure it, with its own numbers where they are known.
    pub worksheet: Vec<String>,
    /// The numbers of the lines to write catches on.
    pub blanks: Vec<usize>,
}

/// The cards of a book; nothing where no sprayer is declared.
pub fn calibration_cards(book: &Book<'_>) -> Option<CalibrationCards> {
    let rigs = book.journal().rigs.len();
    if rigs == 0 {
        return None;
    }
    let today = today(book);
    let cards: Vec<CalibrationCard> = (0..rigs).map(|rig| card(book, RigId::at(rig), today)).collect();
    let mut assumed: Vec<String> = Vec::new();
    for line in cards.iter().flat_map(|card| &card.setups).flat_map(|setup| &setup.assumed) {
        if !assumed.contains(line) {
            assumed.push(line.clone());
        }
    }
    assumed.push(
        "An output that is not written is worked out from what was caught, or else from what filling up again took, or else from the plot."
            .to_string(),
    );
    if cards.iter().any(|card| card.rule.is_none()) {
        assumed.push(
            "Where a sprayer has no rule of your own (`recalibrate every …`), nothing here says when it is due."
                .to_string(),
        );
    }
    Some(CalibrationCards { head: Head::new(book), cards, assumed, cautions: cautions(book) })
}

/// The day that ages are counted to: the day asked for, or else the last page.
fn today(book: &Book<'_>) -> NaiveDate {
    let last = book.journal().days.iter().map(|page| page.at.day).max();
    book.season.as_of.or(last).unwrap_or_default()
}

fn card(book: &Book<'_>, id: RigId, today: NaiveDate) -> CalibrationCard {
    let rig = book.journal().rig(id);
    let measured = book.season.calibrations.in_force(id, None, today);
    let tank = rig.tank.map(|tank| tank.value);
    let rule = rig.recalibrate.map(|rule| rule.value);
    let due = |one: &Measured<'_>| due(one.calibration.at.day, rule?);
    let latest = measured.first().copied();
    let nozzles = |one: &&Measured<'_>| {
        let caught = one.calibration.catches.iter().map(|catch| catch.amounts.len()).sum();
        one.calibration.open.map_or(caught, |open| usize::try_from(open.value).unwrap_or(MOST_BLANKS))
    };
    let blanks = measured.iter().map(nozzles).max().unwrap_or(0);
    CalibrationCard {
        rig: rig.named.shown().to_string(),
        tank: tank.map(|tank| book.amount(tank)),
        method: book.some_words(rig.method),
        nozzles: book.some_words(rig.nozzles),
        droplets: book.some_words(rig.droplets),
        rule: rule.map(|rule| format!("every {}", interval(rule))),
        setups: measured.iter().map(|one| setup_card(book, one, tank, due(one), today)).collect(),
        worksheet: worksheet(book.home(), latest.map(|one| one.calibration)),
        blanks: (1..=blanks.clamp(FEWEST_BLANKS, MOST_BLANKS)).collect(),
    }
}

/// The last day on which a calibration counts.
fn due(measured: NaiveDate, rule: Exact) -> Option<NaiveDate> {
    let days = u64::try_from(rule.div(Exact::int(86_400))?.floor()).ok()?;
    measured.checked_add_days(Days::new(days))
}

/// The ways to measure a sprayer, as it was measured last and for its width where that is known.
fn worksheet(home: System, last: Option<&Calibration>) -> Vec<String> {
    let width = last.and_then(|one| one.width).map(|width| width.value);
    let between_rows = last.is_some_and(|one| one.driving.is_some());
    let by_hand = last.is_some_and(|one| one.plot.is_some());
    if home == System::Metric {
        return metric(width, between_rows);
    }
    let narrow = width.and_then(|width| Some((width, ounce_course(width)?)));
    let ounces = match narrow.filter(|_| !between_rows) {
        Some((width, course)) => format!("for {} the course is {} ft", show(width), course.value.decimal(1)),
        None => "the course is 340.3 ft over the width in ft (nozzle spacing or spray width)".to_string(),
    };
    let strip = width.and_then(|width| Some((width, Exact::int(66).div(width.in_unit(Unit::FOOT)?.value)?)));
    let own = strip.map_or_else(String::new, |(width, times)| {
        format!("; for a swath of {}, gal × {}", show(width), times.figures(3))
    });
    let mut lines = Vec::new();
    if between_rows {
        lines.push("Between rows: catch from every open nozzle for a minute. Gallons per acre = gal a minute × 495 over (mph × row spacing in ft); with 990 where one side was caught, with 247.5 where every other alley is driven.".to_string());
    } else if !by_hand {
        lines.push(format!("Ounces are gallons: {ounces}. Drive it as you spray and take the time; catch from the nozzles of that width for as long. Fluid ounces caught are gallons per acre."));
    }
    if by_hand || last.is_none() {
        lines.push("By hand: spray 18.5 ft by 18.5 ft and take the time; catch for as long. Fluid ounces caught are gallons per acre.".to_string());
    }
    lines.push(format!("Fill up again: fill to a mark, spray 660 ft, fill to the mark. Gallons per acre = gal × 66 over the swath in ft{own}."));
    lines.push("Speed: 88 ft in 60 s is 1 mph; mph = ft × 60 over (s × 88).".to_string());
    lines
}

fn metric(width: Option<Amount>, between_rows: bool) -> Vec<String> {
    let course = width.and_then(|width| Some((width, Exact::int(100).div(width.in_unit(Unit::METRE)?.value)?)));
    let course = course.map_or_else(
        || "100 over the width in m".to_string(),
        |(width, metres)| format!("100 over the width in m; for {}, {} m", show(width), metres.figures(3)),
    );
    let first = if between_rows {
        "Between rows: catch from every open nozzle for a minute. L per ha = 600 × L a minute over (km/h × row spacing in m); with 1200 where one side was caught, with 300 where every other alley is driven.".to_string()
    } else {
        format!(
            "A hundredth of a hectare: drive a course of {course}, take the time, and catch from the nozzles of that width for as long. Litres caught × 100 are L per ha."
        )
    };
    vec![
        first,
        "Fill up again: L per ha = L × 10,000 over (course in m × swath in m).".to_string(),
        "Speed: over 100 m, km/h = 360 over s.".to_string(),
    ]
}

/// The day in words, and how many days ago it was.
pub(super) fn aged(measured: NaiveDate, today: NaiveDate) -> (String, String) {
    let days = today.signed_duration_since(measured).num_days();
    let age = match days {
        0 => "the same day".to_string(),
        1 => "1 day".to_string(),
        days => format!("{days} days"),
    };
    (day(measured), age)
}
