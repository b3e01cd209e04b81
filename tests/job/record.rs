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

/// A remark is a blank to fill in: with its mark taken away alone it must not pass for a fact.
#[test]
fn a_remark_that_is_not_filled_in_is_found() {
    let received = "\n2026-05-01 Fri\n\nreceive fish\n    amount 1 gal\n    lot F1\n";
    let journal = format!("{FARM}{received}");
    let record = printed(&journal, &[ROUND, &["--record"]].concat());
    let blanks: Vec<&str> = record.lines().filter_map(|line| line.trim_start().strip_prefix("# ")).collect();
    assert_eq!(
        blanks,
        [
            "measured fish 60 fl oz, lot ____",
            "batch ____",
            "time ____ to ____",
            "by ____",
            "weather ____ F, wind ____ mph ____, humidity ____ %",
            "ph ____",
            "leftover ____ gal on ____ rows ____ to ____",
        ]
    );
    for blank in blanks {
        let pasted = record.replace(&format!("# {blank}"), blank);
        let mut sources = Sources::new();
        let files = [
            sources.add("journal.spray", journal.clone()).unwrap(),
            sources.add("pasted.spray", pasted.clone()).unwrap(),
        ];
        let compiled = compile_farm(&sources, Farm { files: &files, missing: &[] });
        let season = Season::new(&compiled, &sources, chrono::NaiveDate::from_ymd_opt(2026, 5, 14));
        let here = sources.get(files[1]).span();
        let line = pasted.find(&format!("    {blank}")).unwrap() as u32 + 4 + here.start;
        let found = checks::run(&season);
        let of_line = |one: &&foliary::finding::Finding| {
            let span = one.span();
            span.start >= line && span.end <= line + blank.len() as u32 && one.level != Level::Note
        };
        assert!(found.iter().any(|one| of_line(&one)), "{blank}: {found:#?}");
    }
}

#[test]
fn amounts_are_recorded_in_a_unit_that_says_them_shortly() {
    // 25 gal at 1.5 fl oz: four cups and eleven spoons, 37.5 fl oz.
    let journal = FARM
        .replace("put fish 1 fl oz", "put fish 1.5 fl oz")
        .replace("1 tbsp, 1/4 tsp, 1 oz", "1 tbsp, 1/2 tsp, 1 oz");
    let record = printed(&journal, &[ROUND, &["--record"]].concat());
    assert!(record.contains("fish 37.5 fl oz"), "{record}");
    let sheet = view(&journal, ROUND);
    let steps = sheet["steps"].as_array().unwrap().iter();
    let mut parts = steps.flat_map(|step| step["ingredients"].as_array().unwrap());
    let fish = parts.find(|one| one["name"] == "Fish hydrolysate").unwrap();
    assert_eq!(fish["full"]["measured"], "37.5 fl oz");
    assert!(fish["full"]["exactly"].as_str().unwrap().starts_with("4 cups + 11 tbsp; "), "{fish}");
    // A volume that no decimal says in full is said, and made, to four figures.
    let record = printed(FARM, &[ROUND, &["--rows", "1 to 5", "--record"]].concat());
    assert!(record.contains("mix leaf-tonic, 21.43 gal"), "{record}");
}

/// One basis: the recipe, though the entry says already what was measured.
#[test]
fn a_written_spray_is_planned_by_its_recipe_alone() {
    let page = "\n2026-05-14 Thu\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n    rig airblast\n    water well\n";
    let measured = format!("{FARM}{page}    measured magnesium-sulfate 23 oz wt\n");
    let (with, without) = (view(&measured, &["--written"]), view(&format!("{FARM}{page}"), &["--written"]));
    assert_eq!((&with["totals"], &with["steps"]), (&without["totals"], &without["steps"]));
    let assumed = |sheet: &serde_json::Value| sheet["assumed"].to_string().contains("those of the recipe");
    assert!(assumed(&with) && !assumed(&without));
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
    assert!(record.contains("    load 2 of 25 gal, whey-culture 25 fl oz"), "{record}");
    assert!(record.contains("# time ____ to ____"));
    // Two sprays of that day: which is not guessed.
    let two = format!("{journal}\nspray creek-pear rows 1 to 3\n    mix leaf-tonic, 10 gal\n    rig airblast\n");
    let output = asked(&two, &["--written"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().contains("2 such sprays"));
}
