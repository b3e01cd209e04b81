//! A block's season: the rounds of its programs, planned beside done.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::plan_strip::{PlanStrip, plan_strip};
use super::plan_words::{ConflictView, conflicts, in_short, rain, volume_from};
use super::words::{day_short, list, moment};
use crate::journal::BlockId;
use crate::plan::{Line, Plan, PlannedRound};
use crate::season::{Due, RoundStep, Run, Taken};

/// A block's season.
#[derive(Clone, Debug, Serialize)]
pub struct BlockPlan {
    /// The block.
    pub block: String,
    /// Its crop.
    pub crop: Option<String>,
    /// When picking is expected.
    pub picking: Vec<String>,
    /// The drawing; absent where nothing has a day.
    pub strip: Option<PlanStrip>,
    /// Rounds sprayed, skipped and to come, program by program.
    pub rounds: Vec<RoundRow>,
}

/// A round, planned beside done.
#[derive(Clone, Debug, Serialize)]
pub struct RoundRow {
    /// The program.
    pub program: String,
    /// Which round.
    pub number: usize,
    /// Whether the program may do without it.
    pub optional: bool,
    /// `done`, `skipped`, `overdue`, `due`, `blocked` or `to come`.
    pub state: &'static str,
    /// From when to when it was or is due; absent where that is not known.
    pub window: Option<String>,
    /// The first day of that, for machines.
    pub first: Option<String>,
    /// The last day of that, for machines.
    pub last: Option<String>,
    /// The day it was sprayed or skipped, or is planned for.
    pub day: String,
    /// The same day, for machines.
    pub day_iso: String,
    /// What is to be said besides: why it was skipped, until when re-entry runs, what rain changed.
    pub remarks: Vec<String>,
    /// How much spray is planned, and from what that is known.
    pub volume: Option<String>,
    /// What goes in, as planned.
    pub doses: Vec<String>,
    /// Days of its window on which something is in the way.
    pub blocked: Vec<BlockedDays>,
    /// What is in the way on the day it is planned for.
    pub conflicts: Vec<ConflictView>,
}

/// Days on which the same is in the way.
#[derive(Clone, Debug, Serialize)]
pub struct BlockedDays {
    /// The days.
    pub days: String,
    /// What is in the way, in short.
    pub by: Vec<String>,
    /// The same with its arithmetic, as it is on the first of the days.
    pub conflicts: Vec<ConflictView>,
}

/// Every block with a program, in the order of the journal.
pub(super) fn block_plans(book: &Book<'_>, plan: &Plan) -> Vec<BlockPlan> {
    let blocks = (0..book.journal().blocks.len()).map(BlockId::at);
    blocks.filter_map(|block| block_plan(book, plan, block)).collect()
}

fn block_plan(book: &Book<'_>, plan: &Plan, block: BlockId) -> Option<BlockPlan> {
    let lines: Vec<&Line> = plan.lines.iter().filter(|line| line.block == block).collect();
    let rounds: Vec<RoundRow> = lines.iter().flat_map(|line| rows(book, plan, line)).collect();
    if rounds.is_empty() {
        return None;
    }
    let known = book.journal().block(block);
    let picking = known.picking.iter().map(|picking| match picking.last.filter(|last| *last > picking.first) {
        Some(last) => format!("{} to {}", day_short(picking.first), day_short(last)),
        None => day_short(picking.first),
    });
    Some(BlockPlan {
        block: book.block(block).to_string(),
        crop: known.crop.as_ref().map(|crop| crop.value.to_string()),
        picking: picking.collect(),
        strip: plan_strip(book, plan, block, &lines),
        rounds,
    })
}

/// The days from and to which a round was due; one day is said once.
pub(super) fn due_days(due: Due) -> String {
    if due.first == due.last {
        day_short(due.first)
    } else {
        format!("{} to {}", day_short(due.first), day_short(due.last))
    }
}

/// When each round that was sprayed or skipped had been due.
pub(super) fn due_then(book: &Book<'_>, line: &Line) -> Vec<Option<Due>> {
    let season = book.season;
    let runs = season.runs.iter().filter(|run| run.program == line.program && run.block == line.block);
    let is_it = |run: &&Run| line.steps.first().is_some_and(|first| run.steps.first() == Some(first));
    let Some(run) = runs.filter(is_it).last() else { return vec![None; line.steps.len()] };
    let before = std::iter::once(None).chain(line.steps.iter().map(|step| Some(step.day)));
    let due = before.map(|before| match before {
        None => run.first_due(),
        Some(day) => season.next_due(run, day).map(|next| next.due),
    });
    due.take(line.steps.len()).collect()
}

fn rows(book: &Book<'_>, plan: &Plan, line: &Line) -> Vec<RoundRow> {
    let then = due_then(book, line);
    let done =
        line.steps.iter().zip(then).enumerate().map(|(index, (step, due))| done_row(book, line, index, step, due));
    let to_come = line.rounds.iter().map(|round| planned_row(book, plan, line, round));
    done.chain(to_come).collect()
}

fn program<'a>(book: &Book<'a>, line: &Line) -> &'a str {
    book.journal().program(line.program).named.shown()
}

fn done_row(book: &Book<'_>, line: &Line, index: usize, step: &RoundStep, due: Option<Due>) -> RoundRow {
    let (state, remark) = match step.taken {
        Taken::Sprayed(_) => ("done", None),
        Taken::Skipped(at) => {
            let reason = book.some_words(book.journal().skips[at].reason);
            ("skipped", Some(reason.unwrap_or_else(|| "reason not recorded".to_string())))
        }
    };
    RoundRow {
        program: program(book, line).to_string(),
        number: index + 1,
        optional: false,
        state,
        window: due.map(due_days),
        first: due.map(|due| due.first.to_string()),
        last: due.map(|due| due.last.to_string()),
        day: day_short(step.day),
        day_iso: step.day.to_string(),
        remarks: remark.into_iter().collect(),
        volume: None,
        doses: Vec::new(),
        blocked: Vec::new(),
        conflicts: Vec::new(),
    }
}

fn planned_row(book: &Book<'_>, plan: &Plan, line: &Line, round: &PlannedRound) -> RoundRow {
    let due = round.window.due;
    let barred = !round.conflicts.is_empty();
    let state = match (barred, due.first <= plan.today, due.last < plan.today) {
        (true, ..) => "blocked",
        (false, _, true) => "overdue",
        (false, true, _) => "due",
        (false, false, _) => "to come",
    };
    let mut remarks = Vec::new();
    remarks.extend(round.window.rained.map(|rained| rain(book, rained)));
    remarks.extend(round.not_before.map(|until| format!("not before {}: re-entry", moment(until))));
    let doses = round.doses.iter().map(|&(material, amount)| match amount {
        Some(amount) => {
            format!("{} {}", book.material(material), book.amount(book.in_own_unit(material, amount)))
        }
        None => format!("{}, amount not known", book.material(material)),
    });
    RoundRow {
        program: program(book, line).to_string(),
        number: round.window.number,
        optional: round.window.optional,
        state,
        window: Some(due_days(due)),
        first: Some(due.first.to_string()),
        last: Some(due.last.to_string()),
        day: day_short(round.day),
        day_iso: round.day.to_string(),
        remarks,
        volume: round.volume.map(|planned| format!("{}, {}", book.amount(planned.volume), volume_from(planned))),
        doses: doses.collect(),
        blocked: blocked(round),
        conflicts: conflicts(&round.conflicts),
    }
}

/// Days in a row with the same in the way, told once.
fn blocked(round: &PlannedRound) -> Vec<BlockedDays> {
    let mut groups: Vec<(Vec<NaiveDate>, Vec<String>, Vec<ConflictView>)> = Vec::new();
    for (day, barred) in &round.blocked {
        let by = in_short(barred);
        match groups.last_mut().filter(|(_, known, _)| *known == by) {
            Some((days, ..)) => days.push(*day),
            None => groups.push((vec![*day], by, conflicts(barred))),
        }
    }
    let said = |days: &[NaiveDate]| match days {
        [first, .., last] if last.signed_duration_since(*first).num_days() + 1 == days.len() as i64 => {
            format!("{} to {}", day_short(*first), day_short(*last))
        }
        _ => list(&days.iter().map(|day| day_short(*day)).collect::<Vec<_>>()),
    };
    groups.into_iter().map(|(days, by, conflicts)| BlockedDays { days: said(&days), by, conflicts }).collect()
}
