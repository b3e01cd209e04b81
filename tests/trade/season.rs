//! Season caps, added up by hand.

use super::{codes, only};

const NONE: [&str; 0] = [];

const COPPER: &str = "material copper-hydroxide\n    form dry\n    class copper\n    contains Cu 50 %\n\n\
                      material copper-soap\n    form liquid\n    class copper\n    density 9.65 lb/gal\n    contains Cu 8 %\n\n\
                      material magnesium-sulfate\n    form dry\n    contains Mg 10 %, S 13 %\n\n";

/// Sprays of some amount on some day, on a block of two acres.
fn journal(limits: &str, sprays: &[(&str, &str)]) -> String {
    let mut text = format!("{COPPER}limits rules\n{limits}\nblock oak\n    crop pear\n    area 2 acre\n");
    for (day, put) in sprays {
        text += &format!("\n{day}\n\nspray oak\n    volume 100 gal\n    put {put}\n    time 06:00 to 07:00\n");
    }
    text
}

const DAYS: [&str; 4] = ["2026-03-01", "2026-03-15", "2026-04-01", "2026-04-15"];

#[test]
fn metal_is_counted_and_not_the_jug() {
    // 4 lb of half copper on two acres: 1 lb of copper per acre each.
    let each = DAYS.map(|day| (day, "copper-hydroxide 4 lb"));
    let limit = |most: &str| format!("    season at most {most} lb of Cu per acre\n");
    assert_eq!(codes(&journal(&limit("4"), &each)), NONE);
    let finding = only(&journal(&limit("3"), &each), "season-amount-exceeded");
    assert_eq!(
        finding.headline,
        "the spray of 15 April 2026 takes oak to 4 lb of Cu per acre in 2026; the limit of rules is 3 lb"
    );
    assert_eq!(finding.working[0], "3 lb before + 1 lb here = 4 lb per acre");
    assert_eq!(finding.working[1], "4 lb - 3 lb = 1 lb per acre too much");
    // `of copper` means the metal, too.
    let by_name = "    season at most 3 lb of copper per acre\n";
    assert_eq!(codes(&journal(by_name, &each)), ["season-amount-exceeded"]);
}

#[test]
fn a_liquid_is_counted_over_its_density() {
    // 10 gal x 9.65 lb/gal x 8 % = 7.72 lb of copper on two acres.
    let sprays = [("2026-03-01", "copper-soap 10 gal")];
    assert_eq!(codes(&journal("    season at most 3.86 lb of Cu per acre\n", &sprays)), NONE);
    assert_eq!(codes(&journal("    season at most 3.85 lb of Cu per acre\n", &sprays)), ["season-amount-exceeded"]);
    assert_eq!(codes(&journal("    season at most 4.32 kg of Cu per ha\n", &sprays)), ["season-amount-exceeded"]);
    assert_eq!(codes(&journal("    season at most 4.33 kg of Cu per ha\n", &sprays)), NONE);
}

#[test]
fn the_class_of_an_element_s_name_leaves_other_materials_out() {
    // Magnesium sulfate holds sulfur, and is no `sulfur`.
    let sprays = [("2026-03-01", "magnesium-sulfate 20 lb")];
    assert_eq!(codes(&journal("    season at most 1 lb of sulfur per acre\n", &sprays)), NONE);
    assert_eq!(codes(&journal("    season at most 1 lb of S per acre\n", &sprays)), ["season-amount-exceeded"]);
    // 20 lb x 10 % = 2 lb of magnesium are 3.32 lb of MgO, on two acres.
    assert_eq!(codes(&journal("    season at most 1.65 lb of MgO per acre\n", &sprays)), ["season-amount-exceeded"]);
    assert_eq!(codes(&journal("    season at most 1.66 lb of MgO per acre\n", &sprays)), NONE);
}

#[test]
fn the_year_begins_anew() {
    let sprays =
        [("2025-10-01", "copper-soap 1 gal"), ("2025-11-01", "copper-soap 1 gal"), ("2026-03-01", "copper-soap 1 gal")];
    assert_eq!(codes(&journal("    season at most 2 sprays of copper\n", &sprays)), NONE);
    assert_eq!(codes(&journal("    season at most 1 sprays of copper\n", &sprays)), ["season-count-exceeded"]);
}

#[test]
fn only_the_application_that_goes_over_is_told_and_tanks_of_a_day_are_one() {
    let each = DAYS.map(|day| (day, "copper-soap 1 gal"));
    let finding = only(&journal("    season at most 2 sprays of copper\n", &each), "season-count-exceeded");
    assert!(
        finding.headline.starts_with("the spray of 1 April 2026 is number 3 of copper on oak"),
        "{}",
        finding.headline
    );
    let same_day = journal("    season at most 1 sprays of copper\n", &[("2026-03-01", "copper-soap 1 gal")])
        + "\nspray oak\n    volume 50 gal\n    put copper-soap 0.5 gal\n    time 08:00 to 09:00\n";
    assert_eq!(codes(&same_day), NONE);
}

#[test]
fn many_earlier_sprays_are_cut_short() {
    let days: Vec<String> = (1..=9).map(|day| format!("2026-03-{day:02}")).collect();
    let sprays: Vec<(&str, &str)> = days.iter().map(|day| (day.as_str(), "copper-soap 1 gal")).collect();
    let finding = only(&journal("    season at most 8 sprays of copper\n", &sprays), "season-count-exceeded");
    assert_eq!(finding.working[0], "and 3 others");
    assert_eq!(finding.labels.len(), 1 + 1 + 5);
}

#[test]
fn a_cap_for_a_crop_goes_before_one_for_all() {
    let each = DAYS.map(|day| (day, "copper-soap 1 gal"));
    let limits = |pear: u32| {
        format!("    season at most 2 sprays of copper\n    season at most {pear} sprays of copper on pear\n")
    };
    assert_eq!(codes(&journal(&limits(4), &each)), NONE);
    assert_eq!(codes(&journal(&limits(3), &each)), ["season-count-exceeded"]);
}

#[test]
fn a_tank_over_two_blocks_is_shared_out_by_area() {
    // 8 lb on 2 + 6 acres is 1 lb per acre, half of it copper.
    let text = |most: &str| {
        format!(
            "{COPPER}limits rules\n    season at most {most} lb of Cu per acre\n\nblock oak\n    crop pear\n    area 2 acre\n\n\
             block ash\n    crop pear\n    area 6 acre\n\n2026-03-01\n\nspray oak, ash\n    volume 100 gal\n    \
             put copper-hydroxide 8 lb\n    time 06:00 to 07:00\n"
        )
    };
    assert_eq!(codes(&text("0.5")), NONE);
    assert_eq!(codes(&text("0.49")), ["season-amount-exceeded"; 2]);
}

#[test]
fn a_material_s_own_cap_counts_the_material() {
    let own = COPPER.replace("    contains Cu 50 %\n", "    contains Cu 50 %\n    season at most 1 lb per acre\n");
    let text = format!(
        "{own}block oak\n    crop pear\n    area 2 acre\n\n2026-03-01\n\nspray oak\n    volume 100 gal\n    \
         put copper-hydroxide 2.1 lb\n    put copper-soap 9 gal\n    time 06:00 to 07:00\n"
    );
    let finding = only(&text, "season-amount-exceeded");
    assert!(finding.headline.contains("takes oak to 1.05 lb of copper-hydroxide per acre"), "{}", finding.headline);
}
