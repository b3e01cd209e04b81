//! See the Markdown beside this file.

use rustc_hash::FxHashMap;

use super::asked::AMENDED;
use super::{Ahead, Check, Findings, changed, say};
use crate::finding::Level;
use crate::journal::Amendment;
use crate::season::{Corrections, Season, grounds, holds_words};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "amendment-disagrees",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A correction whose record still says what it said before",
    explain: include_str!("amendment_disagrees.md"),
    run,
};

/// A record: its whole entry, and its first line.
type Entry = (Span, Span);

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, AMENDED, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    let journal = season.journal;
    if journal.amendments.is_empty() {
        return;
    }
    let meant = |amendment: &Amendment| Some((amendment.kind?, amendment.day?.value, amendment.block.id?));
    let mut records: FxHashMap<_, Vec<Entry>> =
        journal.amendments.iter().filter_map(meant).map(|meant| (meant, Vec::new())).collect();
    for (kind, at, ground) in grounds(journal) {
        for block in ground.blocks.iter().filter_map(|block| block.id) {
            if let Some(known) = records.get_mut(&(kind, at.day, block)) {
                known.push((at.entry, at.line));
            }
        }
    }
    let corrections = Corrections::new(journal);
    for amendment in &journal.amendments {
        let (Some(kind), Some(day), Some(block)) = (amendment.kind, amendment.day, amendment.block.id) else {
            continue;
        };
        let (Some(was), Some(now)) = (amendment.was, amendment.now) else { continue };
        let (was, now) = (season.words(was).trim(), season.words(now).trim());
        let entries = records.get(&(kind, day.value, block)).map(Vec::as_slice).unwrap_or_default();
        // A later correction may have set aside what this one says.
        let set_aside = || {
            let others = corrections.of(kind, day.value, &[block]);
            others.into_iter().any(|other| {
                other.at.entry != amendment.at.entry
                    && other.was.is_some_and(|was| {
                        let was = season.words(was);
                        holds_words(was, now) || holds_words(now, was)
                    })
            })
        };
        if entries.iter().any(|(entry, _)| holds(season, *entry, now)) || set_aside() {
            continue;
        }
        if let Some((_, line)) = entries.iter().find(|(entry, _)| holds(season, *entry, was)) {
            report(season, amendment, (was, now), *line, found);
        }
    }
}

/// Whether some line of an entry holds some words.
fn holds(season: &Season<'_>, entry: Span, words: &str) -> bool {
    season.words(entry).lines().any(|line| holds_words(line, words))
}

fn report(season: &Season<'_>, amendment: &Amendment, (was, now): (&str, &str), line: Span, found: &mut Findings) {
    let kind = amendment.kind.map_or("record", |kind| kind.word());
    let block = amendment.block.id.map_or("", |block| &*season.journal.block(block).named.name);
    let day = amendment.day.map_or_else(String::new, |day| say::day(day.value));
    let headline = format!(
        "an amendment has the {kind} of {block} on {day} say `{}`, and the record still says `{}`",
        changed::shortened(now),
        changed::shortened(was)
    );
    let finding = found.finding(amendment.at.line, headline).here("put right here").label(line, "still as it was");
    found
        .add(finding.help("put the record right where it stands, so that all that is worked out from it is right too"));
}
