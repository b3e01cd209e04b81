//! The days in which rounds may be sprayed.

use super::super::book::Book;
use super::super::words::day;
use super::event::{Draft, EventKind, EventState, When};
use super::sprays::place;
use super::{Drafts, task};
use crate::season::{Run, due_after};

/// The rounds that were done, and the next one of every program that is not at its end.
pub(super) fn of_rounds(book: &Book<'_>, drafts: &mut Drafts) {
    for run in book.season.runs.iter().filter(|run| book.scope.has_block(run.block)) {
        of_run(book, run, drafts);
    }
}

fn of_run(book: &Book<'_>, run: &Run, drafts: &mut Drafts) {
    let journal = book.journal();
    let program = journal.program(run.program);
    let on = |at: usize| book.season.sprays[at].start.local.date();
    let (title, block) = (program.named.shown(), book.block(run.block));
    let draft = |number: usize, at: When, state: EventState, said: String| Draft {
        kind: EventKind::Round,
        key: vec![
            program.named.name.to_string(),
            journal.block(run.block).named.name.to_string(),
            run.number.to_string(),
            number.to_string(),
        ],
        at,
        state,
        title: said,
        why: Vec::new(),
        place: Some(place(book, run.block)),
    };
    for (index, &at) in run.rounds.iter().enumerate() {
        let said = format!("{block}: round {} of {title}", index + 1);
        drafts.extend([draft(index + 1, When::day(on(at)), EventState::Done, said)]);
    }
    let done = run.rounds.len();
    let fewest = program.rounds.map(|rounds| rounds.value.0 as usize);
    if fewest.is_none_or(|fewest| fewest <= done) {
        return;
    }
    let due = match run.rounds.last() {
        Some(&last) => due_after(program, on(last)),
        None => run.first_due(),
    };
    let Some(due) = due else { return };
    let at = When::Days(due.first, due.last);
    let said = format!("{block}: round {} of {title}, from {} to {}", done + 1, day(due.first), day(due.last));
    drafts.extend([draft(done + 1, at, task(book, at, false), said)]);
}
