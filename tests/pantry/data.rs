//! What the entries state, against the tables that it comes from.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use foliary::journal::{Content, ContentShare, Journal, Known, Material, pantry};
use foliary::quantity::Exact;
use foliary::syntax::{FieldWord, read_entry};
use foliary::text::{SourceId, Sources};
use foliary::{Farm, check_farm};

use super::shelf;

/// IUPAC standard atomic weights, multiplied out by the `periodictable` library.
const COMPOSITIONS: &str = include_str!("compositions.csv");
/// USDA National Nutrient Database for Standard Reference, release 28.
const RELEASE_28: &str = include_str!("release-28.csv");

/// The rows of a table, without remarks and the heading.
fn rows(table: &str) -> impl Iterator<Item = Vec<&str>> {
    table.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| line.split(',').collect())
}

fn named<'j>(journal: &'j Journal, name: &str) -> &'j Material {
    journal.materials.iter().find(|material| &*material.named.name == name).unwrap_or_else(|| panic!("no {name}"))
}

fn number(words: &str) -> Exact {
    let (whole, part) = words.split_once('.').unwrap_or((words, ""));
    Exact::new(format!("{whole}{part}").parse().unwrap(), 10_i128.pow(part.len() as u32)).unwrap()
}

/// The percentage as it stands in the entry.
fn written<'s>(sources: &'s Sources, content: &Content) -> &'s str {
    sources.slice(content.span).trim_end_matches('%').split_whitespace().nth(1).unwrap()
}

fn percent(content: &Content) -> Exact {
    let ContentShare::ByWeight(share) = content.share else { panic!("{} is by volume", content.substance) };
    share.mul(Exact::int(100)).unwrap()
}

/// The formula that an entry says its shares follow from.
fn formula<'s>(sources: &'s Sources, material: &Material) -> Option<&'s str> {
    let of_contents = material.fact_sources.iter().filter(|source| source.field == FieldWord::Contains);
    of_contents
        .filter_map(|source| sources.slice(source.words).strip_prefix("from the formula ")?.split_whitespace().next())
        .next()
}

#[test]
fn every_file_of_the_folder_is_in_the_program() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("pantry");
    let files = fs::read_dir(folder).unwrap().map(|file| file.unwrap().file_name().into_string().unwrap());
    let there: BTreeSet<String> =
        files.filter(|name| name.ends_with(".spray")).map(|name| format!("pantry/{name}")).collect();
    let known: BTreeSet<String> = pantry().map(|material| material.file.to_string()).collect();
    assert_eq!(there, known);
}

#[test]
fn every_entry_is_read_without_a_finding() {
    let mut sources = Sources::new();
    let texts: BTreeMap<&str, String> = pantry().fold(BTreeMap::new(), |mut texts, material| {
        texts.entry(material.file).or_insert_with(String::new).push_str(&format!("{}\n\n", material.text));
        texts
    });
    let mut files: Vec<SourceId> = vec![sources.add("farm.spray", "farm a\n    timezone UTC\n".to_string()).unwrap()];
    files.extend(texts.into_iter().map(|(file, text)| sources.add(file, text).unwrap()));
    let findings = check_farm(&sources, Farm { files: &files, missing: &[] }, "2026-12-31".parse().ok());
    let headlines: Vec<&str> = findings.iter().map(|finding| finding.headline.as_str()).collect();
    assert_eq!(headlines, Vec::<&str>::new());
    assert!(pantry().count() >= 40, "{}", pantry().count());
}

#[test]
fn it_states_no_rate_or_interval_as_allowed() {
    let (_, journal) = shelf();
    for material in &journal.materials {
        let name = &material.named.name;
        assert!(material.rates.is_empty() && material.season.is_empty() && material.spacing.is_empty(), "{name}");
        assert!(material.reentry.is_none() && material.preharvest.is_empty(), "{name}");
        assert!(material.status.is_none() && material.registration.is_none(), "{name}");
        assert!(material.form.is_some() && material.named.title.is_some(), "{name}");
        let notes = !material.named.notes.is_empty();
        assert!(notes || material.published.is_empty(), "{name} says with its rates what they are not");
    }
}

#[test]
fn every_value_says_where_it_comes_from_and_how_it_is_known() {
    let (sources, journal) = shelf();
    let told = [FieldWord::Form, FieldWord::Class, FieldWord::Source, FieldWord::Note];
    for material in &journal.materials {
        let entry = material.named.entry;
        let fields = read_entry(sources.slice(entry), entry.start).fields;
        let stated: BTreeSet<&str> =
            fields.iter().filter(|field| !told.contains(&field.word)).map(|field| field.word.word()).collect();
        let sourced: BTreeSet<&str> = material.fact_sources.iter().map(|source| source.field.word()).collect();
        assert_eq!(stated, sourced, "{}", material.named.name);
        assert!(material.fact_sources.iter().all(|source| source.known.is_some()), "{}", material.named.name);
        assert!(material.source.is_none(), "{}", material.named.name);
    }
}

#[test]
fn shares_follow_from_formulas_and_atomic_weights() {
    let (sources, journal) = shelf();
    let mut used: BTreeSet<&str> = BTreeSet::new();
    for material in &journal.materials {
        let Some(formula) = formula(&sources, material) else { continue };
        used.insert(formula);
        assert!(!material.contents.is_empty());
        for content in &material.contents {
            let row = rows(COMPOSITIONS).find(|row| row[0] == formula && row[1] == &*content.substance);
            let exact = number(row.unwrap_or_else(|| panic!("{formula} has no {}", content.substance))[2]);
            let decimals = written(&sources, content).split_once('.').map_or(0, |(_, part)| part.len());
            let half = Exact::new(1, 2 * 10_i128.pow(decimals as u32)).unwrap();
            let off = percent(content).sub(exact).unwrap().abs();
            assert!(off <= half, "{}: {} is {}", material.named.name, content.substance, exact.decimal(4));
        }
        let known = material.fact_sources.iter().find(|source| source.field == FieldWord::Contains);
        assert_eq!(known.unwrap().known, Some(Known::Computed));
    }
    let known: BTreeSet<&str> = rows(COMPOSITIONS).map(|row| row[0]).collect();
    assert_eq!(used, known);
}

#[test]
fn foods_are_as_the_nutrient_table_has_them() {
    let (sources, journal) = shelf();
    let elements = ["Ca", "Mg", "P", "K", "Na", "Fe"];
    let mut checked = 0;
    for row in rows(RELEASE_28) {
        let material = named(&journal, row[1]);
        for content in &material.contents {
            let column = elements.iter().position(|element| *element == &*content.substance).unwrap();
            // Milligrams in 100 g are thousandths of a percent.
            let exact = number(row[2 + column]).div(Exact::int(1000)).unwrap();
            assert_eq!(percent(content), exact, "{} of {}", content.substance, row[1]);
            checked += 1;
        }
        if let (Some(bridge), [grams, measure]) = (material.bridge(), [row[8], row[9]]) {
            // 1 cup is 8 fl oz, 1 tbsp half of one; 1 gal is 231 cubic inches of 2.54 cm (NIST Handbook 44, appendix C).
            let ml = number(if measure == "cup" { "236.5882365" } else { "14.78676478125" });
            assert_eq!(bridge.grams_per_ml(), number(grams).div(ml).unwrap(), "{}", row[1]);
            checked += 1;
        } else {
            assert_eq!(row[8], "", "{}", row[1]);
        }
        let tabled = [FieldWord::Density, FieldWord::Weighs, FieldWord::Contains];
        for source in material.fact_sources.iter().filter(|source| tabled.contains(&source.field)) {
            assert!(sources.slice(source.words).ends_with(row[0]), "{} cites no. {}", row[1], row[0]);
        }
    }
    assert!(checked > 60, "{checked}");
}

/// A label's share by weight and its pounds of it in a gallon say how much a gallon weighs.
#[test]
fn densities_follow_from_what_labels_state() {
    let (_, journal) = shelf();
    let pound_per_gallon = number("453.59237").div(number("3785.411784")).unwrap();
    for (name, pounds, share) in [("lime-sulfur", "2.86", "0.27"), ("liquid-copper", "0.772", "0.08")] {
        let exact = number(pounds).div(number(share)).unwrap();
        let stated = named(&journal, name).bridge().unwrap().grams_per_ml().div(pound_per_gallon).unwrap();
        assert!(stated.sub(exact).unwrap().abs() <= number("0.005"), "{name}: {}", exact.decimal(4));
    }
    // 2 oz of citric acid in 100 gal, said to be 1 1/4 teaspoons in 10 gal (K-State Research and Extension).
    let spoon = number("28.349523125").div(Exact::int(5)).unwrap().div(number("1.25")).unwrap();
    let stated = named(&journal, "citric-acid").bridge().unwrap().grams_per_ml().mul(number("4.92892159375")).unwrap();
    assert!(stated.sub(spoon).unwrap().abs() <= number("0.005"), "{}", spoon.decimal(4));
}

/// What kills, or spoils a tank, is known by class to the checks that look for it.
#[test]
fn classes_that_rules_go_by_are_given() {
    let (_, journal) = shelf();
    for (class, names) in [
        ("acid", &["cider-vinegar", "white-vinegar", "citric-acid", "acid-whey", "yogurt", "fish-hydrolysate"][..]),
        ("lime-sulfur", &["lime-sulfur"]),
        ("sulfur", &["lime-sulfur", "wettable-sulfur"]),
        ("bleach", &["household-bleach"]),
        ("urea", &["urea"]),
        ("copper", &["copper-hydroxide", "copper-sulfate", "liquid-copper"]),
        ("oil", &["horticultural-oil", "soybean-oil", "neem-oil"]),
        ("soap", &["insecticidal-soap", "castile-soap"]),
        ("live-culture", &["yogurt", "lactic-serum", "compost-tea", "bacillus"]),
        ("oxidiser", &["hydrogen-peroxide", "hydrogen-peroxide-27"]),
        ("magnesium", &["epsom-salt", "kieserite"]),
        ("calcium", &["calcium-chloride", "calcium-nitrate"]),
    ] {
        for name in names {
            assert!(named(&journal, name).is(class), "{name} is of class {class}");
        }
    }
}
