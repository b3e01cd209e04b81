//! A farm that uses the pantry, one that has entries of its own, and one that does not ask for it.

use std::fs;

use foliary::checks::CHECKS;
use foliary::finding::{Finding, Level};
use foliary::journal::pantry;
use foliary::report::{Format, Options, render};

use super::Read;
use crate::robust::run;

const FARM: &str = "farm larkspur-bend \"Larkspur Bend\"\n    timezone America/Boise\n    pantry yes\n\n\
                    block creek-pear \"Creek pears\"\n    crop pear\n    area 1 acre\n\n\
                    person t-marsh \"Tansy Marsh\"\n\n";

fn spray(day: &str, puts: &[&str]) -> String {
    let puts: String = puts.iter().map(|put| format!("    put {put}\n")).collect();
    format!("{day}\n\nspray creek-pear\n    volume 100 gal\n    time 06:00 to 07:00\n    by t-marsh\n{puts}\n")
}

fn codes(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|finding| finding.code).collect()
}

fn shown(read: &Read) -> String {
    render(Format::Page, &read.findings(), &read.sources, Options::default())
}

#[test]
fn a_farm_that_uses_all_of_it_is_told_nothing() {
    let mut text = FARM.to_string();
    for (number, material) in pantry().enumerate() {
        text.push_str(&format!(
            "block plot-{number}\n    crop pear\n    area 1 acre\n\n2026-05-01\n\nspray plot-{number}\n    put {} 1 {} per 100 gal\n    volume 100 gal\n    time 06:00 to 07:00\n    by t-marsh\n    weather 60 F, wind 3 mph NW\n\n",
            material.name,
            if material.text.contains("    form liquid\n") { "pt" } else { "lb" },
        ));
    }
    let read = Read::new(&text);
    assert_eq!(codes(&read.findings()), Vec::<&str>::new(), "{}", shown(&read));
    assert_eq!(read.journal().materials.len(), pantry().count());
}

#[test]
fn only_what_is_used_is_read() {
    let own = "mix tonic\n    in 1 gal\n    put Epsom-Salt 1/2 oz wt\n\n2026-05-01\n\nreceive molasses\n    amount 1 gal\n\n\
               observe creek-pear\n    note No honey, no urea: put them away.\n";
    let read = Read::new(&format!("{FARM}{own}"));
    let journal = read.journal();
    let names: Vec<&str> = journal.materials.iter().map(|material| &*material.named.name).collect();
    assert_eq!(names, ["epsom-salt", "molasses"]);
    assert_eq!(codes(&read.findings()), Vec::<&str>::new());
}

#[test]
fn an_entry_of_ones_own_takes_its_place_wholly() {
    let own = "material Epsom-Salt \"From the feed store\"\n    form dry\n    contains Mg 9.8 %\n\n";
    let read = Read::new(&format!("{FARM}{own}{}", spray("2026-05-01", &["epsom-salt 1 lb per 100 gal"])));
    let journal = read.journal();
    assert_eq!(journal.materials.len(), 1);
    assert_eq!(journal.materials[0].named.shown(), "From the feed store");
    assert!(journal.materials[0].classes.is_empty() && journal.materials[0].published.is_empty());
    assert_eq!(codes(&read.findings()), Vec::<&str>::new());
}

/// An entry whose first word is misspelt is reported, and takes the place all the same.
#[test]
fn a_misspelt_entry_takes_its_place_too() {
    let own = "materail epsom-salt\n    form dry\n\n";
    let read = Read::new(&format!("{FARM}{own}{}", spray("2026-05-01", &["epsom-salt 1 lb per 100 gal"])));
    assert_eq!(codes(&read.findings()), ["unknown-word"]);
    assert_eq!(read.journal().materials.len(), 1);
}

#[test]
fn an_own_name_that_looks_like_one_of_it_is_told_of_where_both_are_used() {
    let own = "material epsom_salt\n    form dry\n\n";
    let both = ["epsom_salt 1 lb per 100 gal", "epsom-salt 1 lb per 100 gal"];
    let read = Read::new(&format!("{FARM}{own}{}", spray("2026-05-01", &both)));
    let findings = read.findings();
    assert_eq!(codes(&findings), ["look-alike-name"]);
    assert!(!read.sources.is_shipped(findings[0].span()));
    let read = Read::new(&format!("{FARM}{own}{}", spray("2026-05-01", &both[..1])));
    assert_eq!(codes(&read.findings()), Vec::<&str>::new());
}

#[test]
fn a_farm_that_does_not_ask_for_it_is_told_that_it_has_the_name() {
    let farm = FARM.replace("    pantry yes\n", "");
    for (name, told) in [
        ("epsom-salt", "the pantry that comes with Foliary has it: write `pantry yes` in the farm's entry"),
        ("epsom-slat", "did you mean `epsom-salt`, which the pantry that comes with Foliary has?"),
    ] {
        let read = Read::new(&format!("{farm}{}", spray("2026-05-01", &[&format!("{name} 1 lb per 100 gal")])));
        let findings = read.findings();
        assert_eq!(codes(&findings), ["unknown-name"]);
        let help = findings[0].help.as_deref().unwrap();
        assert!(help.starts_with(told), "{help}");
        assert!(read.journal().materials.is_empty());
    }
    let no = FARM.replace("pantry yes", "pantry no");
    let read = Read::new(&format!("{no}{}", spray("2026-05-01", &["epsom-salt 1 lb per 100 gal"])));
    assert_eq!(codes(&read.findings()), ["unknown-name"]);
}

#[test]
fn a_slip_is_told_with_the_name_that_it_is_near() {
    let read = Read::new(&format!("{FARM}{}", spray("2026-05-01", &["epsom-slat 1 lb per 100 gal"])));
    let findings = read.findings();
    assert_eq!(codes(&findings), ["unknown-name"]);
    let help = findings[0].help.as_deref();
    assert_eq!(help, Some("did you mean `epsom-salt`, which the pantry that comes with Foliary has?"));
}

#[test]
fn dangers_are_seen_by_its_classes() {
    for (one, other, code) in [
        ("lime-sulfur", "cider-vinegar", "dangerous-tank"),
        ("lime-sulfur", "acid-whey", "dangerous-tank"),
        ("household-bleach", "citric-acid", "dangerous-tank"),
        ("household-bleach", "urea", "dangerous-tank"),
        ("lime-sulfur", "sweet-whey", "dangerous-tank"),
        ("household-bleach", "sweet-whey-powder", "dangerous-tank"),
        ("household-bleach", "buttermilk-powder", "dangerous-tank"),
        ("household-bleach", "lime-sulfur", "dangerous-tank"),
        ("household-bleach", "hydrogen-peroxide", "dangerous-tank"),
        ("household-bleach", "compost-tea", "not-in-one-tank"),
        ("copper-hydroxide", "yogurt", "not-in-one-tank"),
        ("insecticidal-soap", "epsom-salt", "not-in-one-tank"),
        ("hydrogen-peroxide", "cider-vinegar", "not-in-one-tank"),
        ("horticultural-oil", "wettable-sulfur", "kept-too-close"),
    ] {
        let puts = [format!("{one} 1 pt per 100 gal"), format!("{other} 1 pt per 100 gal")];
        let read = Read::new(&format!("{FARM}{}", spray("2026-05-01", &[&puts[0], &puts[1]])));
        assert!(codes(&read.findings()).contains(&code), "{one} with {other}: {}", shown(&read));
    }
}

/// Products differ, so a rule of the pantry warns; it says whose it is and where it comes from.
#[test]
fn a_rule_of_it_warns_and_names_its_source() {
    let own = spray("2026-05-01", &["horticultural-oil 1 gal per 100 gal"]);
    let later = spray("2026-05-20", &["wettable-sulfur 3 lb per 100 gal"]);
    let read = Read::new(&format!("{FARM}{own}{later}"));
    let findings = read.findings();
    assert_eq!(codes(&findings), ["kept-too-close"]);
    assert_eq!(findings[0].level, Level::Warning);
    let headline = &findings[0].headline;
    assert!(headline.ends_with("the pantry keeps them 30 days apart"), "{headline}");
    let source = findings[0].source.as_deref().unwrap();
    assert!(source.starts_with("the rule is the pantry's, from ") && source.contains("Rutgers"), "{source}");
    let clear = spray("2026-05-31", &["wettable-sulfur 3 lb per 100 gal"]);
    assert_eq!(codes(&Read::new(&format!("{FARM}{own}{clear}")).findings()), Vec::<&str>::new());
    insta::assert_snapshot!("a-rule-of-the-pantry", shown(&read));
}

#[test]
fn weather_outside_what_it_states_names_its_source() {
    let hot = spray("2026-07-01", &["horticultural-oil 1 gal per 100 gal"])
        .replace("    by t-marsh\n", "    by t-marsh\n    weather 91 F, wind 3 mph NW\n");
    let read = Read::new(&format!("{FARM}{hot}"));
    let findings = read.findings();
    assert_eq!(codes(&findings), ["weather-outside-limits"]);
    let source = findings[0].source.as_deref().unwrap();
    assert!(source.starts_with("the limit is the pantry's, from WSU Extension"), "{source}");
}

/// Nobody can write in the pantry: what is to be put right is told where the journal uses the material.
#[test]
fn findings_about_an_entry_of_it_stand_in_the_journal() {
    let farm = FARM.replace("    pantry yes\n", "    pantry yes\n    rulebook us-worker-protection\n");
    let read = Read::new(&format!("{farm}{}", spray("2026-05-01", &["epsom-salt 1 lb per 100 gal"])));
    let findings = read.findings();
    let unwritten = findings.iter().find(|finding| finding.code == "status-unwritten").unwrap();
    assert!(findings.iter().all(|finding| !read.sources.is_shipped(finding.span())));
    assert_eq!(read.sources.slice(unwritten.span()), "epsom-salt");
    assert!(unwritten.help.as_deref().unwrap().contains("`foliary pantry epsom-salt`"));
    assert!(CHECKS.iter().any(|check| check.code == "status-unwritten"));
}

/// The files of a folder with a farm that uses the pantry.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let mix = "mix tonic\n    in 1 gal\n    put molasses 1 fl oz\n    put sugar 1 oz wt\n\n";
    let text = format!(
        "{FARM}{mix}{}",
        spray("2026-05-01", &["kelp-meal 1 lb per 100 gal"])
            .replace("    volume 100 gal\n", "    mix tonic, 100 gal\n")
    );
    fs::write(folder.path().join("farm.spray"), text).unwrap();
    folder
}

#[test]
fn documents_say_what_came_from_it_and_leave_the_digest_alone() {
    let folder = folder();
    let done = run(folder.path(), &["report", "--as-of", "2026-06-01", "--no-git", "--as", "markdown", "--out", "out"]);
    assert_eq!(done.code, 0, "{}", done.err());
    let records = fs::read_to_string(folder.path().join("out/larkspur-bend/records.md")).unwrap();
    let version = env!("CARGO_PKG_VERSION");
    for told in [
        format!(
            "Molasses, table grade is described by the pantry that comes with Foliary {version}, not by an entry of the farm: density 337 g per cup, contains K 1.464 %"
        ),
        format!("Kelp meal is described by the pantry that comes with Foliary {version}, not by an entry of the farm."),
        "a level cup of granulated sugar (from memory)".to_string(),
    ] {
        assert!(records.contains(&told), "{told}\n{records}");
    }
    assert!(!records.contains("pantry/"), "the digest is of the journal's own files");
    let inputs = fs::read_to_string(folder.path().join("out/larkspur-bend/inputs.md")).unwrap();
    assert!(inputs.contains(&format!("Source: the pantry that comes with Foliary {version}")), "{inputs}");
    assert!(!inputs.contains("Honey"), "what is not used is not shown");
}

#[test]
fn the_command_prints_entries_to_copy() {
    let folder = folder();
    let list = run(folder.path(), &["pantry"]);
    assert_eq!(list.code, 0);
    assert!(pantry().all(|material| list.out().contains(material.name)), "{}", list.out());
    assert!(list.out().lines().all(|line| line.chars().count() <= 80));
    let entry = run(folder.path(), &["pantry", "Epsom-Salt"]);
    let own = FARM.replace("    pantry yes\n", "");
    let text = format!("{own}{}\n{}", entry.out(), spray("2026-05-01", &["epsom-salt 1 lb per 100 gal"]));
    let read = Read::new(&text);
    assert_eq!(codes(&read.findings()), Vec::<&str>::new(), "{text}");
    assert_eq!(read.journal().materials[0].published.len(), 3);
    insta::assert_snapshot!("epsom-salt", entry.out());
}

#[test]
fn the_command_gives_json_and_pages() {
    let folder = folder();
    let done = run(folder.path(), &["pantry", "epsom-salt", "--as", "json"]);
    let json: serde_json::Value = serde_json::from_str(&done.out()).unwrap();
    let material = &json["materials"][0];
    assert_eq!(material["form"], "dry");
    assert_eq!(material["contents"][0]["percent"], "9.86");
    assert_eq!(material["facts"][0]["field"], "contains");
    assert_eq!(material["facts"][0]["sources"][0]["known"], "computed");
    for form in ["html", "markdown"] {
        let all = run(folder.path(), &["pantry", "--as", form]);
        assert_eq!(all.code, 0, "{}", all.out());
        assert!(pantry().all(|known| all.out().contains(known.name)));
    }
}

#[test]
fn a_name_that_it_does_not_have_is_told_with_the_nearest() {
    let folder = folder();
    let done = run(folder.path(), &["pantry", "epsom-slat"]);
    assert_eq!(done.code, 2);
    assert!(
        done.err().contains("the pantry has nothing called epsom-slat; did you mean epsom-salt?"),
        "{}",
        done.err()
    );
}
