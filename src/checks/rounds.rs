//! From round to round of a program: what the checks of early and late rounds share.

use chrono::NaiveDate;

use super::{Findings, say, scene};
use crate::finding::Finding;
use crate::journal::{BlockId, ProgramId};
use crate::quantity::Exact;
use crate::season::{Due, NextDue, Rained, RoundStep, Season, Taken};
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
    /// What became of the round before it; `None` for the first.
    pub(super) previous: Option<Taken>,
    /// The day that the due days count from, and where it is written.
    pub(super) from: (NaiveDate, Span),
    /// When it was due.
    pub(super) due: Due,
    /// What rain changed about that.
    pub(super) rained: Option<Rained>,
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
    let mut steps = Vec::new();
    for run in &season.runs {
        let mut before: Option<RoundStep> = None;
        for (index, &round) in run.steps.iter().enumerate() {
            let (previous, from, next) = match before.replace(round) {
                Some(before) => {
                    let from = (before.day, line(season, before.taken));
                    (Some(before.taken), Some(from), season.next_due(run, before.day))
                }
                None => (None, run.anchor, run.first_due().map(|due| NextDue { due, rained: None })),
            };
            // What was left out on purpose came neither early nor late.
            let Taken::Sprayed(at) = round.taken else { continue };
            if let (Some(from), Some(NextDue { due, rained })) = (from, next) {
                let (program, block, number, day) = (run.program, run.block, index + 1, round.day);
                let step = Step { program, block, number, at, day, previous, from, due, rained };
                if wanted(&step) {
                    steps.push(step);
                }
            }
        }
    }
    steps.sort_by_key(|step| (step.at, step.program, step.number, step.previous, step.due.first, step.block));
    steps
}

/// The first line of what became of a round.
pub(super) fn line(season: &Season<'_>, taken: Taken) -> Span {
    match taken {
        Taken::Sprayed(at) => season.sprays[at].spray(season.journal).at.line,
        Taken::Skipped(at) => season.journal.skips[at].at.line,
    }
}

/// A finding with what rain changed about the days that a round was due.
pub(super) fn with_rain(season: &Season<'_>, finding: Finding, rained: Option<Rained>) -> Finding {
    let Some(rained) = rained else { return finding };
    let fallen = say::amount(season, rained.fallen);
    let rule = say::amount(season, rained.rule.value);
    let did = match rained.renew {
        true => format!("asks for a new spray after {rule}"),
        false => format!("halves the days that are left after {rule}"),
    };
    let before = match rained.before.first == rained.before.last {
        true => say::day(rained.before.first),
        false => format!("{} to {}", say::day(rained.before.first), say::day(rained.before.last)),
    };
    finding.label(rained.rule.span, "rain rule set here").working(format!(
        "{fallen} of rain had fallen by {}, and your own rule {did}; without the rain it was due {before}",
        say::day(rained.on)
    ))
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
        Some(previous) => {
            let every = program.every.map(|every| every_words(every.value)).unwrap_or_default();
            let was = if matches!(previous, Taken::Skipped(_)) { " was skipped" } else { "" };
            format!(
                "round {number} of {name} on {place} came {gap} after round {}{was}, {how}; the program has {every}",
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
    if let Some(previous) = step.previous {
        if let Some(every) = program.every {
            finding = finding.label(every.span, "interval set here");
        }
        let was = if matches!(previous, Taken::Skipped(_)) { "skipped on" } else { "on" };
        finding = finding.working(format!(
            "round {} was {was} {}, so round {number} was due {due}",
            number - 1,
            say::day(from)
        ));
        finding = with_rain(season, finding, step.rained);
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
