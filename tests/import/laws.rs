//! Whatever the sheet: every row has one fate, the text is read, nothing comes twice.

use foliary::import::{Fate, import, read};
use proptest::prelude::*;

use super::{Job, doubts, fate, imported, imported_into, left, troubles};

/// Cells as people leave them.
fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        3 => Just(String::new()),
        4 => prop::sample::select(vec![
            "2024-05-14", "5/14/24", "5/6/24", "14.5.24", "May 3", "North", "Creek pears", "Epsom salt", "Kelp",
            "North / Hill", "Hill and dale", "North\nrows 1-2", "Hill; dale", "6:00-7:30 pm", "Epsom salt, Kelp 2 oz", "4 oz", "~3", "2-3 lb", "0,5", "1,250", "30", "12 gal", "6:10 AM", "0600", "TM",
            "total", "Total", "calm", "NW 5", "rows 1-4", "North rows 1-3", "#REF!", "# not a remark", "\"quoted\"",
            "farm x", "spray north", "2024-05-14 Thu", "note", "½ cup", "-", "Date", "-3 F", "1/0", "9999999999999999999999",
        ]).prop_map(str::to_string),
        1 => "\\PC{0,12}",
        1 => any::<String>().prop_map(|words| words.chars().take(6).filter(|letter| *letter != '\0').collect()),
    ]
}

fn table() -> impl Strategy<Value = Vec<Vec<String>>> {
    prop::collection::vec(prop::collection::vec(cell(), 1..9), 0..14)
}

fn csv(table: &[Vec<String>]) -> Vec<u8> {
    let mut text = "Date,Block,Product,Rate (oz/gal),Amount,Gallons,Start,Applicator,Wind mph\n".to_string();
    for row in table {
        let cells: Vec<String> = row.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\""))).collect();
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    text.into_bytes()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn every_row_has_one_fate_and_nothing_comes_twice(table in table()) {
        let bytes = csv(&table);
        // `imported` holds that the fates add up and that every line of the text is read.
        let first = imported(&bytes);
        let again = imported_into(super::FARM, &bytes, Some(first.mapping.clone()), &left(&first));
        prop_assert_eq!(&again.text, "");
        let unproposed = imported_into(super::FARM, &bytes, None, &left(&first));
        prop_assert_eq!(&unproposed.text, "");
        // The mapping file says the same mapping.
        let read_back = foliary::import::Mapping::read(&first.mapping.file("old.csv")).unwrap();
        let by_file = imported_into(super::FARM, &bytes, Some(read_back), &[]);
        prop_assert_eq!(&by_file.text, &first.text);
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        if let Ok(book) = read(&bytes)
            && let Ok(sheet) = book.sheet(None)
        {
            let (_, _, journal) = super::farm(super::FARM);
            let kept = &foliary::import::Kept::default();
            let job = Job { file: "x", sheet, mapping: None, journal: &journal, remarks: &[], kept, out: "y", before: "" };
            if let Ok(imported) = import(job) {
                prop_assert_eq!(imported.report.counts().sum(), sheet.rows.len());
            }
        }
    }

    #[test]
    fn what_is_written_word_for_word_is_all_there(words in "[a-zA-Z][a-zA-Z .,]{0,30}[a-z]") {
        let text = format!("Date,Block,Product,Amount,Odd column\n2024-05-14,North,Epsom salt,4 oz,\"{words}\"\n,,,,\"{words}\"\n");
        let imported = imported(text.as_bytes());
        let shown = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let flat = imported.text.split_whitespace().collect::<Vec<_>>().join(" ");
        prop_assert_eq!(flat.matches(&format!("Odd column: {shown}")).count(), 2, "{}", imported.text);
    }
}

const SHEET: &str = "Date,Block,Material,Amount,Notes\n2024-05-14,North,Epsom salt,4 oz,a\n2024-05-15,North,Epsom salt,5 oz,b\n\
                     2024-05-16,North,Epsom salt,6 oz,c\n";

#[test]
fn rows_that_move_are_known_and_rows_that_change_are_told() {
    let first = imported(SHEET.as_bytes());
    // A row put in between, the last one changed, another column, the columns in another order.
    let later = "Notes,Date,Block,Material,Amount,Weather\na,2024-05-14,North,Epsom salt,4 oz,\n\
                 new,2024-05-14,North,Kelp extract,1 fl oz,\nb,2024-05-15,North,Epsom salt,5 oz,\nc,2024-05-16,North,Epsom salt,7 oz,\n";
    let second = imported_into(super::FARM, later.as_bytes(), None, &left(&first));
    assert!(matches!(fate(&second, 2), Fate::Had(_)));
    assert!(matches!(fate(&second, 3), Fate::Entry(_)));
    assert!(
        doubts(&second, 3)[0].contains("the same day and block as the entry at farm.spray:"),
        "{:?}",
        doubts(&second, 3)
    );
    assert!(matches!(fate(&second, 4), Fate::Had(_)));
    assert!(matches!(fate(&second, 5), Fate::Changed(place, _) if place.starts_with("farm.spray:")));
    assert!(!second.text.contains("7 oz"));
}

#[test]
fn two_rows_that_say_the_same_are_two() {
    let text = "Date,Block,Material,Amount\n2024-05-14,North,Epsom salt,4 oz\n2024-05-14,North,Epsom salt,4 oz\n";
    let first = imported(text.as_bytes());
    assert_eq!(first.report.counts().entries, 2);
    let third = format!("{text}2024-05-14,North,Epsom salt,4 oz\n");
    let second = imported_into(super::FARM, third.as_bytes(), None, &left(&first));
    assert_eq!((second.report.counts().had, second.report.counts().entries), (2, 1));
}

#[test]
fn headings_totals_and_titles_are_told_apart_from_records() {
    let text = "Wren Croft sprays,,\n,,\nDate,Block,Material\n2024-05-14,North,Epsom salt 4 oz\nDate,Block,Material\n\
                Total:,,12\nTotal oil 99,North,Soap\nApril,,\n";
    let imported = imported(text.as_bytes());
    assert!(matches!(fate(&imported, 1), Fate::Above(_)));
    assert_eq!(fate(&imported, 2), &Fate::Empty);
    assert_eq!(fate(&imported, 5), &Fate::Heading);
    assert!(matches!(fate(&imported, 6), Fate::Total(_)));
    assert!(matches!(fate(&imported, 8), Fate::Held(..)));
    assert!(imported.text.contains("# Row 1 stood above the headings: Wren Croft sprays"));
}

#[test]
fn what_the_farm_declares_raises_no_trouble() {
    assert_eq!(troubles(&imported(SHEET.as_bytes())), []);
}
