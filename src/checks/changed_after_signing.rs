//! See the Markdown beside this file.

use rustc_hash::FxHashSet;

use super::asked::AMENDED;
use super::{Ahead, Check, Findings, changed, say};
use crate::finding::{Finding, Level};
use crate::journal::{Amendment, At, Ground, Journal, Signed};
use crate::season::{Corrections, Explained, Season, Tracked, tracked};
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "changed-after-signing",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A record that was changed after it was signed",
    explain: include_str!("changed_after_signing.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let mut told: FxHashSet<u32> = FxHashSet::default();
    for record in tracked(season) {
        let late: Vec<&Explained<'_>> = record.changes.iter().filter(|known| known.unsigned).collect();
        if !late.is_empty() {
            told.insert(record.line.start);
            report(season, &record, &late, found);
        }
    }
    // Where git shows nothing, the day of a correction still does.
    found.among(season, AMENDED, |found| search(season, &told, found));
}

fn search(season: &Season<'_>, told: &FxHashSet<u32>, found: &mut Findings) {
    if season.journal.amendments.is_empty() {
        return;
    }
    let corrections = Corrections::new(season.journal);
    for (kind, at, ground, signed) in signed(season.journal) {
        let Some(last) = signed.iter().max_by_key(|signed| signed.day).filter(|_| !told.contains(&at.entry.start))
        else {
            continue;
        };
        let blocks: Vec<_> = ground.blocks.iter().filter_map(|block| block.id).collect();
        let amendments = corrections.of(kind, at.day, &blocks);
        // Where several records of a day could be meant, nothing is concluded.
        if let Some(late) = amendments.iter().find(|amendment| amendment.at.day > last.day)
            && alone(season.journal, kind, at, ground)
        {
            found.add(amended(season, found, (kind, at, &blocks), last, late));
        }
    }
}

fn report(season: &Season<'_>, record: &Tracked<'_>, late: &[&Explained<'_>], found: &mut Findings) {
    let Some(history) = season.history else { return };
    let unexplained = late.iter().filter(|known| known.by.is_none()).count();
    let name = changed::named(season, record);
    let headline = if unexplained > 0 {
        format!("{name} was changed after it was signed, and no amendment says why")
    } else {
        format!("{name} was amended after it was signed, and not signed again")
    };
    let mut finding = found.finding(record.line, headline).here("this record");
    if unexplained == 0 {
        finding.level = Level::Warning;
    }
    for signature in record.trail.wording.signatures() {
        finding = finding.working(format!("signed: `{}`", changed::shortened(signature)));
    }
    for known in late {
        finding = finding.working(changed::told(history, known.change));
    }
    let amendments: Vec<&Amendment> = late.iter().filter_map(|known| known.by).collect();
    for amendment in amendments {
        finding = finding.label(amendment.at.line, "amended here");
    }
    found.add(finding.help(if unexplained > 0 {
        "say in an `amend` what was changed and why, and have the record signed again with one more `signed` line"
    } else {
        "have the record signed again as it stands now, with one more `signed` line"
    }));
}

fn amended(
    season: &Season<'_>,
    found: &Findings,
    (kind, at, blocks): (EntryWord, At, &[crate::journal::BlockId]),
    signed: &Signed,
    late: &Amendment,
) -> Finding {
    let names: Vec<&str> = blocks.iter().map(|&block| &*season.journal.block(block).named.name).collect();
    let headline = format!(
        "the {} of {} on {} was amended on {}, after it was signed on {}",
        kind.word(),
        say::list(&names),
        say::day(at.day),
        say::day(late.at.day),
        say::day(signed.day)
    );
    let mut finding = found.finding(signed.span, headline).here("signed here");
    finding.level = Level::Warning;
    finding
        .label(late.at.line, "amended here")
        .help("have the record signed again as it stands now, with one more `signed` line")
}

/// Whether no other record of the kind is of the same day and of one of the same blocks.
fn alone(journal: &Journal, kind: EntryWord, at: At, ground: &Ground) -> bool {
    let shares = |other: &Ground| {
        ground.blocks.iter().any(|block| block.id.is_some() && other.blocks.iter().any(|other| other.id == block.id))
    };
    crate::season::grounds(journal)
        .filter(|(other, there, ground)| *other == kind && there.day == at.day && shares(ground))
        .count()
        == 1
}

/// Records that were signed.
fn signed(journal: &Journal) -> impl Iterator<Item = (EntryWord, At, &Ground, &[Signed])> {
    let sprays = journal.sprays.iter().map(|it| (EntryWord::Spray, it.at, &it.ground, &*it.signed));
    let observations = journal.observations.iter().map(|it| (EntryWord::Observe, it.at, &it.ground, &*it.signed));
    let harvests = journal.harvests.iter().map(|it| (EntryWord::Harvest, it.at, &it.ground, &*it.signed));
    let works = journal.works.iter().map(|it| (EntryWord::Work, it.at, &it.ground, &*it.signed));
    sprays.chain(observations).chain(harvests).chain(works)
}
