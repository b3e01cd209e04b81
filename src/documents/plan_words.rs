//! What a plan says, in words.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::words::{count, day, day_short};
use crate::finding::Level;
use crate::plan::{Conflict, Ended, Line, Planned, State, VolumeFrom, Waits};
use crate::season::Rained;

/// Something in the way of a round.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ConflictView {
    /// The code of the check that says it, or `re-entry`, `growth-stage`, `stock`.
    pub by: &'static str,
    /// `error`, `warning` or `note`.
    pub level: &'static str,
    /// What is in the way.
    pub headline: String,
    /// The arithmetic.
    pub working: Vec<String>,
    /// What to do.
    pub help: Option<String>,
    /// Where the rule comes from.
    pub source: Option<String>,
}

pub(super) fn conflicts(conflicts: &[Conflict]) -> Vec<ConflictView> {
    let mut conflicts: Vec<&Conflict> = conflicts.iter().collect();
    conflicts.sort_by_key(|conflict| (conflict.level, conflict.by));
    let view = |conflict: &&Conflict| ConflictView {
        by: conflict.by.word(),
        level: conflict.level.word(),
        headline: conflict.headline.clone(),
        working: conflict.working.clone(),
        help: conflict.help.clone(),
        source: conflict.source.clone(),
    };
    conflicts.iter().map(view).collect()
}

/// The words of what is in the way, each once, notes left out.
pub(super) fn in_short(conflicts: &[Conflict]) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for conflict in conflicts.iter().filter(|conflict| conflict.level != Level::Note) {
        let word = conflict.by.word().replace('-', " ");
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words
}

pub(super) fn state_word(state: State) -> &'static str {
    match state {
        State::NotBegun(_) => "not begun",
        State::ToCome => "to come",
        State::Due => "due",
        State::Overdue(_) => "overdue",
        State::Blocked(_) => "blocked",
        State::Done => "done",
        State::Ended(_) => "ended",
    }
}

pub(super) fn waits_words(waits: Waits) -> &'static str {
    match waits {
        Waits::Sight => "what it starts with is not written down this year",
        Waits::Start => "it does not say when it begins",
        Waits::Interval => "it has no interval from round to round",
    }
}

/// `round 3 due until 2 June`, `round 3 was due until 2 June, 4 days ago`.
pub(super) fn state_words(line: &Line, today: NaiveDate) -> String {
    let Some(next) = line.rounds.first() else {
        return match line.state {
            State::NotBegun(waits) => waits_words(waits).to_string(),
            State::Ended(Ended::Until(until)) => format!("the next round would come after {}", day(until)),
            State::Ended(Ended::Stage(seen)) => {
                format!(
                    "the block was at BBCH {:02} on {}, past the stages of its rounds",
                    seen.code,
                    day_short(seen.day)
                )
            }
            State::Ended(Ended::LongPast(due)) => {
                format!("round {} was due until {}, too long ago to follow on", line.steps.len() + 1, day(due.last))
            }
            State::Done => "all rounds are done or skipped".to_string(),
            _ => "beyond the days that were asked for".to_string(),
        };
    };
    let window = next.window;
    let may = if window.optional { ", which the program may do without," } else { "" };
    let (first, last) = (day_short(window.due.first), day_short(window.due.last));
    let days = if first == last { format!("on {first}") } else { format!("from {first} to {last}") };
    let late = |late: i64| {
        let ago = count(usize::try_from(late).unwrap_or_default(), "day", "days");
        format!("round {}{may} was due {days}, {ago} ago", window.number)
    };
    match line.state {
        State::Overdue(days) => late(days),
        State::Blocked(days) if days > 0 => late(days),
        State::ToCome => {
            let to_go = window.due.first.signed_duration_since(today).num_days();
            let to_go = count(usize::try_from(to_go).unwrap_or_default(), "day", "days");
            format!("round {}{may} is due {days}, in {to_go}", window.number)
        }
        _ => format!("round {}{may} is due {days}", window.number),
    }
}

/// From what a volume is known.
pub(super) fn volume_from(planned: Planned) -> String {
    match planned.from {
        VolumeFrom::Program => "as the program says".to_string(),
        VolumeFrom::LastRound(day) => format!("as much per area as on {}", day_short(day)),
        VolumeFrom::Calibration(day) => format!("as the sprayer put out on {}", day_short(day)),
        VolumeFrom::Dilute => "what wets the block to the drip, by its entry".to_string(),
    }
}

/// What rain changed about a window, with the rule's own source.
pub(super) fn rain(book: &Book<'_>, rained: Rained) -> String {
    let rule = book.amount(rained.rule.value);
    let does = match rained.renew {
        true => format!("a new spray after {rule}"),
        false => format!("half of the days that are left after {rule}"),
    };
    let source = match book.some_words(rained.source) {
        Some(source) => format!("your own rule, source: {source}"),
        None => "your own rule, which names no source".to_string(),
    };
    format!(
        "{} of rain had fallen by {}: {does} ({source}). Without the rain it was due {} to {}",
        book.amount(rained.fallen),
        day_short(rained.on),
        day_short(rained.before.first),
        day_short(rained.before.last),
    )
}
