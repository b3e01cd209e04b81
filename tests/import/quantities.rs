//! Numbers, units and ingredients.

use foliary::import::{Decimals, Fate};

use super::{doubts, fate, imported};

/// The `measured` and `put` lines of one row, and its doubts.
fn lines(head: &str, cells: &str) -> (Vec<String>, Vec<String>) {
    let imported = imported(format!("Date,Block,{head}\n2024-05-14,North,{cells}\n").as_bytes());
    let words = ["measured", "put", "mix", "volume", "over", "weather"];
    let lines = imported.text.lines().map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
    let lines = lines.filter(|line| words.iter().any(|word| line.starts_with(&format!("{word} ")))).collect();
    (lines, doubts(&imported, 2).to_vec())
}

fn clean(head: &str, cells: &str) -> Vec<String> {
    let (lines, doubts) = lines(head, cells);
    assert_eq!(doubts, Vec::<String>::new(), "{head}: {cells}");
    lines
}

#[test]
fn units_stand_in_the_heading_the_cell_or_the_cell_beside() {
    assert_eq!(clean("Material,Amount (lbs)", "Epsom salt,4"), ["measured epsom-salt 4 lb"]);
    assert_eq!(clean("Product,Total used", "Kelp extract,4 fl. oz."), ["measured kelp-extract 4 fl oz"]);
    assert_eq!(clean("Product,Qty,Unit", "Kelp extract,4,quarts"), ["measured kelp-extract 4 qt"]);
    assert_eq!(clean("Product,Rate (oz/gal)", "Epsom salt,0.4"), ["put epsom-salt 0.4 oz per gal"]);
    assert_eq!(clean("Product,Rate", "Epsom salt,2 lb/100 gal"), ["put epsom-salt 2 lb per 100 gal"]);
    assert_eq!(clean("Product,Rate per acre (qt)", "Kelp extract,1"), ["put kelp-extract 1 qt per acre"]);
    assert_eq!(
        clean("Product,Amount,Gallons,Acres", "Kelp extract,1 qt,60,1.5"),
        ["volume 60 gal", "measured kelp-extract 1 qt", "over 1.5 acre"]
    );
    assert_eq!(clean("Product,Gallons", "Leaf tonic,30"), ["mix leaf-tonic, 30 gal"]);
}

#[test]
fn so_much_per_something_is_never_the_amount_of_the_whole_job() {
    for head in ["Product,Amount per acre", "Product,How much per acre", "Product,Amount (oz) per acre"] {
        assert_eq!(clean(head, "Epsom salt,4 oz"), ["put epsom-salt 4 oz per acre"], "{head}");
    }
    assert_eq!(clean("Product,Amount (oz) per acre", "Epsom salt,4"), ["put epsom-salt 4 oz per acre"]);
    assert_eq!(clean("Product,How much per 100 gal", "Epsom salt,4 oz"), ["put epsom-salt 4 oz per 100 gal"]);
    let (found, doubts) = lines("Product,Amount per tank", "Epsom salt,4 oz");
    assert_eq!((found, doubts.len()), (Vec::new(), 1));
    assert!(doubts[0].contains("`4 oz`: per how much?"), "{doubts:?}");
}

#[test]
fn a_plain_ounce_is_settled_by_the_form_or_marked() {
    assert_eq!(clean("Product,Amount", "Epsom salt,4 oz"), ["measured epsom-salt 4 oz"]);
    let (lines, doubts) = lines("Product,Amount", "Barn powder,4 oz");
    assert_eq!(lines, ["measured barn-powder 4 oz"]);
    assert!(doubts[0].contains("ounces of weight or fluid ounces?"));
}

#[test]
fn numbers_are_as_people_type_them() {
    assert_eq!(clean("Product,Amount", "Epsom salt,1 1/2 lb"), ["measured epsom-salt 1 1/2 lb"]);
    assert_eq!(clean("Product,Amount", "Epsom salt,2½ lb"), ["measured epsom-salt 2 1/2 lb"]);
    assert_eq!(clean("Product,Amount", "Epsom salt,.5 lb"), ["measured epsom-salt 0.5 lb"]);
    assert_eq!(clean("Product,Amount", "Epsom salt,\"1,250,000 mg\""), ["measured epsom-salt 1250000 mg"]);
    let (found, why) = lines("Product,Amount", "Epsom salt,~4 lb");
    assert_eq!(found, ["measured epsom-salt 4 lb"]);
    assert!(why[0].contains("the sheet says `~4 lb`"));
    // A thousand or one and a quarter: nothing tells, so it is marked.
    let (found, why) = lines("Product,Amount", "Epsom salt,\"1,250 g\"");
    assert_eq!(found, ["measured epsom-salt 1250 g"]);
    assert!(why[0].contains("is read as 1250"));
}

#[test]
fn what_is_not_understood_is_a_remark_word_for_word() {
    for (amount, why) in [
        ("3-4 lb", "is a range"),
        ("4", "in which unit?"),
        ("a handful", "does not begin with a number"),
        ("4 scoops", "is no unit that is known"),
        ("4 acres", "is no weight or volume"),
        ("0.5 %", "a share of what"),
    ] {
        let (found, doubts) = lines("Product,Amount", &format!("Epsom salt,{amount}"));
        assert_eq!(found, Vec::<String>::new(), "{amount}");
        assert!(doubts[0].contains(why), "{amount}: {doubts:?}");
    }
    let (found, doubts) = lines("Product,Rate", "Epsom salt,4 oz");
    assert_eq!(found, Vec::<String>::new());
    assert!(doubts[0].contains("`4 oz`: per how much?"), "{doubts:?}");
}

#[test]
fn decimal_commas_are_told_from_thousands_by_the_sheet() {
    let text = "Date;Block;Material;Amount;Volume\n14.05.2024;North;Epsom salt;0,5 kg;1.250 L\n";
    let imported = imported(text.as_bytes());
    assert_eq!(imported.mapping.decimals, Decimals::Comma);
    assert!(
        imported.text.contains("epsom-salt 0.5 kg") && imported.text.contains("volume 1250 L"),
        "{}",
        imported.text
    );
    assert_eq!(doubts(&imported, 2), Vec::<String>::new());
}

#[test]
fn several_ingredients_of_one_row_are_one_tank() {
    let both = ["measured epsom-salt 4 oz", "measured kelp-extract 2 fl oz"];
    assert_eq!(clean("Material 1,Amount 1,Material 2,Amount 2", "Epsom salt,4 oz,Kelp extract,2 fl oz"), both);
    assert_eq!(clean("Material,Amount,Material,Amount", "Epsom salt,4 oz,Kelp extract,2 fl oz"), both);
    assert_eq!(clean("Material", "\"Epsom salt 4 oz, Kelp extract 2 fl oz\""), both);
    assert_eq!(clean("Material", "4 oz Epsom salt + 2 fl oz of Kelp extract"), both);
    assert_eq!(clean("Material,Amount", "\"Epsom salt, Kelp extract\",\"4 oz, 2 fl oz\""), both);
    assert_eq!(clean("Epsom salt (oz),Kelp extract (fl oz),Gallons", "4,2,10"), ["volume 10 gal", both[0], both[1]]);
    assert_eq!(clean("Epsom salt (oz),Kelp extract (fl oz),Gallons", "4,0,10"), ["volume 10 gal", both[0]]);
    let (found, doubts) = lines("Material,Amount", "\"Epsom salt, Kelp extract\",6 oz");
    assert_eq!(found, Vec::<String>::new());
    assert!(doubts[0].contains("how much of each?"), "{doubts:?}");
}

#[test]
fn rows_of_one_day_block_and_time_are_one_tank() {
    let head = "Date,Start,Block,Material,Amount\n";
    let rows = "2024-05-14,6:00,North,Epsom salt,4 lb\n2024-05-14,6:00,Creek pears,Epsom salt,4 lb\n\
                2024-05-14,6:00,North,Kelp extract,1 qt\n2024-05-14,9:00,North,Soap,1 qt\n\
                2024-05-14,9:00,North,Soap,1 qt\n";
    let imported = imported(format!("{head}{rows}").as_bytes());
    assert!(matches!(fate(&imported, 4), Fate::Joined(2, _)));
    // Another time, and the same material again, are other tanks.
    for row in [2, 3, 5, 6] {
        assert!(matches!(fate(&imported, row), Fate::Entry(_)), "row {row}");
    }
}

#[test]
fn weather_is_gathered_from_its_columns() {
    let head = "Product,Amount,Temp F,Wind (mph),Wind direction,RH %,Conditions";
    assert_eq!(
        clean(head, "Epsom salt,4 oz,52,3,NW,74,sunny"),
        ["measured epsom-salt 4 oz", "weather 52 F, wind 3 mph NW, humidity 74 %, sunny"]
    );
    let (found, doubts) = lines("Product,Amount,Temp,Wind", "Epsom salt,4 oz,52,light");
    assert_eq!(found, ["measured epsom-salt 4 oz"]);
    assert_eq!(doubts, ["temperature `52`: F or C?", "wind `light` has no speed"]);
}

#[test]
fn names_are_found_and_never_merged_by_a_guess() {
    let text = "Date,Block,Material,Amount,Applicator\n2024-05-14,NORTH ORCHARD,epsom  SALT,4 oz,tansy marsh\n\
                2024-05-15,Nort orchard,Kelp extrat,4 fl oz,TM\n";
    let imported = imported(text.as_bytes());
    assert!(imported.text.contains("spray north\n") && imported.text.contains("by t-marsh\n"));
    for asked in ["is this north?", "is this kelp-extract?", "is this t-marsh?"] {
        assert!(imported.text.contains(asked), "{asked}: {}", imported.text);
    }
    assert!(imported.text.contains("\nblock nort-orchard \"Nort orchard\"\n"));
    assert_eq!(imported.mapping.blocks["NORTH ORCHARD"], "north");
}

#[test]
fn intervals_of_the_sheet_are_proposed_never_made_up() {
    let head = "Date,Block,Product,Amount,REI (hrs),PHI\n";
    let imported = imported(format!("{head}2024-05-14,North,Barn oil,1 qt,12,7\n").as_bytes());
    assert!(imported.text.contains("reentry 12 h   # settle: from row 2"), "{}", imported.text);
    assert!(imported.text.contains("# settle: preharvest `7` in row 2"), "{}", imported.text);
    let without = super::imported(b"Date,Block,Product,Amount\n2024-05-14,North,Barn oil,1 qt\n");
    assert!(!without.text.contains("reentry") && !without.text.contains("preharvest"));
}

#[test]
fn what_is_written_is_laid_out_as_foliary_lays_journals_out() {
    let text = "Date,Block,Material,Amount,REI (hrs),Wind,Remarks\n2024-05-14,North,Barn oil,4 lb 8 oz,12,12 / 88,Calm\n\
                2024-05-15,North,no spray - rain,,,,\n";
    let imported = imported(text.as_bytes());
    assert_eq!(foliary::syntax::laid_out(&imported.text), imported.text);
    // Nothing of a cell that is not understood is left out, and no material is made of a row without a spray.
    assert!(imported.text.contains("`4 lb 8 oz`") && imported.text.contains("`12 / 88`"), "{}", imported.text);
    assert!(!imported.text.contains("material no-spray"), "{}", imported.text);
    assert!(imported.text.contains("#     Material: no spray - rain"), "{}", imported.text);
    for (cell, is_none) in [("none - wind", true), ("None", true), ("nothing (rain)", true), ("nonesuch oil", false)] {
        let text = format!("Date,Block,Material,Amount\n2024-05-15,North,{cell},\n");
        let imported = super::imported(text.as_bytes());
        assert_eq!(!imported.text.contains("\nmaterial "), is_none, "{cell}: {}", imported.text);
    }
}
