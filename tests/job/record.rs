//! The entry that a job becomes.

use foliary::documents::{Book, Language, MixJob, MixSheet, Scope, mix_sheet};
use foliary::finding::Level;
use foliary::job::{Asked, Line, spray_in, text};
use foliary::journal::{BlockId, MixId, ProgramId};
use foliary::quantity::{Amount, Exact};
use foliary::season::{Season, add, like, load_totals};
use foliary::text::Sources;
use foliary::{Farm, checks, compile_farm, with_text};

use super::{FARM, asked, printed, view};

const ROUND: &[&str] = &["--program", "pear-rounds"];

/// The sheet of a job on the pears.
fn sheet(journal: &str, round: bool, volume: &str, rows: Option<&str>) -> MixSheet {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", journal.to_string()).unwrap();
    let compiled = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let named = |name: &str| compiled.mixes.iter().position(|mix| &*mix.named.name == name).unwrap();
    let asked = Asked {
        day: chrono::NaiveDate::from_ymd_opt(2026, 5, 14).unwrap(),
        blocks: vec![BlockId::at(0)],
        rows: rows.map(|rows| Line::new(rows).unwrap()),
        mix: (!round).then(|| MixId::at(named("calcium-cover"))),
        program: round.then(|| ProgramId::at(0)),
        rig: None,
        water: None,
        setup: None,
        area: None,
        concentrate: (!round).then(|| Line::new("3").unwrap()),
        puts: Vec::new(),
    };
    let words = text(&Season::new(&compiled, &sources, None), &asked, Some(Amount::parse(volume).unwrap()));
    let (files, job) = with_text(&mut sources, &[file], "job", words).unwrap();
    let with_job = compile_farm(&sources, Farm { files: &files, missing: &[] });
    let season = Season::new(&with_job, &sources, None);
    let scope = Scope::default();
    let book = Book::new(&season, &[], &[file], &scope);
    let facts = spray_in(&season, job).unwrap();
    mix_sheet(&book, MixJob { facts, volume: &[], warnings: &[], language: Language::En }).unwrap()
}

/// What all loads hold together, by the sheet and by its record in the journal, exactly.
fn held_alike(journal: &str, round: bool, volume: &str, rows: Option<&str>) {
    let sheet = sheet(journal, round, volume, rows);
    let record = sheet.record.join("\n");
    let mut sources = Sources::new();
    let files = [
        sources.add("journal.spray", journal.to_string()).unwrap(),
        sources.add("pasted.spray", record.clone()).unwrap(),
    ];
    let compiled = compile_farm(&sources, Farm { files: &files, missing: &[] });
    assert!(compiled.troubles.is_empty(), "{record}\n{:?}", compiled.troubles);
    let season = Season::new(&compiled, &sources, chrono::NaiveDate::from_ymd_opt(2026, 5, 14));
    let found: Vec<_> = checks::run(&season).into_iter().filter(|finding| finding.level == Level::Error).collect();
    assert!(found.is_empty(), "{record}\n{found:#?}");
    let facts = season.sprays.last().unwrap();
    let totals = load_totals(&compiled, facts.spray(&compiled));
    let parts: Vec<_> = sheet.steps.iter().flat_map(|step| &step.ingredients).collect();
    assert_eq!(parts.len(), totals.len());
    for (id, held, _) in totals {
        let part = parts.iter().find(|part| part.name == compiled.material(id).named.shown()).unwrap();
        let mut sum = Amount::new(Exact::ZERO, held.unit);
        for (portion, column) in [(&part.full, &sheet.full), (&part.last, &sheet.last)] {
            let (Some(portion), Some(column)) = (portion, column) else { continue };
            let all = portion.amount.times(Exact::int(i64::from(column.count))).unwrap();
            sum = add(&compiled, id, sum, all).unwrap();
        }
        assert_eq!(sum, held, "{}: {record}", part.name);
        // And that is what the season says went in.
        let dose = facts.doses.iter().find(|dose| dose.material == id).unwrap();
        assert_eq!(like(&compiled, id, dose.amount().unwrap(), held.unit), Some(held), "{}", part.name);
    }
}

#[test]
fn the_record_holds_what_the_sheet_says() {
    held_alike(FARM, true, "60 gal", None);
    held_alike(FARM, true, "61.7 gal", None);
    held_alike(FARM, true, "20 gal", Some("1 to 5"));
    // A share of the rows that no decimal number can say.
    held_alike(FARM, true, "21 3/7 gal", Some("1 to 5"));
    held_alike(FARM, false, "60 gal", None);
    held_alike(&FARM.replace("1/4 tsp, 1 oz wt", "1/4 tsp, 5 g"), true, "60 gal", None);
    held_alike(&FARM.replace("    measures 1 cup, 1 tbsp, 1/4 tsp, 1 oz wt\n", ""), true, "60 gal", None);
}

#[test]
fn a_spray_that_is_written_already_is_taken_as_it_stands() {
    let page = "\n2026-05-14 Thu\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n    rig airblast\n    water well\n";
    let journal = format!("{FARM}{page}");
    let written = view(&journal, &["--written", "--block", "creek-pear"]);
    let asked_for = view(FARM, ROUND);
    assert_eq!(written["steps"], asked_for["steps"]);
    let record = printed(&journal, &["--written", "--record"]);
    assert!(record.starts_with("2026-05-14 Thu\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n"), "{record}");
    assert!(record.contains("    load       2 of 25 gal, whey-culture 25 fl oz"), "{record}");
    assert!(record.contains("# time 05:50 to 07:20"));
    // Two sprays of that day: which is not guessed.
    let two = format!("{journal}\nspray creek-pear rows 1 to 3\n    mix leaf-tonic, 10 gal\n    rig airblast\n");
    let output = asked(&two, &["--written"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().contains("2 such sprays"));
}
