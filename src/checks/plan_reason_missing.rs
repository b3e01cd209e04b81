//! See the Markdown beside this file.

use super::asked::RECORD;
use super::{Ahead, Check, Findings, ruled, say};
use crate::duty::{Against, Asked, Duties, against};
use crate::finding::Level;
use crate::rulebook::Demand;
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "plan-reason-missing",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A spray against something without the plan or the finding behind it",
    explain: include_str!("plan_reason_missing.md"),
    run,
};

fn plan_reason(demand: &Demand) -> Option<()> {
    matches!(demand, Demand::PlanReason).then_some(())
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let rules: Vec<Asked<'_>> = Duties::new(season).of_kind(plan_reason).map(|(asked, ())| asked).collect();
    if rules.is_empty() {
        return;
    }
    found.each_spray(season, RECORD, |found, _, facts| {
        if facts.spray(season.journal).evidence.is_some() || against(season, facts) != Against::Yes {
            return;
        }
        if let Some(asked) = rules.iter().find(|asked| asked.holds_for(season, facts)) {
            report(season, found, facts, asked);
        }
    });
}

fn report(season: &Season<'_>, found: &mut Findings, facts: &SprayFacts, asked: &Asked<'_>) {
    let spray = facts.spray(season.journal);
    let (at, what) = match (spray.target, spray.reason) {
        (Some(target), _) => (target, format!(" against {}", season.words(target))),
        (None, Some(reason)) => (reason, format!(" for {}", season.words(reason))),
        (None, None) => (spray.at.line, String::new()),
    };
    let headline = format!(
        "the spray of {} on {}{what} has no `evidence` that the plan's conditions for it were met",
        ruled::place(season, facts, asked),
        say::day(spray.at.day)
    );
    let finding = found.finding(at, headline).help(
        "write `evidence` with the section of the plan and what was seen that met it, such as `evidence plan section 4, scouting of 2026-05-12`",
    );
    found.add(ruled::by(finding, asked));
}
