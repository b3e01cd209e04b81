//! See the Markdown beside this file.

use chrono::NaiveDate;
use rustc_hash::FxHashSet;

use super::asked::AMENDED;
use super::{Ahead, Check, Findings, say};
use crate::finding::{Finding, Level};
use crate::journal::{Amendment, BlockId, Journal, Trouble};
use crate::season::{Season, grounds};
use crate::syntax::EntryWord;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "amendment-of-nothing",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A correction of a record that is not there",
    explain: include_str!("amendment_of_nothing.md"),
    run,
};

/// A record that an amendment can be about, by what it is found by.
type Record = (EntryWord, BlockId, NaiveDate, Span);

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, AMENDED, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    let journal = season.journal;
    if journal.amendments.is_empty() || lost_pages(journal) {
        return;
    }
    let meant = |amendment: &Amendment| Some((amendment.kind?, amendment.day?.value, amendment.block.id?));
    let mut missing: FxHashSet<(EntryWord, NaiveDate, BlockId)> = journal.amendments.iter().filter_map(meant).collect();
    for (kind, at, ground) in grounds(journal) {
        for block in ground.blocks.iter().filter_map(|block| block.id) {
            missing.remove(&(kind, at.day, block));
        }
    }
    if missing.is_empty() {
        return;
    }
    let mut records: Vec<Record> = Vec::new();
    // Records whose block could not be made out may be the one that is meant.
    let mut unclear: FxHashSet<(EntryWord, NaiveDate)> = FxHashSet::default();
    for (kind, at, ground) in grounds(journal) {
        if ground.blocks.is_empty() || ground.blocks.iter().any(|block| block.id.is_none()) {
            unclear.insert((kind, at.day));
        }
        let blocks = ground.blocks.iter().filter_map(|block| block.id);
        records.extend(blocks.map(|block| (kind, block, at.day, at.line)));
    }
    records.sort_unstable();
    for amendment in &journal.amendments {
        let (Some(kind), Some(block), Some(day)) = (amendment.kind, amendment.block.id, amendment.day) else {
            continue;
        };
        let from = records.partition_point(|record| (record.0, record.1, record.2) < (kind, block, day.value));
        let there = records.get(from).is_some_and(|record| (record.0, record.1, record.2) == (kind, block, day.value));
        if !there && !unclear.contains(&(kind, day.value)) {
            let near = nearest(&records, from, kind, block, day.value);
            let finding = nothing(season, amendment, kind, block, day.value, near, found);
            found.add(finding);
        }
    }
}

fn nothing(
    season: &Season<'_>,
    amendment: &Amendment,
    kind: EntryWord,
    block: BlockId,
    day: NaiveDate,
    near: Option<Record>,
    found: &Findings,
) -> Finding {
    let name = &season.journal.block(block).named.name;
    let finding = found
        .finding(
            amendment.at.line,
            format!(
                "this puts right the {} of {name} on {}, and there is none on that day",
                kind.word(),
                say::day(day)
            ),
        )
        .here("no such record");
    match near {
        Some((_, _, other, line)) => finding
            .label(line, format!("the nearest one is of {}", say::day(other)))
            .help("write the kind, the block and the day of the page that the record stands on"),
        None => finding
            .help(format!("the journal has no {} of {name} at all; is it another block or another kind?", kind.word())),
    }
}

/// The record of that kind and block that is nearest in time.
fn nearest(records: &[Record], from: usize, kind: EntryWord, block: BlockId, day: NaiveDate) -> Option<Record> {
    let same = |record: &&Record| record.0 == kind && record.1 == block;
    let before = from.checked_sub(1).and_then(|at| records.get(at)).filter(same);
    let after = records.get(from).filter(same);
    let off = |record: &&Record| (record.2 - day).num_days().abs();
    before.into_iter().chain(after).min_by_key(off).copied()
}

/// Whether some page or entry was not read, so that a record may be there unseen.
fn lost_pages(journal: &Journal) -> bool {
    journal.troubles.iter().any(|trouble| match trouble {
        Trouble::UnreadableLine { entry, head, .. } => *head && *entry == Some(EntryWord::Day),
        Trouble::UnreadableDate { .. } | Trouble::UndatedEntry { .. } | Trouble::UnknownEntry { .. } => true,
        _ => false,
    })
}
