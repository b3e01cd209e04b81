//! A journal that follows its text says at every moment what reading all of it anew would say.

use std::fs;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use foliary::editor::{Desk, Document, Workspace};
use foliary::files::{Unsaved, load_with};
use foliary::finding::Finding;
use foliary::journal::Journal;
use foliary::season::Season;
use foliary::text::Span;
use foliary::{Farm, checks, compile_farm};
use lsp_types::TextDocumentContentChangeEvent;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use tempfile::TempDir;

use crate::syntax::examples::folder;

fn today(_: &Journal) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 7, 15).unwrap()
}

/// A finding with its places as files and bytes.
fn told<P>(finding: &Finding, place: P) -> String
where
    P: Fn(Span) -> String,
{
    let labels: Vec<String> =
        finding.labels.iter().map(|label| format!("{} {}", place(label.span), label.text)).collect();
    let edit = finding.edit.as_ref().map(|edit| format!("{} {}", place(edit.span), edit.with));
    let accepted = finding.accepted.as_ref().map(|accepted| format!("{} {}", place(accepted.span), accepted.reason));
    format!(
        "{} {:?} {} | {labels:?} | {:?} | {:?} | {:?} | {edit:?} | {accepted:?}",
        finding.code, finding.level, finding.headline, finding.working, finding.slip, finding.help
    )
}

fn followed(desk: &Desk) -> Vec<String> {
    let place = |span: Span| match desk.locate(span) {
        Some(located) => format!("{}:{:?}", located.path.display(), located.range),
        None => "pantry".to_string(),
    };
    desk.findings().iter().map(|finding| told(finding, place)).collect()
}

/// What reading and checking everything says, farm by farm.
fn anew(folder: &Path, texts: &Unsaved) -> Vec<Vec<String>> {
    let loaded = load_with(&[folder.to_path_buf()], texts).unwrap();
    let sources = &loaded.sources;
    let place = |span: Span| {
        let source = sources.get(sources.source_of(span));
        if source.shipped() {
            "pantry".to_string()
        } else {
            format!("{}:{:?}", source.path().display(), sources.local(span))
        }
    };
    let farms = loaded.farms.iter().map(|farm| {
        let journal = compile_farm(sources, Farm { files: &farm.files, missing: &farm.missing });
        let season = Season::new(&journal, sources, Some(today(&journal))).with_shelf(&farm.shelf);
        checks::run(&season).iter().map(|finding| told(finding, place)).collect()
    });
    farms.collect()
}

/// Copies a folder of journals.
fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() { copy(&path, &target) } else { fs::copy(&path, target).map(|_| ()).unwrap() }
    }
}

/// What somebody may type.
const TYPED: &[&str] = &[
    "\n",
    " ",
    "    ",
    "#",
    "x",
    "7",
    "-",
    ".",
    ",",
    "oz",
    "\r\n",
    "\t",
    "é",
    "\u{200b}",
    "spray ",
    "\nspray creek-pear\n",
    "\n2026-06-03 Wed\n\n",
    "2026-05-20\n",
    "    note       Dew until nine.\n      - *late*\n",
    "\nobserve creek-pear\n    stage petal fall\n",
    "\nblock new-row \"New row\"\n    crop apple\n    area 0.5 acre\n",
    "\nmaterial fish-meal\n    form dry\n",
    "    over 99 acre\n",
    "    accept     area-over-block Measured again.\n",
    "    time       05:50 to 04:20\n",
    "    put        epsom-salt 4 oz wt\n",
    "\nbrew b-9 of whey\n    ready 2026-05-05\n",
    "farm other\n",
    "    uses ../nowhere\n",
    "    weather    52 F, wind 30 mph NW\n",
    "\nharvest creek-pear\n    time 07:00 to 09:00\n",
    "day ",
    "\nwork creek-pear\n    time 07:00\n",
    "sprya creek-pear\n    mix x, 3 gal\n",
    "\u{feff}",
    "\nclean airblast\n",
    "    measured   whey 900 gal\n",
];

/// One thing done to a text, by numbers that say where and what.
#[derive(Clone, Copy, Debug)]
struct Deed {
    file: usize,
    at: usize,
    what: usize,
    much: usize,
}

fn deed() -> impl Strategy<Value = Deed> {
    (any::<usize>(), any::<usize>(), any::<usize>(), 0usize..90).prop_map(|(file, at, what, much)| Deed {
        file,
        at,
        what,
        much,
    })
}

fn boundary(text: &str, mut at: usize) -> usize {
    at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The change that a deed makes to a text.
fn change(document: &Document, deed: Deed) -> TextDocumentContentChangeEvent {
    let text = document.text();
    let at = boundary(text, deed.at % (text.len() + 1));
    let line_start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let line_end = text[at..].find('\n').map_or(text.len(), |newline| at + newline + 1);
    let some = |range: std::ops::Range<usize>, with: &str| TextDocumentContentChangeEvent {
        range: Some(document.range(range)),
        range_length: None,
        text: with.to_string(),
    };
    let typed = TYPED[deed.much % TYPED.len()];
    match deed.what % 9 {
        0 => some(at..boundary(text, at + deed.much), ""),
        1 | 2 => some(at..at, typed),
        3 => some(line_start..line_start, typed),
        4 => some(line_start..line_end, ""),
        5 => some(line_start..line_start, &text[line_start..line_end]),
        6 => some(line_end.saturating_sub(1).max(line_start)..line_end, typed),
        7 => some(at..boundary(text, at + 1), &(deed.much % 10).to_string()),
        _ => {
            let mut whole = text.to_string();
            whole.replace_range(line_start..at, typed);
            TextDocumentContentChangeEvent { range: None, range_length: None, text: whole }
        }
    }
}

/// A copy of a folder with every journal of it open in an editor.
fn open(folder: &Path) -> (TempDir, Workspace, Vec<PathBuf>) {
    let home: TempDir = tempfile::tempdir().unwrap();
    copy(folder, home.path());
    let mut workspace = Workspace::new(vec![home.path().to_path_buf()], today);
    workspace.reload().unwrap();
    let mut paths: Vec<PathBuf> = workspace.documents().map(|document| document.path().to_path_buf()).collect();
    paths.sort();
    for path in &paths {
        let text = workspace.document(path).unwrap().text().to_string();
        assert!(workspace.hold(path, text, 0));
    }
    (home, workspace, paths)
}

/// Settles, and holds the followed journal against reading anew.
fn holds(workspace: &mut Workspace, home: &Path, what: &dyn std::fmt::Debug) {
    workspace.settle();
    let texts: Unsaved =
        workspace.documents().map(|document| (document.path().to_path_buf(), document.text().to_string())).collect();
    let anew = anew(home, &texts);
    let followed: Vec<Vec<String>> = workspace.farms().iter().map(followed).collect();
    for (followed, anew) in followed.iter().zip(&anew) {
        let missing: Vec<_> = anew.iter().filter(|one| !followed.contains(one)).collect();
        let surplus: Vec<_> = followed.iter().filter(|one| !anew.contains(one)).collect();
        assert!(missing.is_empty() && surplus.is_empty(), "{what:?}\nmissing {missing:#?}\nsurplus {surplus:#?}");
    }
    // The files of a farm can stand in another order; each finding is there as often.
    for (mut followed, mut anew) in followed.into_iter().zip(anew) {
        followed.sort();
        anew.sort();
        assert_eq!(followed.len(), anew.len(), "{what:?}");
    }
}

/// Runs deeds on a bundled folder, and holds the followed journal against reading anew after each.
fn follow(example: &str, deeds: &[Deed]) {
    let (home, mut workspace, paths) = open(&folder(&format!("journal-examples/{example}")));
    for (step, &deed) in deeds.iter().enumerate() {
        let path = &paths[deed.file % paths.len()];
        let change = change(workspace.document(path).unwrap(), deed);
        workspace.change(path, std::slice::from_ref(&change), step as i32 + 1).unwrap();
        // Sometimes the next change comes before anybody looks.
        if step + 1 < deeds.len() && deed.what % 5 == 0 {
            continue;
        }
        holds(&mut workspace, home.path(), &(path, change));
    }
}

fn property(example: &str, cases: u32, steps: usize) {
    let mut runner =
        TestRunner::new(Config { cases, failure_persistence: None, max_shrink_iters: 60, ..Config::default() });
    let deeds = prop::collection::vec(deed(), 1..=steps);
    let done = runner.run(&deeds, |deeds| {
        follow(example, &deeds);
        Ok(())
    });
    if let Err(error) = done {
        panic!("{error}");
    }
}

#[test]
fn a_home_orchard_is_followed_through_any_edits() {
    property("home-orchard", 24, 12);
}

#[test]
fn a_farm_in_its_spring_is_followed_through_any_edits() {
    property("spring-week", 16, 12);
}

#[test]
fn an_orchard_under_rulebooks_is_followed_through_any_edits() {
    property("twenty-acres", 6, 10);
}

#[test]
fn farms_that_share_a_pantry_are_followed_through_any_edits() {
    property("adviser", 12, 8);
}

#[test]
fn wrong_journals_are_followed_through_any_edits() {
    property("mistakes", 2, 2);
}

/// A date line cut in two is two pages, each with what is wrong with it.
#[test]
fn edits_that_were_once_lost_are_followed() {
    let deed = |file, at, what, much| Deed { file, at, what, much };
    let deeds = [
        deed(15561675549224455571, 9205246162423656582, 4777943659768331623, 86),
        deed(9744119366801734251, 14828800322869518352, 14975886459965124935, 56),
        deed(17372233465922813883, 8081126375163079004, 10594588510415327615, 85),
        deed(13515240403740504855, 1009116826760570576, 17654778612275867848, 62),
    ];
    follow("spring-week", &deeds);
}

/// Types words in the place of others, and after each holds the followed journal against reading anew; whether a check
/// finds something then.
fn retyped(farm: &str, words: &str, others: &[&str], code: &str) -> Vec<bool> {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("farm.spray"), farm).unwrap();
    let (home, mut workspace, paths) = open(folder.path());
    holds(&mut workspace, home.path(), &"at first");
    let (start, mut end) = (farm.find(words).unwrap(), farm.find(words).unwrap() + words.len());
    let mut told = Vec::new();
    for (version, &other) in others.iter().enumerate() {
        let range = workspace.document(&paths[0]).unwrap().range(start..end);
        let change = TextDocumentContentChangeEvent { range: Some(range), range_length: None, text: other.to_string() };
        end = start + other.len();
        workspace.change(&paths[0], &[change], version as i32 + 1).unwrap();
        holds(&mut workspace, home.path(), &other);
        told.push(followed(&workspace.farms()[0]).iter().any(|one| one.starts_with(code)));
    }
    told
}

/// What sprays are judged by can stand in an entry that none of them names.
#[test]
fn a_rule_in_the_entry_of_a_third_material_is_followed() {
    let farm = "farm far-lea\n\nblock one\n    crop pear\n    area 1 acre\n\nmaterial salve\n    form dry\n    \
                apart copper 3 days from oil\n\nmaterial blue\n    form dry\n    class copper\n\nmaterial neem\n    \
                form liquid\n    class oil\n\n2026-04-01\n\nspray one\n    put blue 4 oz\n    volume 50 gal\n    \
                time 06:00 to 07:00\n\n2026-04-06\n\nspray one\n    put neem 20 fl oz\n    volume 50 gal\n    \
                time 06:00 to 07:00\n";
    assert_eq!(retyped(farm, "3 days", &["9 days", "3 days"], "kept-too-close"), [true, false]);
}

/// The pantry is asked for by a farm whose name cannot be read.
#[test]
fn the_pantry_of_a_farm_with_a_broken_name_is_followed() {
    let farm = "farm far\tlea\n    pantry yes\n\nmix tonic\n    in 1 gal\n    put whole-milk 8 fl oz\n";
    assert_eq!(retyped(farm, "whole-milk", &["epsom-salt", "whole-milk"], "unknown-name"), [false, false]);
}

/// What one look of a check is about may come when another has found nothing.
#[test]
fn water_that_turns_out_to_be_hard_is_followed() {
    let farm = "farm far-lea\n\nblock one\n    crop pear\n    area 1 acre\n\nwater well\n    source ground water\n    \
                hardness 90 ppm\n\nmaterial suds\n    form liquid\n    class soap\n\n2026-04-01\n\nspray one\n    \
                put suds 40 fl oz\n    volume 50 gal\n    water well\n    time 06:00 to 07:00\n";
    assert_eq!(retyped(farm, "90 ppm", &["900 ppm", "90 ppm"], "not-in-one-tank"), [true, false]);
}

/// Of whom a rule asks a training may stand in a person's entry, and whose sheet is whose in another spray's.
#[test]
fn what_rulebooks_ask_is_followed_through_entries_of_others() {
    let farm = "farm far-lea\n    rulebook us-worker-protection\n\nperson fern\n    family no\n\nrig sled\n    \
                method airblast\n\nblock one\n    crop pear\n    area 1 acre\n    workers yes\n\nmaterial blue\n    \
                form dry\n    status registered\n    registration 99999-12\n    reentry 4 h\n\n2026-04-01\n\n\
                spray one\n    put blue 4 oz\n    volume 50 gal\n    by fern\n    rig sled\n    time 06:00 to 07:00\n";
    let farm = format!("{farm}\n2026-04-02\n\nwork one\n    by fern\n    time 13:00 to 14:00\n    task thinning\n");
    assert_eq!(retyped(&farm, "family no", &["family yes", "family no"], "training-lapsed"), [false, true]);
    assert_eq!(
        retyped(&farm, "status registered", &["status none", "status registered"], "training-lapsed"),
        [false, true]
    );
    let posted = format!("{farm}\n2026-04-20\n\npost one\n    sheet up 08:00\n");
    let again =
        "\nspray one\n    put blue 4 oz\n    volume 50 gal\n    by fern\n    rig sled\n    time 06:00 to 07:00\n";
    let later = posted.replace("\n2026-04-20\n", &format!("\n2026-04-10\n{again}\n2026-04-20\n"));
    let others = ["2026-04-25", "2026-04-10"];
    assert_eq!(retyped(&later, "2026-04-10", &others, "posting-late").len(), 2);
}

/// Nothing that a check once found to hold nothing is passed over when it holds something: every check has a journal that
/// it finds something in, and each entry of it goes, comes back, and says another number.
#[test]
fn every_check_sees_what_changes_for_it() {
    let mut farms: Vec<PathBuf> = fs::read_dir(folder("journal-examples/mistakes"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .collect();
    farms.sort();
    assert!(farms.len() >= 90);
    let mut steps = 0;
    for farm in farms {
        let (home, mut workspace, paths) = open(&farm);
        for path in &paths {
            let whole = workspace.document(path).unwrap().text().to_string();
            let entries: Vec<_> = workspace.farms_of(path).flat_map(|desk| desk.entries(path)).collect();
            for entry in entries {
                let text = &whole[entry.clone()];
                let digit = text.rfind(|c: char| c.is_ascii_digit()).map(|at| entry.start + at..entry.start + at + 1);
                let gone = (entry.clone(), "", text);
                let other = digit.map(|at| (at.clone(), if whole[at.clone()] == *"9" { "1" } else { "9" }, &whole[at]));
                for (away, with, old) in [gone].into_iter().chain(other) {
                    let start = away.start;
                    let mut change = |range: std::ops::Range<usize>, with: &str| {
                        let range = workspace.document(path).unwrap().range(range);
                        let text = with.to_string();
                        let change = TextDocumentContentChangeEvent { range: Some(range), range_length: None, text };
                        steps += 1;
                        workspace.change(path, std::slice::from_ref(&change), steps).unwrap();
                        holds(&mut workspace, home.path(), &(path, change));
                    };
                    change(away, with);
                    change(start..start + with.len(), old);
                }
            }
            assert_eq!(workspace.document(path).unwrap().text(), whole);
        }
    }
    assert!(steps > 1000);
}
