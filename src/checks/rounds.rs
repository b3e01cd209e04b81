//! From round to round of a program: what the checks of early and late rounds share.

use chrono::NaiveDate;

use super::{Findings, say, scene};
use crate::journal::{BlockId, ProgramId};
use crate::quantity::Exact;
use crate::season::{Due, Season, due_after};
use crate::text::Span;

/// One round of a program on one block, and when it was due.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub(super) program: ProgramId,
    pub(super) block: BlockId,
    /// Which round of its run, from 1.
    pub(super) number: usize,
    /// The spray, as a place in the season's list.
    pub(super) at: usize,
    /// The day it was sprayed.
    pub(super) day: NaiveDate,
    /// The round before it; `None` for the first.
    pub(super) previous: Option<usize>,
    /// The day that the due days count from, and where it is written.
    pub(super) from: (NaiveDate, Span),
    /// When it was due.
    pub(super) due: Due,
}

impl Step {
    /// Whether two steps are one spray, on two blocks.
    pub(super) fn same_spray(one: &Step, other: &Step) -> bool {
        let key = |step: &Step| (step.program, step.at, step.number, step.previous, step.due.first, step.due.last);
        key(one) == key(other)
    }
}

/// The rounds that a check picks out, those of one spray side by side.
pub(super) fn steps(season: &Season<'_>, wanted: impl Fn(&Step) -> bool) -> Vec<Step> {
    let journal = season.journal;
    let mut steps = Vec::new();
    for run in &season.runs {
        let program = journal.program(run.program);
        let mut before: Option<(usize, (NaiveDate, Span), Option<Due>)> = None;
        for (index, &at) in run.rounds.iter().enumerate() {
            let facts = &season.sprays[at];
            let day = facts.start.local.date();
            let (previous, from, due) = match before {
                Some((previous, from, due)) => (Some(previous), Some(from), due),
                None => (None, run.anchor, run.first_due()),
            };
            if let (Some(from), Some(due)) = (from, due) {
                let step =
                    Step { program: run.program, block: run.block, number: index + 1, at, day, previous, from, due };
                if wanted(&step) {
                    steps.push(step);
                }
            }
            before = Some((at, (day, facts.spray(journal).at.line), due_after(program, day)));
        }
    }
    steps.sort_by_key(|step| (step.at, step.program, step.number, step.previous, step.due.first, step.block));
    steps
}

/// Reports one spray that came early or late, on one block or several.
pub(super) fn report(season: &Season<'_>, found: &mut Findings, steps: &[Step], how: &str) {
    let step = &steps[0];
    let program = season.journal.program(step.program);
    let name = &program.named.name;
    let place = scene::named(season, steps.iter().map(|step| step.block));
    let (from, from_span) = step.from;
    let number = step.number;
    let gap = scene::days(scene::between(from, step.day));
    let headline = match step.previous {
        Some(_) => {
            let every = program.every.map(|every| every_words(every.value)).unwrap_or_default();
            format!(
                "round {number} of {name} on {place} came {gap} after round {}, {how}; the program has {every}",
                number - 1
            )
        }
        None => format!("round 1 of {name} on {place} came {gap} after its start on {}, {how}", say::day(from)),
    };
    let due = match step.due.first == step.due.last {
        true => format!("on {}", say::day(step.due.first)),
        false => format!("from {} to {}", say::day(step.due.first), say::day(step.due.last)),
    };
    let mut finding = found.finding(season.sprays[step.at].spray(season.journal).at.line, headline).here(how).label(
        from_span,
        if step.previous.is_some() { format!("round {} here", number - 1) } else { "counted from here".to_string() },
    );
    if step.previous.is_some() {
        if let Some(every) = program.every {
            finding = finding.label(every.span, "interval set here");
        }
        finding =
            finding.working(format!("round {} was on {}, so round {number} was due {due}", number - 1, say::day(from)));
        if program.every.is_some_and(|every| every.value.0 == every.value.1) {
            finding = finding.working("a single interval is taken with a day's give either way");
        }
    } else {
        finding = finding
            .label(program.named.span, "the program")
            .working(format!("round 1 was due {due}: a first round is taken as due within three days of the start"));
    }
    let source = match program.source {
        Some(source) => format!(
            "the program is your own: {}; how much give it has is common practice, no source",
            season.words(source)
        ),
        None => "the program is your own; how much give it has is common practice, no source".to_string(),
    };
    found.add(finding.help("if the dates are right, note why, or change the program").source(source));
}

/// `every 4 days`, `every 7 to 10 days`.
pub(super) fn every_words((shortest, longest): (Exact, Exact)) -> String {
    match (scene::whole_days(shortest), scene::whole_days(longest)) {
        (Some(shortest), Some(longest)) if shortest == longest => format!("every {}", scene::days(longest)),
        (Some(shortest), Some(longest)) => format!("every {shortest} to {}", scene::days(longest)),
        _ if shortest == longest => format!("every {}", scene::interval(longest)),
        _ => format!("every {} to {}", scene::interval(shortest), scene::interval(longest)),
    }
}
