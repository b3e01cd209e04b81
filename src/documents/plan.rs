//! The plan: what is due, overdue and blocked and by what; each block's season, planned beside done; what is to be bought.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::cautions::cautions;
use super::digest::Digest;
use super::head::Head;
use super::plan_block::{BlockPlan, block_plans, due_days};
use super::plan_words::{conflicts, in_short, state_word, state_words, waits_words};
use super::shopping::{ShoppingView, shopping_view};
use super::supposed::{SupposedView, supposed_view};
use super::words::{count, day, day_short, list};
use crate::plan::{Conflict, Line, Plan, State, VolumeFrom, WhatIf};

pub use super::plan_words::ConflictView;

/// The plan of a farm.
#[derive(Clone, Debug, Serialize)]
pub struct PlanView {
    /// Top and foot.
    pub head: Head,
    /// The day that counts as today.
    pub today: String,
    /// The same day, for machines.
    pub today_iso: String,
    /// What comes first: how much is due, overdue and blocked.
    pub lede: String,
    /// What was supposed, and what that would change.
    pub supposed: Option<SupposedView>,
    /// What is due, overdue or blocked.
    pub now: Vec<LineView>,
    /// What is to come.
    pub to_come: Vec<LineView>,
    /// What is done, ended or not begun.
    pub other: Vec<LineView>,
    /// Picks that are expected and not clear by what was already sprayed.
    pub picks: Vec<PickView>,
    /// Each block's season.
    pub blocks: Vec<BlockPlan>,
    /// What is to be bought.
    pub shopping: ShoppingView,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

impl PlanView {
    /// With what identifies the files that a plan was made from, where it was made from a copy of them.
    #[must_use]
    pub fn with_digest(mut self, digest: Digest) -> Self {
        self.head.digest = digest;
        self
    }
}

/// A program on a block.
#[derive(Clone, Debug, Serialize)]
pub struct LineView {
    /// The block.
    pub block: String,
    /// The program.
    pub program: String,
    /// `due`, `overdue`, `blocked`, `to come`, `done`, `ended` or `not begun`.
    pub state: &'static str,
    /// The same in words, with its days.
    pub words: String,
    /// Rounds sprayed of those that the program has, such as `2 of 3 to 4`.
    pub count: String,
    /// The next round's number.
    pub round: Option<usize>,
    /// Whether the program may do without it.
    pub optional: bool,
    /// From when to when it is due.
    pub window: Option<String>,
    /// Its first day, for machines.
    pub first: Option<String>,
    /// Its last day, for machines.
    pub last: Option<String>,
    /// The first day on which nothing is in its way.
    pub clear: Option<String>,
    /// The same day, for machines.
    pub clear_iso: Option<String>,
    /// What is in the way, in short.
    pub by: Vec<String>,
    /// What is in the way of the next round today, or on every day of its window, or of a tank on any day.
    pub conflicts: Vec<ConflictView>,
}

/// A pick that is expected before it is clear.
#[derive(Clone, Debug, Serialize)]
pub struct PickView {
    /// The block.
    pub block: String,
    /// The day.
    pub day: String,
    /// The same day, for machines.
    pub day_iso: String,
    /// What is in the way.
    pub conflicts: Vec<ConflictView>,
}

/// The view of a plan. The book is of the same journal; `supposed` holds the suppositions it was made with.
pub fn plan_view(book: &Book<'_>, plan: &Plan, supposed: Option<(&[String], &WhatIf)>) -> PlanView {
    let lines: Vec<(&Line, LineView)> =
        plan.lines.iter().map(|line| (line, line_view(book, line, plan.today))).collect();
    let of = |wanted: fn(&State) -> bool| -> Vec<LineView> {
        let mut lines: Vec<&(&Line, LineView)> = lines.iter().filter(|(line, _)| wanted(&line.state)).collect();
        lines.sort_by_key(|(line, _)| line.rounds.first().map(|round| round.window.due.last));
        lines.into_iter().map(|(_, view)| view.clone()).collect()
    };
    let now = of(|state| matches!(state, State::Due | State::Overdue(_) | State::Blocked(_)));
    PlanView {
        head: Head::new(book),
        today: day(plan.today),
        today_iso: plan.today.to_string(),
        lede: lede(plan),
        supposed: supposed.map(|(words, what_if)| supposed_view(book, words, what_if)),
        now,
        to_come: of(|state| matches!(state, State::ToCome)),
        other: of(|state| matches!(state, State::NotBegun(_) | State::Done | State::Ended(_))),
        picks: plan
            .picks
            .iter()
            .map(|pick| PickView {
                block: book.block(pick.block).to_string(),
                day: day(pick.day),
                day_iso: pick.day.to_string(),
                conflicts: conflicts(&pick.conflicts),
            })
            .collect(),
        blocks: block_plans(book, plan),
        shopping: shopping_view(book, plan),
        assumed: assumed(book, plan),
        cautions: cautions(book),
    }
}

fn line_view(book: &Book<'_>, line: &Line, today: NaiveDate) -> LineView {
    let program = book.journal().program(line.program);
    let next = line.rounds.first();
    let window = next.map(|round| round.window);
    let clear = next.filter(|round| round.conflicts.is_empty()).map(|round| round.day);
    let in_way: &[Conflict] = match next {
        // What bars a round today, where it can be sprayed later; or else what bars it on the day it is planned for.
        Some(round) if round.conflicts.is_empty() => {
            round.blocked.iter().find(|(day, _)| *day == today).map_or(&[], |(_, conflicts)| conflicts)
        }
        Some(round) => &round.conflicts,
        None => &line.undated,
    };
    let sprayed = line.steps.iter().filter(|step| matches!(step.taken, crate::season::Taken::Sprayed(_))).count();
    LineView {
        block: book.block(line.block).to_string(),
        program: program.named.shown().to_string(),
        state: state_word(line.state),
        words: state_words(line, today),
        count: super::rounds::count_words(sprayed, program),
        round: window.map(|window| window.number),
        optional: window.is_some_and(|window| window.optional),
        window: window.map(|window| due_days(window.due)),
        first: window.map(|window| window.due.first.to_string()),
        last: window.map(|window| window.due.last.to_string()),
        clear: clear.map(day_short),
        clear_iso: clear.map(|day| day.to_string()),
        by: in_short(in_way),
        conflicts: conflicts(in_way),
    }
}

/// `1 round overdue, 2 due, 1 blocked; the next to come is on 4 June`.
fn lede(plan: &Plan) -> String {
    let number = |wanted: fn(&State) -> bool| plan.lines.iter().filter(|line| wanted(&line.state)).count();
    let parts = [
        (number(|state| matches!(state, State::Overdue(_))), "overdue"),
        (number(|state| matches!(state, State::Due)), "due"),
        (number(|state| matches!(state, State::Blocked(_))), "blocked"),
    ];
    let now: Vec<String> = parts
        .into_iter()
        .filter(|(number, _)| *number > 0)
        .map(|(number, word)| format!("{} {word}", count(number, "round", "rounds")))
        .collect();
    let coming = plan.lines.iter().filter(|line| line.state == State::ToCome);
    let next = coming.filter_map(|line| Some(line.rounds.first()?.window.due.first)).min();
    let next = next.map(|next| format!("the next to come is due from {}", day(next)));
    match (now.is_empty(), next) {
        (true, None) => "No round is due, and none is to come.".to_string(),
        (true, Some(next)) => format!("No round is due; {next}."),
        (false, None) => format!("{}.", list(&now)),
        (false, Some(next)) => format!("{}; {next}.", list(&now)),
    }
}

fn assumed(book: &Book<'_>, plan: &Plan) -> Vec<String> {
    let mut assumed = vec![
        "A planned round is taken as sprayed over the whole block at no known hour, so that what it keeps waiting is counted from the end of its day.".to_string(),
        "A round is planned for the first day of its window, from today on, on which nothing found stands in its way; the window of the round after it counts from that day. A round that is overdue is tried for two weeks to come.".to_string(),
        "How much give a round has is common practice, no source: three days for a first round, a day either way where the program has one interval.".to_string(),
        "Crops are picked on the days that `picking` names: the first of them, and the day after each spray between the first and the last.".to_string(),
    ];
    let mut from: Vec<VolumeFrom> =
        plan.lines.iter().flat_map(|line| &line.rounds).filter_map(|round| Some(round.volume?.from)).collect();
    from.extend(plan.lines.iter().filter_map(|line| Some(line.undated_volume?.from)));
    let has = |wanted: fn(&VolumeFrom) -> bool| from.iter().any(wanted);
    if has(|from| matches!(from, VolumeFrom::LastRound(_))) {
        assumed.push(
            "Where a program names no volume, a round takes as much per area as the block's last one.".to_string(),
        );
    }
    if has(|from| matches!(from, VolumeFrom::Calibration(_))) {
        assumed
            .push("Where neither says a volume, it is what the sprayer put out when it was last measured.".to_string());
    }
    if has(|from| matches!(from, VolumeFrom::Dilute)) {
        assumed.push(
            "Where nothing else says a volume, it is what the block's entry says wets it to the drip.".to_string(),
        );
    }
    if !book.journal().brews.is_empty() {
        assumed.push("Of several batches that may be used on a day, a planned round takes first the one whose use-by comes first.".to_string());
    }
    if !book.journal().forecasts.is_empty() {
        assumed.push("A planned round is held against the first reading of a forecast for its day.".to_string());
    }
    if plan.lines.iter().flat_map(|line| &line.rounds).any(|round| round.window.rained.is_some()) {
        assumed.push("Rain counts from the day after a round on: of a round's own day nobody can say what fell before it and what after.".to_string());
    }
    let programs = |wanted: &dyn Fn(&Line) -> bool| -> Vec<String> {
        let lines = plan.lines.iter().filter(|line| wanted(line));
        let mut names: Vec<String> =
            lines.map(|line| book.journal().program(line.program).named.shown().to_string()).collect();
        names.dedup();
        names
    };
    let undated = programs(&|line| matches!(line.state, State::NotBegun(_)));
    if !undated.is_empty() {
        let waits = plan.lines.iter().find_map(|line| match line.state {
            State::NotBegun(waits) => Some(waits_words(waits)),
            _ => None,
        });
        assumed.push(format!(
            "{} not begun ({}): its rounds have no days, and only their tanks are judged; what they take is counted below as if all of them were sprayed.",
            match undated.len() {
                1 => format!("{} has", undated[0]),
                _ => format!("{} have", list(&undated)),
            },
            waits.unwrap_or_default()
        ));
    }
    let open = programs(&|line| line.rounds.len() == 1 && book.journal().program(line.program).rounds.is_none());
    if !open.is_empty() {
        assumed.push(format!("No number of rounds is written for {}, so only the next one is planned.", list(&open)));
    }
    assumed.push("What nobody has written down is not judged: who sprays, at which hour, what the weather will be, and what stage a block will have come to.".to_string());
    assumed
}
