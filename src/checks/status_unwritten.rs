//! See the Markdown beside this file.

use super::{Ahead, Check, Findings, scene};
use crate::duty::Duties;
use crate::finding::Level;
use crate::journal::MaterialId;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "status-unwritten",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "Materials of which no rulebook can tell whether it holds for them",
    explain: include_str!("status_unwritten.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    if duties.is_empty() {
        return;
    }
    let journal = season.journal;
    let mut unsaid: Vec<MaterialId> = Vec::new();
    let mut asked = None;
    for facts in &season.sprays {
        let without =
            facts.doses.iter().map(|dose| dose.material).filter(|&id| journal.material(id).status().is_none());
        let without: Vec<MaterialId> = without.filter(|id| !unsaid.contains(id)).collect();
        if without.is_empty() {
            continue;
        }
        // Only where a rule of that day turns on it.
        let day = facts.spray(journal).at.day;
        let Some((by, ())) = duties.on_day(day, |_| Some(())).find(|(asked, ())| !asked.rule.when.statuses.is_empty())
        else {
            continue;
        };
        asked.get_or_insert(by);
        unsaid.extend(without);
    }
    let (Some(asked), Some(&first)) = (asked, unsaid.first()) else { return };
    let names = scene::materials(season, &unsaid);
    let (say, them) = if unsaid.len() == 1 { ("says", "it") } else { ("say", "them") };
    let mut finding = found.finding(
        journal.material(first).named.span,
        format!(
            "{names} {say} neither `status` nor `registration`, so rules about pesticides are not applied to {them}"
        ),
    );
    for &id in unsaid.iter().skip(1).take(4) {
        finding = finding.label(journal.material(id).named.span, "nor does this");
    }
    found.add(
        finding
            .label(asked.adoption.adopted.name.span, "rulebook taken on here")
            .help("write `status` with registered, minimum-risk, fertiliser, food, basic-substance, adjuvant or none, as its label and the law have it")
            .source(asked.cited()),
    );
}
