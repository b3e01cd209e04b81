//! The days in which rounds may be sprayed, as the plan has them, and those that were done or left out.

use chrono::Datelike;

use super::super::book::Book;
use super::super::plan_words::in_short;
use super::super::words::{day, list};
use super::event::{Draft, EventKind, EventState, When};
use super::{Drafts, place};
use crate::plan::{Line, Plan, PlannedRound, State};
use crate::season::{RoundStep, Taken};

/// The rounds of a plan on the blocks of the part to show.
pub(super) fn of_rounds(book: &Book<'_>, plan: &Plan, drafts: &mut Drafts) {
    for line in plan.lines.iter().filter(|line| book.scope.has_block(line.block)) {
        let year = line.anchor.or_else(|| line.steps.first().map(|step| step.day));
        let Some(year) = year.or_else(|| line.rounds.first().map(|round| round.window.due.first)) else { continue };
        let rounds = OnBlock { book, line, year: year.year() };
        drafts.extend(line.steps.iter().enumerate().map(|(at, step)| rounds.taken(at + 1, step)));
        drafts.extend(line.rounds.iter().enumerate().map(|(at, round)| rounds.to_come(at == 0, round)));
    }
}

/// A program on a block in the year in which it began.
struct OnBlock<'b> {
    book: &'b Book<'b>,
    line: &'b Line,
    year: i32,
}

impl OnBlock<'_> {
    /// A round that was sprayed or left out.
    fn taken(&self, number: usize, step: &RoundStep) -> Draft {
        let (state, why) = match step.taken {
            Taken::Sprayed(_) => (EventState::Done, Vec::new()),
            Taken::Skipped(at) => {
                let reason = self.book.some_words(self.book.journal().skips[at].reason);
                let reason = reason.unwrap_or_else(|| "why is not recorded".to_string());
                (EventState::Skipped, vec![format!("Left out on purpose: {}.", reason.trim_end_matches('.'))])
            }
        };
        self.draft(number, When::day(step.day), state, String::new(), why)
    }

    /// A round to come: the next one stands as the plan says, of those after it only the days are known.
    fn to_come(&self, next: bool, round: &PlannedRound) -> Draft {
        let due = round.window.due;
        let state = match self.line.state {
            _ if !next => EventState::ToCome,
            State::Due => EventState::Due,
            State::Overdue(_) => EventState::Overdue,
            State::Blocked(_) => EventState::Blocked,
            _ => EventState::ToCome,
        };
        let mut why = vec![match round.conflicts.is_empty() {
            true => format!("Planned for {}, the first day on which nothing found stands in its way.", day(round.day)),
            false => "Something is in its way on every day of it.".to_string(),
        }];
        if !round.conflicts.is_empty() {
            why.extend(round.conflicts.iter().map(|conflict| format!("As if it were done: {}.", conflict.headline)));
        }
        why.extend(
            round
                .blocked
                .iter()
                .map(|(on, by)| (on, in_short(by)))
                .filter(|(_, by)| !by.is_empty())
                .map(|(on, by)| format!("In its way on {}: {}.", day(*on), list(&by))),
        );
        if !next {
            why.push("These days move with the round before it.".to_string());
        }
        let also = if round.window.optional { ", if it is wanted" } else { "" };
        let last = format!("{also}, until {}", day(due.last));
        self.draft(round.window.number, When::Days(due.first, due.last), state, last, why)
    }

    fn draft(&self, number: usize, at: When, state: EventState, also: String, why: Vec<String>) -> Draft {
        let (journal, block) = (self.book.journal(), self.line.block);
        let program = &journal.program(self.line.program).named;
        Draft {
            kind: EventKind::Round,
            key: vec![
                program.name.to_string(),
                journal.block(block).named.name.to_string(),
                self.year.to_string(),
                number.to_string(),
            ],
            at,
            state,
            title: format!("{}: round {number} of {}{also}", self.book.block(block), program.shown()),
            why,
            place: Some(place(self.book, block)),
        }
    }
}
