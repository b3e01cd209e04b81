//! See the Markdown beside this file.

use super::{Ahead, Check, Findings, scene};
use crate::duty::{Asked, Duties};
use crate::finding::Level;
use crate::journal::BlockId;
use crate::season::{By, Fact, Season};
use crate::syntax::EntryWord;

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
    let all = duties.of_kind(|_| Some(())).map(|(asked, ())| asked);
    let turning: Vec<Asked<'_>> = all.filter(|asked| asked.rule.when.workers.is_some()).collect();
    let journal = season.journal;
    if duties.is_empty() {
        return;
    }
    let without =
        found.in_sprays(season, By { named: &[EntryWord::Block], facts: &[Fact::Area], any: &[] }, |_, facts| {
            let blocks = facts.touched.iter().map(|touched| touched.block);
            let without: Vec<BlockId> = blocks.filter(|&id| journal.block(id).workers.is_none()).collect();
            let day = facts.spray(journal).at.day;
            let asked = turning.iter().find(|asked| !without.is_empty() && asked.on_day(day))?;
            Some((*asked, without))
        });
    let mut unsaid: Vec<BlockId> = Vec::new();
    let mut asked = None;
    for (by, without) in without {
        for block in without {
            if !unsaid.contains(&block) {
                asked.get_or_insert(by);
                unsaid.push(block);
            }
        }
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
