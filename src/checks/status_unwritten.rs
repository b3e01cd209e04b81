//! See the Markdown beside this file.

use super::asked::MATERIALS;
use super::{Ahead, Check, Findings, scene};
use crate::duty::{Asked, Duties};
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
    let all = duties.of_kind(|_| Some(())).map(|(asked, ())| asked);
    // Only where a rule of that day turns on it.
    let turning: Vec<Asked<'_>> = all.filter(|asked| !asked.rule.when.statuses.is_empty()).collect();
    let without = found.in_sprays(season, MATERIALS, |_, facts| {
        let materials = facts.doses.iter().map(|dose| dose.material);
        let without: Vec<MaterialId> = materials.filter(|&id| journal.material(id).status().is_none()).collect();
        let day = facts.spray(journal).at.day;
        let asked = turning.iter().find(|asked| !without.is_empty() && asked.on_day(day))?;
        Some((*asked, without))
    });
    let mut unsaid: Vec<MaterialId> = Vec::new();
    let mut asked = None;
    for (by, without) in without {
        for material in without {
            if !unsaid.contains(&material) {
                asked.get_or_insert(by);
                unsaid.push(material);
            }
        }
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
