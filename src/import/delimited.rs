//! Plain text with a mark between the cells (CSV and its kin) to a sheet: in whatever encoding, with whatever mark.

use std::borrow::Cow;

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::{Encoding, UTF_8};

use super::sheet::{Cell, Sheet};

/// The marks that spreadsheets write between cells.
const MARKS: [u8; 4] = [b',', b';', b'\t', b'|'];
/// How much of a file is looked at to tell its mark.
const LOOKED_AT: usize = 64;
/// More cells than any record of sprays has.
const MOST_CELLS: usize = 5_000_000;

/// The sheet, and the encoding that it was read in where that had to be guessed.
///
/// # Errors
/// A sentence where the bytes are no text, or more than any record of sprays.
pub(super) fn sheet(bytes: &[u8]) -> Result<(Sheet, Option<&'static str>), String> {
    let (text, guessed) = decoded(bytes);
    if text.contains('\0') {
        return Err("it is neither a workbook nor plain text".to_string());
    }
    let mark = mark(&text);
    let mut reader =
        csv::ReaderBuilder::new().delimiter(mark).has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut record = csv::StringRecord::new();
    let mut cells = 0;
    let mut begun = 0;
    loop {
        let more = reader.read_record(&mut record).map_err(|error| format!("it cannot be read: {error}"))?;
        if !more {
            break;
        }
        // The library steps over empty lines; a spreadsheet numbers them.
        rows.resize_with(rows.len() + empty_lines(text.as_bytes(), begun), Vec::new);
        begun = reader.position().byte() as usize;
        cells += record.len();
        if cells > MOST_CELLS {
            return Err(format!("it has more than {MOST_CELLS} cells, which no record of sprays has"));
        }
        rows.push(record.iter().map(Cell::text).collect());
    }
    Ok((Sheet { name: String::new(), rows, delimiter: Some(char::from(mark)) }, guessed))
}

/// How many empty lines begin at a place.
fn empty_lines(text: &[u8], mut at: usize) -> usize {
    let byte = |at: usize| text.get(at).copied();
    // The second half of the end of the line before.
    if at > 0 && byte(at - 1) == Some(b'\r') && byte(at) == Some(b'\n') {
        at += 1;
    }
    let mut lines = 0;
    while let Some(b'\n' | b'\r') = byte(at) {
        at += if byte(at) == Some(b'\r') && byte(at + 1) == Some(b'\n') { 2 } else { 1 };
        lines += 1;
    }
    lines
}

/// The text of some bytes; the name of the encoding where no mark and no rule of UTF-8 tells it.
pub(super) fn decoded(bytes: &[u8]) -> (Cow<'_, str>, Option<&'static str>) {
    if let Some((encoding, length)) = Encoding::for_bom(bytes) {
        return (encoding.decode_without_bom_handling(&bytes[length..]).0, None);
    }
    if let Some(text) = UTF_8.decode_without_bom_handling_and_without_replacement(bytes) {
        return (text, None);
    }
    let mut detector = EncodingDetector::new(Iso2022JpDetection::Deny);
    detector.feed(bytes, true);
    let encoding = detector.guess(None, Utf8Detection::Deny);
    (encoding.decode_without_bom_handling(bytes).0, Some(encoding.name()))
}

/// The mark that cuts most often in lines of the same number of cells: a few cells that hold `Hill; dale` are no columns.
fn mark(text: &str) -> u8 {
    let score = |&mark: &u8| {
        let mut reader =
            csv::ReaderBuilder::new().delimiter(mark).has_headers(false).flexible(true).from_reader(text.as_bytes());
        let mut counts: Vec<usize> = reader
            .byte_records()
            .take(LOOKED_AT)
            .flatten()
            .map(|record| record.len())
            .filter(|&cells| cells > 1)
            .collect();
        counts.sort_unstable();
        let alike =
            counts.chunk_by(|one, other| one == other).map(|same| (same.len() * (same[0] - 1), same.len())).max();
        alike.unwrap_or_default()
    };
    // The last of equal ones would win; the comma is to.
    MARKS.iter().rev().copied().max_by_key(score).unwrap_or(b',')
}
