//! A page can be cut out of one file and pasted into another: the order of files and entries changes neither the
//! findings nor the totals of the season.

use std::fmt::Write as _;

use chrono::NaiveDate;
use foliary::journal::compile;
use foliary::season::Season;
use foliary::syntax::{EntryWord, is_date_line, split_entries};
use foliary::text::{SourceId, Sources};
use foliary::{Farm, check_farm};
use proptest::prelude::*;

use crate::syntax::examples::journals;

/// A journal in pieces that may be put anywhere.
#[derive(Clone, Debug, Default)]
struct Pieces {
    standing: Vec<String>,
    /// Each page: its date line, and what stands under it.
    pages: Vec<(String, Vec<String>)>,
}

fn pieces(texts: &[String]) -> Pieces {
    let mut pieces = Pieces::default();
    for text in texts {
        let mut on_page = false;
        for range in split_entries(text) {
            let entry = format!("{}\n", text[range].trim_end());
            let word: String = entry.chars().take_while(|c| c.is_alphanumeric() || *c == '-').collect();
            if is_date_line(&entry) {
                pieces.pages.push((entry, Vec::new()));
                on_page = true;
            } else if EntryWord::named(&word).is_some_and(|word| !word.is_standing()) {
                assert!(on_page, "{entry} stands under a date");
                pieces.pages.last_mut().unwrap().1.push(entry);
            } else if !entry.starts_with('#') {
                pieces.standing.push(entry);
            }
        }
    }
    pieces
}

/// The same entries in another order, in so many files. Each page is one piece, as it is cut and pasted.
fn shuffled(pieces: &Pieces, files: usize, mut chance: impl FnMut(usize) -> usize) -> Vec<String> {
    let mut shuffle = |list: &mut Vec<String>| {
        for at in (1..list.len()).rev() {
            list.swap(at, chance(at + 1));
        }
    };
    let mut standing = pieces.standing.clone();
    shuffle(&mut standing);
    let mut pages: Vec<String> = pieces
        .pages
        .iter()
        .map(|(date, entries)| {
            let mut entries = entries.clone();
            shuffle(&mut entries);
            format!("{date}{}", entries.concat())
        })
        .collect();
    shuffle(&mut pages);
    let mut texts = vec![String::new(); files];
    for piece in standing.iter().chain(&pages) {
        texts[chance(files)].push_str(piece);
    }
    texts
}

/// Findings by code and headline, without their order.
fn findings(texts: &[String]) -> Vec<String> {
    let (sources, files) = sources(texts);
    let farm = Farm { files: &files, missing: &[] };
    let found = check_farm(&sources, farm, NaiveDate::from_ymd_opt(2026, 12, 31));
    let mut found: Vec<String> =
        found.iter().map(|finding| format!("{}: {}", finding.code, finding.headline)).collect();
    found.sort();
    found
}

fn sources(texts: &[String]) -> (Sources, Vec<SourceId>) {
    let mut sources = Sources::new();
    let files =
        texts.iter().enumerate().map(|(at, text)| sources.add(format!("{at}.spray"), text.clone()).unwrap()).collect();
    (sources, files)
}

/// What the season comes to: every spray in its order with its moments, volumes, areas and doses, every block's list,
/// every program's rounds. By names, since numbers depend on the order.
fn totals(texts: &[String]) -> String {
    let (sources, files) = sources(texts);
    let journal = compile(&sources, &files);
    let season = Season::new(&journal, &sources, NaiveDate::from_ymd_opt(2026, 12, 31));
    let mut out = String::new();
    for facts in &season.sprays {
        let line = sources.slice(facts.spray(&journal).at.line);
        let _ = write!(out, "{line}: {:?} {:?} {:?} {:?}", facts.start, facts.end, facts.finished, facts.area);
        let mut touched: Vec<String> = facts
            .touched
            .iter()
            .map(|touched| {
                format!("{} {:?} {}", journal.block(touched.block).named.name, touched.area, touched.leftover)
            })
            .collect();
        touched.sort();
        let mut doses: Vec<String> = facts
            .doses
            .iter()
            .map(|dose| format!("{} {:?} {:?}", journal.material(dose.material).named.name, dose.amount(), dose.rate))
            .collect();
        doses.sort();
        let hold = facts.reentry.map(|hold| hold.until);
        let _ = writeln!(out, " {touched:?} {doses:?} {hold:?}");
    }
    let mut lists: Vec<String> = journal
        .blocks
        .iter()
        .zip(&season.by_block)
        .map(|(block, sprays)| format!("{} {sprays:?}", block.named.name))
        .chain(season.runs.iter().map(|run| {
            let (program, block) = (journal.program(run.program), journal.block(run.block));
            let anchor = run.anchor.map(|(day, _)| day);
            format!("{} {} {anchor:?} {:?}", program.named.name, block.named.name, run.rounds)
        }))
        .chain(season.entries.iter().map(|entry| {
            let block = &journal.block(entry.block).named.name;
            format!("{block} {:?} {:?} {}", entry.start, entry.end, entry.start_written)
        }))
        .collect();
    lists.sort();
    out + &lists.join("\n")
}

/// The journals: a home orchard, and each client of an adviser with the shared folder.
fn farms() -> Vec<Vec<String>> {
    let with_pantry = |client: &str| [journals(client), journals("adviser/pantry")].concat();
    vec![
        journals("home-orchard"),
        with_pantry("adviser/linnet-field"),
        with_pantry("adviser/high-ditch"),
        with_pantry("adviser/tern-hollow"),
    ]
}

#[test]
fn the_pieces_are_the_whole_journal() {
    for texts in farms() {
        let pieces = pieces(&texts);
        assert!(pieces.standing.len() > 5 && pieces.pages.len() > 5);
        let whole: Vec<String> = vec![
            pieces.standing.concat()
                + &pieces.pages.iter().map(|(day, all)| format!("{day}{}", all.concat())).collect::<String>(),
        ];
        assert_eq!(totals(&whole), totals(&texts));
        assert!(totals(&texts).lines().count() > 10);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_entries_and_files_changes_nothing(seed in any::<u64>(), files in 1usize..6) {
        let mut state = seed | 1;
        // xorshift: enough chance for a shuffle, and the same on every machine.
        let mut chance = |below: usize| {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            (state % below as u64) as usize
        };
        for texts in farms() {
            // Slips too: what cannot be understood is told the same wherever it stands.
            let slip = "block wind-break\n    area 3 galons\n    crop\n".to_owned();
            let texts = [texts, vec![slip]].concat();
            let pieces = pieces(&texts);
            let other = shuffled(&pieces, files, &mut chance);
            prop_assert_eq!(totals(&other), totals(&texts));
            prop_assert_eq!(findings(&other), findings(&texts));
            prop_assert_eq!(troubles(&other), troubles(&texts));
        }
    }
}

/// The kinds of trouble, without their places.
fn troubles(texts: &[String]) -> Vec<String> {
    let (sources, files) = sources(texts);
    let mut troubles: Vec<String> = compile(&sources, &files)
        .troubles
        .iter()
        .map(|trouble| format!("{trouble:?}").split(['{', '(']).next().unwrap().to_owned())
        .collect();
    troubles.sort();
    troubles
}
