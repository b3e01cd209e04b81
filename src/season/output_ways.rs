//! What a sprayer puts out, worked out from what was measured: by every way that the facts of one measuring allow.

use crate::journal::{Calibration, Catch, Driving};
use crate::quantity::{Amount, Exact, Rate, System, Unit, show};
use crate::trade::{
    Alleys, Flow, ground_per_minute, mean, output, output_at_speed, output_of_plot, output_of_strip, speed,
};

/// Narrower than this, a width beside several nozzles is taken for that of one of them; otherwise for that of all. Booms
/// space nozzles at 15 to 40 in, rows of trees and vines stand wider: common practice, no source.
const ONE_NOZZLE_UP_TO: Amount = Amount::of(4, Unit::FOOT);

/// A way of working out the output.
#[derive(Clone, Debug)]
pub struct Way {
    /// From what.
    pub from: Method,
    /// What it comes to, the likeliest reading first; others stand where the facts can be read in more than one way.
    pub readings: Vec<Worked>,
}

/// What an output was worked out from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// Caught from nozzles.
    Caught,
    /// What filling up again took after a strip or a plot.
    Used,
    /// Caught in the time that a plot took.
    Plot,
    /// What new nozzles give. Not measured.
    Rated,
}

/// An output and how it comes about.
#[derive(Clone, Debug)]
pub struct Worked {
    /// Volume per area.
    pub output: Rate,
    /// Each step of the sum.
    pub working: Vec<String>,
    /// What was taken as so.
    pub assumed: Option<String>,
}

/// The ground that a flow is for.
struct Spread {
    /// How many nozzles' flow it is: all, or one.
    all: bool,
    width: Amount,
    assumed: Option<String>,
}

/// Every way that the facts allow; nothing where they do not suffice for any.
pub fn ways(one: &Calibration) -> Vec<Way> {
    let found = [
        (Method::Caught, caught(one)),
        (Method::Used, used(one)),
        (Method::Plot, plot(one)),
        (Method::Rated, rated(one)),
    ];
    found
        .into_iter()
        .filter(|(_, readings)| !readings.is_empty())
        .map(|(from, readings)| Way { from, readings })
        .collect()
}

/// The speed: from the course and its time, or else as written.
pub fn ground_speed(one: &Calibration) -> Option<Amount> {
    let driven = one.course.and_then(|course| speed(course.value.length, course.value.time?));
    driven.or(one.speed.map(|speed| speed.value))
}

/// What each nozzle gave, with the time it took: its own, or else that of the plot or the course.
pub fn nozzles(one: &Calibration) -> Vec<(Amount, Option<Amount>)> {
    let others = one.plot.and_then(|plot| plot.value.time).or(one.course.and_then(|course| course.value.time));
    let each = |catch: &'_ Catch| {
        let time = catch.time.or(others);
        catch.amounts.iter().map(|amount| (*amount, time)).collect::<Vec<_>>()
    };
    one.catches.iter().flat_map(each).collect()
}

/// What each nozzle gives in a minute, none for a dry one; nothing where a time is not known.
pub fn per_minute(one: &Calibration) -> Option<Vec<Amount>> {
    let minute = Amount::of(1, Unit::MINUTE);
    let nozzles = nozzles(one);
    (!nozzles.is_empty()).then_some(())?;
    nozzles.into_iter().map(|(amount, time)| amount.times(minute.ratio(time?)?)).collect()
}

/// How many nozzles spray: as written, or as many as were caught from.
fn open(one: &Calibration) -> usize {
    let caught = one.catches.iter().map(|catch| catch.amounts.len()).sum();
    one.open.map_or(caught, |open| usize::try_from(open.value).unwrap_or(usize::MAX))
}

/// The flow of the whole sprayer; nothing where it is not known that every open nozzle counts in what was caught.
pub fn total_flow(one: &Calibration) -> Option<Flow> {
    let per_minute = per_minute(one)?;
    let whole = one.open.is_some() || one.driving.is_some() || per_minute.len() == 1;
    let open = Exact::int(i64::try_from(open(one)).ok()?);
    let mean = mean(&per_minute).filter(|_| whole)?;
    Flow::new(mean.times(open)?, Amount::of(1, Unit::MINUTE))
}

/// The flow of one nozzle on average, and of all that are open.
struct Flows {
    mean: Amount,
    all: Amount,
    working: Vec<String>,
}

impl Flows {
    /// The steps that lead to the flow of all nozzles, or of one.
    fn steps(&self, all: bool) -> Vec<String> {
        self.working.iter().take(if all { self.working.len() } else { 1 }).cloned().collect()
    }
}

fn flows(amounts: &[Amount], open: usize, in_what: &str) -> Option<Flows> {
    let mean = mean(amounts)?;
    let count = amounts.len();
    let all = mean.times(Exact::int(i64::try_from(open.max(1)).ok()?))?;
    let mut working = vec![if count > 1 {
        format!("{} from {count} nozzles{in_what}: {} each on average", sum(amounts)?, show(mean))
    } else {
        format!("{} from a nozzle{in_what}", show(mean))
    }];
    // Where all were caught, their sum stands there already.
    if open > 1 && open != count {
        working.push(format!("{open} nozzles × {} = {}", show(mean), show(all)));
    }
    Some(Flows { mean, all, working })
}

fn sum(amounts: &[Amount]) -> Option<String> {
    let (first, rest) = amounts.split_first()?;
    Some(show(rest.iter().try_fold(*first, |sum, one| sum.plus(*one))?))
}

fn caught(one: &Calibration) -> Vec<Worked> {
    let Some(width) = one.width.map(|width| width.value) else { return Vec::new() };
    let open = open(one);
    let by_speed = || {
        let speed = ground_speed(one)?;
        let flows = flows(&per_minute(one)?, open, " in a minute")?;
        Some((flows, speed))
    };
    if let Some((flows, speed)) = by_speed() {
        return spreads(one, width, open).into_iter().filter_map(|spread| moving(one, &flows, speed, spread)).collect();
    }
    // Caught while the course was driven, with no clock: the course itself measures the time.
    let untimed = one.catches.iter().all(|catch| catch.time.is_none());
    let Some(course) = one.course.filter(|course| untimed && course.value.time.is_none()) else { return Vec::new() };
    let amounts: Vec<Amount> = nozzles(one).into_iter().map(|(amount, _)| amount).collect();
    let Some(flows) = flows(&amounts, open, " over the course") else { return Vec::new() };
    let over = |spread: Spread| {
        let volume = if spread.all { flows.all } else { flows.mean };
        let output = output_of_strip(volume, course.value.length, spread.width)?;
        let mut working = flows.steps(spread.all);
        working.push(format!(
            "{} on {} × {} = {}",
            show(volume),
            show(course.value.length),
            show(spread.width),
            output.show()
        ));
        let timed = "What was caught without a time was caught for as long as the course took.".to_string();
        let assumed = Some(spread.assumed.map_or(timed.clone(), |assumed| format!("{timed} {assumed}")));
        Some(Worked { output, working, assumed })
    };
    spreads(one, width, open).into_iter().filter_map(over).collect()
}

/// A flow put out while moving.
fn moving(one: &Calibration, flows: &Flows, speed: Amount, spread: Spread) -> Option<Worked> {
    let volume = if spread.all { flows.all } else { flows.mean };
    let output = output_at_speed(Flow::new(volume, Amount::of(1, Unit::MINUTE))?, speed, spread.width)?;
    let ground = ground_per_minute(speed, spread.width)?;
    let mut working = flows.steps(spread.all);
    if let Some((length, time)) = one.course.and_then(|course| Some((course.value.length, course.value.time?))) {
        working.push(format!("{} in {} = {}", show(length), show(time), show(speed)));
    }
    working.push(format!("{} × {} = {} a minute", show(speed), show(spread.width), show(ground)));
    working.push(format!("{} on {} = {}", show(volume), show(ground), output.show()));
    Some(Worked { output, working, assumed: spread.assumed })
}

/// What a flow of so many nozzles can be for, the likeliest first.
fn spreads(one: &Calibration, width: Amount, open: usize) -> Vec<Spread> {
    let narrow = open > 1 && width.compare(ONE_NOZZLE_UP_TO).is_some_and(|order| order.is_lt());
    let of_one = || Spread {
        all: false,
        width,
        assumed: Some(format!("{} is taken for the width of one nozzle, not of all {open}.", show(width))),
    };
    let by_rows = |alleys: Alleys, assumed: Option<&str>| {
        Some(Spread { all: true, width: alleys.width(width)?, assumed: assumed.map(str::to_string) })
    };
    if let Some(driving) = one.driving {
        let readings = match driving.value {
            Driving::BothSides => vec![by_rows(Alleys::BothSides, None)],
            Driving::AlternateRows => vec![by_rows(
                Alleys::EveryOther,
                Some("Every other alley is driven, so that a pass counts for twice the row spacing."),
            )],
            Driving::OneSide => vec![
                by_rows(
                    Alleys::OneSide,
                    Some(
                        "The nozzles are those of one side, and every row is sprayed from both of its sides, so that a pass counts for half the row spacing.",
                    ),
                ),
                by_rows(Alleys::BothSides, Some("Every row is sprayed from one side only.")),
            ],
        };
        // Hardly any row is that narrow; how rows are driven says nothing of what one nozzle covers.
        let first = narrow.then(of_one);
        return first.into_iter().chain(readings.into_iter().flatten()).collect();
    }
    if open < 2 {
        return vec![Spread { all: true, width, assumed: None }];
    }
    let of_all = Spread {
        all: true,
        width,
        assumed: Some(format!("{} is taken for the width of all {open} nozzles together.", show(width))),
    };
    if narrow { vec![of_one(), of_all] } else { vec![of_all, of_one()] }
}

fn used(one: &Calibration) -> Vec<Worked> {
    let Some(used) = one.used.map(|used| used.value) else { return Vec::new() };
    let Some(width) = one.width.map(|width| width.value) else {
        // A plot, or a course of known width, is needed.
        let on_plot = || {
            let area = ground(one, used)?;
            let output = output(used, area)?;
            let working = vec![format!("{} on {} = {}", show(used), show(area), output.show())];
            Some(Worked { output, working, assumed: None })
        };
        return on_plot().into_iter().collect();
    };
    let Some(course) = one.course.map(|course| course.value.length) else { return Vec::new() };
    let open = open(one);
    let on_strip = |spread: Spread| {
        // All nozzles sprayed, whatever the width is of.
        let swath =
            if spread.all { spread.width } else { spread.width.times(Exact::int(i64::try_from(open).ok()?))? };
        let output = output_of_strip(used, course, swath)?;
        let working = vec![format!("{} on {} × {} = {}", show(used), show(course), show(swath), output.show())];
        Some(Worked { output, working, assumed: spread.assumed })
    };
    spreads(one, width, open).into_iter().filter_map(on_strip).collect()
}

/// The plot in the units of what was sprayed on it: the sides of a plot come in square metres.
fn ground(one: &Calibration, sprayed: Amount) -> Option<Amount> {
    let area = one.plot?.value.area;
    if area.unit != Unit::SQ_METRE || sprayed.unit.belongs_to(System::Metric) {
        return Some(area);
    }
    area.in_unit(Unit::SQ_FT)
}

fn plot(one: &Calibration) -> Vec<Worked> {
    let by_time = || {
        let per_minute = per_minute(one)?;
        let (area, time) = (ground(one, *per_minute.first()?)?, one.plot?.value.time?);
        // Several catches are tries of one gun, unless more nozzles are open.
        let count = one.open.map_or(1, |open| usize::try_from(open.value).unwrap_or(usize::MAX));
        let flows = flows(&per_minute, count, " in a minute")?;
        let flow = Flow::new(flows.all, Amount::of(1, Unit::MINUTE))?;
        let output = output_of_plot(flow, area, time)?;
        let mut working = flows.working;
        working.push(format!("{} in {} on {} = {}", show(flow.in_time(time)?), show(time), show(area), output.show()));
        let assumed = (per_minute.len() > 1 && one.open.is_none())
            .then(|| "Several catches are tries of the same gun.".to_string());
        Some(Worked { output, working, assumed })
    };
    by_time().into_iter().collect()
}

/// The flow of a new nozzle at the pressure that was measured; `None` where only one of the two pressures is written.
pub fn rated_flow(one: &Calibration) -> Option<Flow> {
    let rated = one.rated?.value;
    let flow = Flow::new(rated.amount, rated.time)?;
    match (rated.pressure, one.pressure) {
        (Some(from), Some(to)) => flow.at_pressure(from, to.value),
        (None, None) => Some(flow),
        _ => None,
    }
}

fn rated(one: &Calibration) -> Vec<Worked> {
    let known = || {
        let flow = rated_flow(one)?;
        let (speed, width) = (ground_speed(one)?, one.width?.value);
        Some((flows(&[flow.per_minute()], open(one), " in a minute, new")?, speed, width))
    };
    let Some((flows, speed, width)) = known() else { return Vec::new() };
    spreads(one, width, open(one)).into_iter().filter_map(|spread| moving(one, &flows, speed, spread)).collect()
}
