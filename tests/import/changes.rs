//! Rows that have changed in the sheet since they were imported, and remarks that are out of date by that.

use foliary::import::{Fate, Imported, Kept, Remark};

use super::{FARM, fate, imported, imported_beside, left};

const HEAD: &str = "Date,Block,Material,Amount,Notes\n";

/// A sheet imported again, beside what earlier imports left.
fn again(rows: &str, remarks: &[Remark], kept: &str) -> Imported {
    let kept = Kept::read(kept).unwrap();
    imported_beside(FARM, format!("{HEAD}{rows}").as_bytes(), None, remarks, &kept)
}

fn first(rows: &str) -> Imported {
    imported(format!("{HEAD}{rows}").as_bytes())
}

/// What became of a row, as the report says it, on one line.
fn said(imported: &Imported) -> String {
    imported.report.all_rows().split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_has_changed_is_named_column_by_column() {
    let one = first("2024-05-14,North,Epsom salt,4 oz,a\n2024-05-15,North,\"Epsom \"\"fine\"\"\",5 oz,\n");
    let rows =
        "2024-05-14,North,Epsom salt,6 oz,a\n2024-05-15,Creek pears,\"Epsom \"\"fine\"\"\",5 oz,\"late\nrain\"\n";
    let two = again(rows, &left(&one), &one.kept);
    assert_eq!(
        *fate(&two, 2),
        Fate::Changed("farm.spray:12".to_string(), vec!["Amount was `4 oz`, is `6 oz`".to_string()])
    );
    let Fate::Changed(_, changes) = fate(&two, 3) else { panic!("{:?}", two.report.rows) };
    assert_eq!(*changes, ["Block was `North`, is `Creek pears`", "Notes was blank, is `late rain`"]);
    assert_eq!((two.text.as_str(), two.kept.as_str()), ("", ""));
    assert!(said(&two).contains("see farm.spray:12: Amount was `4 oz`, is `6 oz`"), "{}", said(&two));
    assert!(two.report.all_rows().lines().all(|line| line.chars().count() <= 80));
}

#[test]
fn a_date_that_changes_above_is_named_too() {
    let one = first("2024-05-14,North,Epsom salt,4 oz,a\n,North,Kelp extract,5 oz,b\n");
    let two = again("2024-05-16,North,Epsom salt,4 oz,a\n,North,Kelp extract,5 oz,b\n", &left(&one), &one.kept);
    let Fate::Changed(_, changes) = fate(&two, 3) else { panic!("{:?}", two.report.rows) };
    assert_eq!(*changes, ["Date of the row above was `2024-05-14`, is `2024-05-16`"]);
}

#[test]
fn without_the_kept_rows_a_change_is_told_and_they_are_kept_from_then_on() {
    let rows = "2024-05-14,North,Epsom salt,4 oz,a\n2024-05-15,North,Epsom salt,5 oz,b\n";
    let one = first(rows);
    let changed = rows.replace("4 oz", "6 oz");
    let two = super::imported_into(FARM, format!("{HEAD}{changed}").as_bytes(), None, &left(&one));
    assert!(said(&two).contains("what it said then is not kept"), "{}", said(&two));
    // The row that is as it was is kept now; each is kept once.
    assert_eq!(two.kept.lines().count(), 2, "{}", two.kept);
    let three = again(&changed.replace("5 oz", "7 oz"), &left(&one), &two.kept);
    assert!(said(&three).contains("Amount was `5 oz`, is `7 oz`"), "{}", said(&three));
    assert_eq!(again(rows, &left(&one), &one.kept).kept, "");
}

#[test]
fn kept_rows_of_another_version_are_refused() {
    let kept = first("2024-05-14,North,Epsom salt,4 oz,a\n").kept;
    assert!(Kept::read(&kept.replace("version 1.", "version 2.")).is_err());
    assert!(Kept::read("").is_err());
    // A damaged row is not known, the others are.
    assert!(Kept::read(&format!("{kept}torn,\"half\n")).is_ok());
    assert!(Kept::read(&kept.replace('\n', "\r\n")).is_ok());
}

#[test]
fn the_remark_of_a_row_that_was_corrected_is_told_to_be_out_of_date() {
    let rows =
        "2024-05-14,North,Epsom salt,4 oz,a\n2024-05-15,,Epsom salt,5 oz,b\n2024-05-16,North,Epsom salt,6 oz,c\n";
    let one = first(rows);
    assert!(matches!(fate(&one, 3), Fate::Held(..)));
    let place = left(&one).iter().find(|remark| remark.held).unwrap().place.clone();
    // Another row has come in above it.
    let corrected =
        rows.replace("15,,Epsom", "15,North,Epsom").replace("2024-05-14", "2024-05-13,North,Soap,1 qt,\n2024-05-14");
    let two = again(&corrected, &left(&one), &one.kept);
    assert!(matches!(fate(&two, 4), Fate::Entry(_)), "{:?}", two.report.rows);
    let told =
        format!("Row 4 has changed: Block was blank, is `North`. Its remark at {place} is out of date, and may go.");
    assert_eq!(two.report.told, std::slice::from_ref(&told));
    // As long as it stands there.
    let kept = format!("{}{}", one.kept, two.kept);
    let mut remarks = left(&one);
    remarks.extend(left(&two));
    assert!(again(&corrected, &remarks, &kept).report.told.contains(&told));
    remarks.retain(|remark| !remark.held);
    assert!(!again(&corrected, &remarks, &kept).report.told.contains(&told));
}

#[test]
fn a_row_that_still_waits_otherwise_leaves_one_remark_out_of_date() {
    let one = first("2024-05-14,North,Epsom salt,4 oz,a\n2024-05-15,,Epsom salt,5 oz,b\n");
    let two = again("2024-05-14,North,Epsom salt,4 oz,a\n2024-05-15,,Epsom salt,6 oz,b\n", &left(&one), &one.kept);
    assert!(matches!(fate(&two, 3), Fate::Held(..)));
    assert_eq!(two.report.told.len(), 1, "{:?}", two.report.told);
    assert!(two.report.told[0].contains("Amount was `5 oz`, is `6 oz`. Its remark at"), "{:?}", two.report.told);
    // Nothing kept: it may be so.
    let rows = "2024-05-14,North,Epsom salt,4 oz,a\n2024-05-15,North,Epsom salt,5 oz,b\n";
    let bare = super::imported_into(FARM, format!("{HEAD}{rows}").as_bytes(), None, &left(&one));
    assert!(bare.report.told[0].contains("look whether that may go"), "{:?}", bare.report.told);
    // Another spray in its place says nothing of the remark.
    let other = again("2024-05-14,North,Epsom salt,4 oz,a\n2024-07-01,North,Soap,1 qt,\n", &left(&one), &one.kept);
    assert!(matches!(fate(&other, 3), Fate::Entry(_)));
    assert_eq!(other.report.told, Vec::<String>::new());
}
