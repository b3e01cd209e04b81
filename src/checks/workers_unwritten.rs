//! See the Markdown beside this file.

use super::{Ahead, Check, Findings, scene};
use crate::duty::Duties;
use crate::finding::Level;
use crate::journal::BlockId;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "workers-unwritten",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "Blocks of which no rulebook can tell whether people work there",
    explain: include_str!("workers_unwritten.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    let turns_on_it = |day| duties.on_day(day, |_| Some(())).find(|(asked, ())| asked.rule.when.workers.is_some());
    let journal = season.journal;
    let mut unsaid: Vec<BlockId> = Vec::new();
    let mut asked = None;
    for facts in &season.sprays {
        let without =
            facts.touched.iter().map(|touched| touched.block).filter(|&id| journal.block(id).workers.is_none());
        let without: Vec<BlockId> = without.filter(|id| !unsaid.contains(id)).collect();
        if without.is_empty() || duties.is_empty() {
            continue;
        }
        let Some((by, ())) = turns_on_it(facts.spray(journal).at.day) else { continue };
        asked.get_or_insert(by);
        unsaid.extend(without);
    }
    let (Some(asked), Some(&first)) = (asked, unsaid.first()) else { return };
    let names = scene::named(season, unsaid.iter().copied());
    let (does, them) = if unsaid.len() == 1 { ("does", "it") } else { ("do", "them") };
    let mut finding = found.finding(
        journal.block(first).named.span,
        format!("{names} {does} not say whether people work there, so rules about workers are not applied to {them}"),
    );
    for &id in unsaid.iter().skip(1).take(4) {
        finding = finding.label(journal.block(id).named.span, "nor does this");
    }
    found.add(
        finding
            .label(asked.adoption.adopted.name.span, "rulebook taken on here")
            .help("write `workers yes` where anybody but the owner's family works or picks, and `workers no` where nobody does")
            .source(asked.cited()),
    );
}
