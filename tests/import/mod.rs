//! Old spreadsheets and outlines: what they become, that every row is accounted for, that nothing comes twice.
#![allow(clippy::unwrap_used, reason = "a helper of tests that cannot go on should stop")]

mod blocks;
mod changes;
mod command;
mod dates;
mod laws;
mod mappings;
mod outlines;
mod quantities;
mod workbooks;

use foliary::import::{Fate, Imported, Job, Kept, Mapping, Remark, Workbook, import, read, remarks};
use foliary::journal::{Journal, Trouble};
use foliary::syntax::{read_entry, split_entries};
use foliary::text::{SourceId, Sources};
use foliary::{Farm, compile_farm};

/// A farm that declares a few things.
const FARM: &str = "\
farm wren-croft \"Wren Croft\"
    units US
    timezone America/Boise
block north \"North orchard\"
    crop apple
    area 2 acre
block creek-pears \"Creek pears\"
    crop pear
    area 1 acre
person t-marsh \"Tansy Marsh\"
rig airblast \"Airblast sprayer\"
    tank 100 gal
material epsom-salt \"Epsom salt\"
    form dry
material kelp-extract \"Kelp extract\"
    form liquid
mix leaf-tonic \"Leaf tonic\"
    in 1 gal
    put epsom-salt 0.5 oz wt
";

/// Sources with one file, and its journal.
fn farm(text: &str) -> (Sources, Vec<SourceId>, Journal) {
    let mut sources = Sources::new();
    let files = vec![sources.add("farm.spray", text.to_string()).unwrap()];
    let journal = compile_farm(&sources, Farm { files: &files, missing: &[] });
    (sources, files, journal)
}

fn book(bytes: &[u8]) -> Workbook {
    read(bytes).unwrap()
}

/// What the first sheet of some bytes comes to in a farm, by a mapping or without.
fn imported_into(farm_text: &str, bytes: &[u8], mapping: Option<Mapping>, remarks: &[Remark]) -> Imported {
    imported_beside(farm_text, bytes, mapping, remarks, &Kept::default())
}

/// The same, beside the rows that are kept.
fn imported_beside(
    farm_text: &str,
    bytes: &[u8],
    mapping: Option<Mapping>,
    remarks: &[Remark],
    kept: &Kept,
) -> Imported {
    let (_, _, journal) = farm(farm_text);
    let book = book(bytes);
    let sheet = book.sheet(None).unwrap();
    let job = Job { file: "old.csv", sheet, mapping, journal: &journal, remarks, kept, out: "old.spray", before: "" };
    let imported = import(job).unwrap();
    assert_eq!(imported.report.counts().sum(), sheet.rows.len());
    reads(&imported.text);
    imported
}

fn imported(bytes: &[u8]) -> Imported {
    imported_into(FARM, bytes, None, &[])
}

/// Every line of a text is read by the journal.
fn reads(text: &str) {
    for range in split_entries(text) {
        let entry = read_entry(&text[range.clone()], 0);
        assert!(entry.strays.is_empty(), "{}\n---\n{text}", &text[range]);
    }
}

/// What an import left in a journal, as the next one finds it.
fn left(imported: &Imported) -> Vec<Remark> {
    let (sources, files, _) = farm(&imported.text);
    remarks(&sources, &files)
}

/// The fate of a row, counted from one.
fn fate(imported: &Imported, row: usize) -> &Fate {
    &imported.report.rows[row - 1].fate
}

/// What is to be settled about a row.
fn doubts(imported: &Imported, row: usize) -> &[String] {
    &imported.report.rows[row - 1].doubts
}

/// The troubles of a farm with what was imported into it, names and words only.
fn troubles(imported: &Imported) -> Vec<Trouble> {
    farm(&format!("{FARM}\n{}", imported.text)).2.troubles
}
