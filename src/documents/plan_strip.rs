//! One block's season as a drawing: a row a program, planned beside done, with the shadows that sprays throw on the picks.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::picture::{Axis, Month};
use super::plan_block::due_then;
use super::series::tenths;
use super::words::{clear_from, day_short};
use crate::journal::{BlockId, MaterialId};
use crate::plan::{Line, Plan};
use crate::season::{Moment, Taken};

/// The drawing of a block's season.
#[derive(Clone, Debug, Serialize)]
pub struct PlanStrip {
    /// The width of the drawing.
    pub width: String,
    /// Its height.
    pub height: u32,
    /// Where Mondays are.
    pub mondays: Vec<String>,
    /// Where months begin.
    pub months: Vec<Month>,
    /// Where today is.
    pub today: Option<String>,
    /// A row a program.
    pub rows: Vec<ProgramRow>,
    /// Stretches after sprays in which there may be no pick.
    pub shadows: Vec<Stretch>,
    /// Where those are drawn, down.
    pub shadows_y: u32,
    /// When picking is expected.
    pub picking: Vec<Stretch>,
    /// The same in words.
    pub text: Vec<String>,
}

/// A program's row.
#[derive(Clone, Debug, Serialize)]
pub struct ProgramRow {
    /// The program.
    pub program: String,
    /// Down, the top of the row.
    pub y: u32,
    /// Windows.
    pub windows: Vec<Stretch>,
    /// Rounds on their days.
    pub rounds: Vec<RoundMark>,
    /// Days on which something is in the way.
    pub blocked: Vec<String>,
}

/// A stretch of days.
#[derive(Clone, Debug, Serialize)]
pub struct Stretch {
    /// Across.
    pub x: String,
    /// How long.
    pub width: String,
    /// In words.
    pub title: String,
    /// Whether it is only planned.
    pub planned: bool,
}

/// A round on its day.
#[derive(Clone, Debug, Serialize)]
pub struct RoundMark {
    /// Across, the middle.
    pub x: String,
    /// `done`, `skipped`, `planned` or `barred`.
    pub kind: &'static str,
    /// Which round.
    pub number: usize,
    /// In words.
    pub title: String,
}

/// The top of the first row, the height of one, and that of the rows for shadows and picks.
const TOP: u32 = 16;
const ROW: u32 = 38;
const FOOT: u32 = 22;

pub(super) fn plan_strip(book: &Book<'_>, plan: &Plan, block: BlockId, lines: &[&Line]) -> Option<PlanStrip> {
    let picking = &book.journal().block(block).picking;
    let shadows = shadows(book, block, lines);
    let done = lines.iter().flat_map(|line| &line.steps).map(|step| step.day);
    let planned = lines
        .iter()
        .flat_map(|line| &line.rounds)
        .flat_map(|round| [round.window.due.first, round.window.due.last, round.day]);
    let known: Vec<NaiveDate> = done.chain(planned).collect();
    let first = known.iter().copied().min()?.min(plan.today);
    // Picks of this season; what is foreseen for later years is no part of it.
    let picks = picking.iter().flat_map(|picking| [picking.first, picking.last.unwrap_or(picking.first)]);
    let near = |day: &NaiveDate| *day >= first && day.signed_duration_since(first).num_days() < 400;
    let last = known.iter().copied().chain(picks.filter(near)).chain([plan.today]).max()?;
    let axis = Axis::new(first, last);
    let rows: Vec<ProgramRow> =
        lines.iter().enumerate().map(|(index, line)| row(book, axis, TOP + ROW * index as u32, line)).collect();
    let shadows_y = TOP + ROW * rows.len() as u32;
    let picks = picking.iter().filter(|picking| axis.has(picking.first)).map(|picking| {
        let last = picking.last.unwrap_or(picking.first);
        let title = format!("picking expected {} to {}", day_short(picking.first), day_short(last));
        days(axis, picking.first, last, title, true)
    });
    let mut text: Vec<String> = Vec::new();
    for shadow in &shadows {
        text.push(shadow.said());
    }
    Some(PlanStrip {
        width: tenths(axis.width()),
        height: shadows_y + FOOT,
        mondays: axis.mondays(),
        months: axis.months(),
        today: axis.has(plan.today).then(|| tenths(axis.noon(plan.today))),
        rows,
        shadows: shadows.iter().map(|shadow| shadow.stretch(axis)).collect(),
        shadows_y,
        picking: picks.collect(),
        text,
    })
}

fn days(axis: Axis, first: NaiveDate, last: NaiveDate, title: String, planned: bool) -> Stretch {
    let from = axis.x(first.max(axis.first));
    let to = (axis.x(last.min(axis.last)) + axis.day).min(axis.width());
    Stretch { x: tenths(from), width: tenths((to - from).max(1.5)), title, planned }
}

fn row(book: &Book<'_>, axis: Axis, y: u32, line: &Line) -> ProgramRow {
    let name = book.journal().program(line.program).named.shown();
    let mut windows = Vec::new();
    let mut rounds = Vec::new();
    for (index, (step, due)) in line.steps.iter().zip(due_then(book, line)).enumerate() {
        let number = index + 1;
        if let Some(due) = due.filter(|due| axis.has(due.last)) {
            let title = format!("round {number} was due {} to {}", day_short(due.first), day_short(due.last));
            windows.push(days(axis, due.first, due.last, title, false));
        }
        let (kind, word) = match step.taken {
            Taken::Sprayed(_) => ("done", "sprayed"),
            Taken::Skipped(_) => ("skipped", "skipped"),
        };
        let title = format!("round {number} {word} on {}", day_short(step.day));
        rounds.push(RoundMark { x: tenths(axis.noon(step.day)), kind, number, title });
    }
    let mut blocked = Vec::new();
    for round in &line.rounds {
        let (due, number) = (round.window.due, round.window.number);
        let title = format!("round {number} due {} to {}", day_short(due.first), day_short(due.last));
        windows.push(days(axis, due.first, due.last, title, true));
        let (kind, word) = if round.conflicts.is_empty() {
            ("planned", "planned")
        } else {
            ("barred", "planned, and in its way something stands,")
        };
        let title = format!("round {number} {word} for {}", day_short(round.day));
        rounds.push(RoundMark { x: tenths(axis.noon(round.day)), kind, number, title });
        blocked.extend(round.blocked.iter().filter(|(day, _)| axis.has(*day)).map(|(day, _)| tenths(axis.noon(*day))));
    }
    ProgramRow { program: name.to_string(), y, windows, rounds, blocked }
}

/// The time after a spray in which there may be no pick.
struct Shadow {
    from: NaiveDate,
    until: Moment,
    material: String,
    planned: bool,
}

impl Shadow {
    fn said(&self) -> String {
        let sprayed = if self.planned { "if sprayed" } else { "sprayed" };
        format!(
            "{sprayed} on {}: picking from {} on, by {}",
            day_short(self.from),
            clear_from(self.until),
            self.material
        )
    }

    fn stretch(&self, axis: Axis) -> Stretch {
        let from = axis.x(self.from);
        let width = (axis.at(self.until.local).min(axis.width()) - from).max(1.5);
        Stretch { x: tenths(from), width: tenths(width), title: self.said(), planned: self.planned }
    }
}

fn shadows(book: &Book<'_>, block: BlockId, lines: &[&Line]) -> Vec<Shadow> {
    let season = book.season;
    let crop = season.crop(block);
    let mut shadows = Vec::new();
    for line in lines {
        let done = line.steps.iter().filter_map(|step| match step.taken {
            Taken::Sprayed(at) => Some(&season.sprays[at]),
            Taken::Skipped(_) => None,
        });
        shadows.extend(done.filter_map(|facts| {
            let hold = season.harvest_hold(facts, block).filter(|hold| hold.until > facts.end)?;
            let (from, material) = (facts.end.local.date(), book.material(hold.material).to_string());
            Some(Shadow { from, until: hold.until, material, planned: false })
        }));
        shadows.extend(line.rounds.iter().filter_map(|round| {
            let end = season.zone.end_of(round.day);
            let until = |&(material, _): &(MaterialId, _)| {
                let (_, until) = season.harvest_wait(material, crop, end)?;
                Some((until?, material))
            };
            let (until, material) = round.doses.iter().filter_map(until).max_by_key(|(until, _)| *until)?;
            let (from, material) = (round.day, book.material(material).to_string());
            (until > end).then_some(Shadow { from, until, material, planned: true })
        }));
    }
    shadows.sort_by_key(|shadow| (shadow.from, shadow.until));
    shadows
}
