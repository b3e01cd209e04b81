//! The mapping file: read back, laid on sheets that have changed, refused where it is wrong.

use foliary::import::{Mapping, Role};

use super::{FARM, doubts, imported, imported_into};

const SHEET: &str = "Date,Block,Material,Amount,Odd\n2024-05-14,North,Epsom salt,4 lb,words\n";

#[test]
fn what_is_wrong_is_told() {
    for (text, says) in [
        ("heading-row = 1\n", "no column is a date"),
        ("heading-row = 0\n[[column]]\nat = 1\nis = \"date\"\n", "counted from 1"),
        ("heading-row = 1\nodd = 1\n", "odd"),
        ("heading-row = 1\n[[column]]\nheading = \"Date\"\nis = \"day\"\n", "day"),
        ("heading-row = 1\n[[column]]\nat = 1\nis = \"date\"\n[[column]]\nat = 2\nis = \"date\"\n", "a second date"),
        (
            "heading-row = 1\n[[column]]\nat = 1\nis = \"date\"\n[[column]]\nat = 2\nis = \"rate\"\n[[column]]\nat = 3\nis = \"rate\"\n",
            "tell them apart by part",
        ),
    ] {
        let why = Mapping::read(text).unwrap_err();
        assert!(why.contains(says), "{text}: {why}");
    }
}

#[test]
fn columns_are_found_where_they_are_now() {
    let mapping = imported(SHEET.as_bytes()).mapping;
    let moved = "Odd,Amount,New one,Date,Block,Material\nwords,4 lb,more,2024-05-14,North,Epsom salt\n";
    let again = imported_into(FARM, moved.as_bytes(), Some(mapping.clone()), &[]);
    assert!(again.text.contains("measured epsom-salt 4 lb"), "{}", again.text);
    assert!(again.text.contains("Odd: words") && again.text.contains("New one: more"), "{}", again.text);
    assert!(again.report.told.iter().any(|told| told.contains("does not name `New one`")));
    let without = "Date,Block,Material\n2024-05-14,North,Epsom salt\n";
    let less = imported_into(FARM, without.as_bytes(), Some(mapping), &[]);
    assert!(less.report.told.iter().any(|told| told.contains("no column `Amount`")));
    assert!(doubts(&less, 2)[0].contains("how much is not there"));
}

#[test]
fn what_is_left_out_is_left_out_aloud() {
    let mut mapping = imported(SHEET.as_bytes()).mapping;
    mapping.columns.iter_mut().find(|column| column.heading == "Odd").unwrap().is = Role::Leave;
    let again = imported_into(FARM, SHEET.as_bytes(), Some(mapping), &[]);
    assert!(!again.text.contains("words"));
    assert!(again.report.told.iter().any(|told| told == "Left out, as the mapping says: Odd."));
}

#[test]
fn no_column_is_passed_over() {
    // Whatever a heading is taken for, what stands under it is somewhere in the text.
    let heads = "Date,Block,Block 2,Product,Rate,Unit,Amount,Unit,Qty,Start,Start time,EPA No,REI,PHI,Lot,Water source,Crop,Supervisor";
    let cells = "2024-05-14,North,Aq,Epsom salt,2,oz/gal,3,lb,Bq,6:00,7:15,Cq,Dq,Eq,Fq,Gq,Hq,Iq";
    let imported = imported(format!("{heads}\n{cells}\n").as_bytes());
    let text = imported.text.to_lowercase();
    for words in ["aq", "2 oz per gal", "3 lb", "bq", "06:00", "7:15", "cq", "dq", "eq", "fq", "gq", "hq", "iq"] {
        assert!(text.contains(words), "{words}\n{text}");
    }
}

/// What a heading is taken for beside `Date` and `Block`, with the unit of its column.
fn taken_for(heading: &str, cell: &str) -> (Role, Option<String>) {
    let text = format!("Date,Block,Material,{heading}\n2024-05-14,North,Epsom salt 4 lb,{cell}\n");
    let mapping = imported(text.as_bytes()).mapping;
    let column = mapping.columns.iter().find(|column| column.heading == heading).unwrap();
    (column.is, column.unit.clone())
}

#[test]
fn headings_in_plain_words_are_known() {
    let gal = || Some("gal".to_string());
    for (heading, cell, role, unit) in [
        ("How much", "4 lb", Role::Amount, None),
        ("How much (lb)", "4", Role::Amount, Some("lb".to_string())),
        ("How much water", "20 gal", Role::Volume, None),
        ("Water (gal)", "20", Role::Volume, gal()),
        ("Water gal", "20", Role::Volume, gal()),
        ("Water", "20 gal", Role::Volume, None),
        ("Water", "the well", Role::Water, None),
        ("Water source", "20 gal", Role::Water, None),
        ("Water pH", "7.1", Role::Ph, None),
        ("Water temp F", "55", Role::Temperature, Some("F".to_string())),
        ("Water F", "55", Role::Note, None),
        ("Who", "Tansy Marsh", Role::By, None),
        ("When started", "6:00", Role::Start, None),
    ] {
        assert_eq!(taken_for(heading, cell), (role, unit), "{heading}: {cell}");
    }
    let text = "When,Where,What,How much,Water (gal)\n2024-05-14,North,Epsom salt,4 lb,20\n";
    let imported = imported(text.as_bytes());
    assert!(imported.text.contains("2024-05-14 Tue\n\nspray north\n"), "{}", imported.text);
    assert!(imported.text.contains("volume 20 gal\n    measured epsom-salt 4 lb\n"), "{}", imported.text);
    assert_eq!(doubts(&imported, 2), Vec::<String>::new());
    // A time beside a date.
    let text = "Date,When,Block,Material,Amount\n2024-05-14,6:00,North,Epsom salt,4 lb\n";
    let beside = super::imported(text.as_bytes());
    assert_eq!(beside.mapping.columns[0].is, Role::Date);
    assert!(beside.text.contains("When: 6:00"), "{}", beside.text);
}
