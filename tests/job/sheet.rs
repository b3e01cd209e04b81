//! What the sheet says.

use super::{FARM, amount, printed, view};

const ROUND: &[&str] = &["--program", "pear-rounds"];

#[test]
fn the_sheet_reads_like_this() {
    insta::assert_snapshot!("terminal", printed(FARM, &[ROUND, &["--language", "en"]].concat()));
    insta::assert_snapshot!("markdown", printed(FARM, &[ROUND, &["--as", "markdown"]].concat()));
    let spanish = printed(FARM, &[ROUND, &["--as", "markdown", "--language", "es"]].concat());
    assert!(spanish.contains("Última carga") && !spanish.contains("Last load"));
    let english = printed(FARM, &[ROUND, &["--as", "html", "--language", "en"]].concat());
    assert!(english.contains("Last load") && !english.contains("Última carga"));
}

/// 60 gal in a tank of 25 gal: 25, 25 and 10 gal; 0.4 oz a gallon is 10, 10 and 4 oz.
#[test]
fn each_load_has_its_own_amounts() {
    let sheet = view(FARM, ROUND);
    assert_eq!((sheet["full"]["count"].as_u64(), sheet["last"]["count"].as_u64()), (Some(2), Some(1)));
    assert_eq!(sheet["full"]["volume"]["number"], "25");
    assert_eq!(sheet["last"]["volume"]["number"], "10");
    assert_eq!(amount(&sheet, "full", "Magnesium sulfate crystals"), "10 oz wt");
    assert_eq!(amount(&sheet, "last", "Magnesium sulfate crystals"), "4 oz wt");
    // 25 fl oz: three cups and two tablespoons.
    assert_eq!(amount(&sheet, "full", "Fish hydrolysate"), "25 fl oz");
    // Too fine for a scale in whole ounces: the exact amount stands there, never the rounded one.
    assert_eq!(amount(&sheet, "full", "Citric acid"), "0.5 oz wt");
    let text = printed(FARM, &[ROUND, &["--language", "en"]].concat());
    assert!(text.contains("3 cups + 2 tbsp") && text.contains("measure with 0.1 g"), "{text}");
}

#[test]
fn the_volume_comes_from_what_is_known() {
    let of = |arguments: &[&str]| view(FARM, arguments)["whole"].as_str().unwrap().to_string();
    assert_eq!(of(ROUND), "60 gal (227 L)");
    assert_eq!(of(&[ROUND, &["--volume", "30 gal"]].concat()), "30 gal (114 L)");
    assert_eq!(of(&[ROUND, &["--volume", "100 gal per acre"]].concat()), "120 gal (454 L)");
    assert_eq!(of(&[ROUND, &["--rows", "1 to 7"]].concat()), "30 gal (114 L)");
    assert_eq!(of(&[ROUND, &["--area", "0.8 acre"]].concat()), "40 gal (151 L)");
    let mix = ["--mix", "leaf-tonic", "--block", "creek-pear"];
    // The sprayer was measured at 50 gal an acre.
    let measured = view(FARM, &[&mix[..], &["--rig", "airblast"]].concat());
    assert_eq!(measured["whole"], "60 gal (227 L)");
    assert!(measured["volume"][0].as_str().unwrap().starts_with("By the calibration of 14 April 2026"));
    // Trees 10 ft high and 8 ft wide in rows 16 ft apart: 217,800 cu ft an acre, 0.7 gal per 1000 cu ft. After A. Landers,
    // Cornell University, "Tree Row Volume".
    let wetted = view(FARM, &mix);
    assert_eq!(wetted["whole"], "183 gal (693 L)");
    assert!(wetted["last"]["name"]["en"] == "The only load" && wetted["full"].is_null());
    let strong = view(FARM, &["--mix", "calcium-cover", "--block", "creek-pear", "--concentrate", "3"]);
    assert_eq!(strong["whole"], "60.98 gal (231 L)");
}

/// After Washington State University, tree fruit crop protection guide: what goes on an acre stays, what goes into a
/// tank is multiplied.
#[test]
fn a_concentrate_takes_so_many_times_per_volume_and_the_same_per_ground() {
    let ground = ["--mix", "calcium-cover", "--block", "creek-pear", "--volume"];
    let dilute = view(FARM, &[&ground[..], &["180 gal"]].concat());
    let strong = view(FARM, &[&ground[..], &["60 gal", "--concentrate", "3 times"]].concat());
    for name in ["Calcium chloride", "Zinc chelate"] {
        let whole = |sheet: &serde_json::Value| {
            let steps = sheet["steps"].as_array().unwrap().clone();
            let all: Vec<_> = steps.iter().flat_map(|step| step["ingredients"].as_array().unwrap().clone()).collect();
            all.iter().find(|one| one["name"] == name).unwrap()["whole"].clone()
        };
        assert_eq!(whole(&dilute), whole(&strong), "{name}");
    }
    assert_eq!(strong["concentrate"]["en"], "3 times as strong as dilute spray");
    assert!(dilute["concentrate"].is_null());
    // 183 gal of dilute spray in 60 gal is 3.05 times, within 5 % of what was asked for.
    assert_eq!(strong["warnings"].as_array().unwrap().len(), 0);
    let weak = view(FARM, &[&ground[..], &["60 gal"]].concat());
    assert!(weak["warnings"][0].as_str().unwrap().contains("3.05 times as concentrated"), "{}", weak["warnings"]);
}

#[test]
fn things_go_in_as_the_mix_says_or_the_rules_or_else_as_usual() {
    let names = |journal: &str| -> Vec<String> {
        let sheet = view(journal, ROUND);
        let steps = sheet["steps"].as_array().unwrap().clone();
        let all = steps.iter().flat_map(|step| step["ingredients"].as_array().unwrap().clone());
        all.map(|one| one["name"].as_str().unwrap().to_string()).collect()
    };
    assert_eq!(
        names(FARM),
        [
            "Citric acid",
            "Kelp powder",
            "Magnesium sulfate crystals",
            "Fish hydrolysate",
            "Neem oil",
            "Potassium soap",
            "Whey culture"
        ]
    );
    let rules = FARM.replace("    stop If", "    order liquid, kelp-powder, oil\n    stop If");
    assert_eq!(
        names(&rules),
        [
            "Whey culture",
            "Fish hydrolysate",
            "Potassium soap",
            "Kelp powder",
            "Neem oil",
            "Citric acid",
            "Magnesium sulfate crystals"
        ]
    );
    let own = rules.replace("    in 1 gal\n", "    in 1 gal\n    order soap, dry, liquid\n");
    assert_eq!(names(&own)[0], "Potassium soap");
    // No acid goes first where copper is in the tank, and the mix's own warning stands on the sheet.
    let copper = FARM.replace("    class oil\n", "    class oil, copper\n");
    assert_eq!(names(&copper)[..3], ["Kelp powder", "Magnesium sulfate crystals", "Citric acid"]);
    let sheet = view(&copper, ROUND);
    assert_eq!(sheet["no_acid"], false, "the tank has one");
    let warnings: Vec<&str> = sheet["warnings"].as_array().unwrap().iter().filter_map(|one| one.as_str()).collect();
    assert!(warnings.iter().any(|one| one.contains("are both in the mix leaf-tonic")), "{warnings:?}");
}

#[test]
fn what_is_not_recorded_is_said_to_be_so() {
    let sheet = view(FARM, ROUND);
    let open: Vec<&serde_json::Value> =
        sheet["wear"].as_array().unwrap().iter().filter(|care| care["open"] == true).collect();
    assert_eq!(open[0]["what"]["en"], "not recorded: read the label");
    // The longest re-entry interval stands first, behind what is not recorded.
    assert_eq!(sheet["reentry"][0]["what"]["en"], "12 hours");
    assert_eq!(sheet["harvest"][0]["open"], true);
    assert_eq!(sheet["harvest"][1]["what"]["en"], "1 day");
    assert_eq!(sheet["stops"][0], "If the wind passes 10 mph, stop and write down the row.");
    let plain = view(&FARM.replace("    tank 25 gal\n", ""), ROUND);
    assert!(plain["assumed"][0].as_str().unwrap().contains("one load"));
}

/// 1.2 acre of trees 16 ft by 12 ft is 272.25 trees.
#[test]
fn a_rate_per_tree_says_how_many_trees_and_what_is_missing() {
    let journal = FARM.replace("put fish 1 fl oz", "put fish 0.5 fl oz per tree");
    let sheet = view(&journal, ROUND);
    let said = sheet["volume"].to_string();
    assert!(said.contains("Fish hydrolysate: 272.3 trees × 0.5 fl oz = 136.1 fl oz."), "{said}");
    let output = super::asked(&journal.replace("16 ft apart, trees 12 ft apart", "16 ft apart"), ROUND);
    let said = crate::robust::unfilled(&output.stderr);
    assert!(said.contains("Creek pears has no `trees … apart`"), "{said}");
}

#[test]
fn a_calibration_of_other_rows_is_warned_of() {
    let rows = |apart: &str| {
        let journal = FARM.replace("16 ft apart", &format!("{apart} ft apart"));
        let sheet = view(&format!("{journal}    driving both-sides\n    width 16 ft\n"), ROUND);
        sheet["warnings"].to_string()
    };
    let wide = rows("20");
    assert!(wide.contains("measured for rows 16 ft apart (50 gal per acre)"), "{wide}");
    assert!(
        wide.contains("Creek pears are 20 ft apart, where the same flow and speed put out 40 gal per acre"),
        "{wide}"
    );
    assert!(!rows("16").contains("measured for rows") && !rows("16.5").contains("measured for rows"));
}

/// A tablespoon weighs 9 g: 40 are 360 g, 12.698 oz. Fluid ounces of a powder would be taken for ounces by weight.
#[test]
fn a_powder_is_never_said_in_fluid_ounces() {
    let journal = "farm far-lea\n\nblock one\n    crop pear\n    area 1 acre\n\nmaterial grit \"Blue grit\"\n    form dry\n    \
                   weighs 9 g per tbsp\n\nmix weak\n    in 1 gal\n    put grit 1 tbsp\n";
    let text = printed(journal, &["--mix", "weak", "--block", "one", "--volume", "40 gal"]);
    let line = text.lines().find(|line| line.contains("Blue grit  ")).unwrap();
    assert!(line.contains("12.7 oz wt") && !line.contains("fl oz") && !line.contains(" pt"), "{text}");
    assert!(text.contains("360 g"), "{text}");
}
