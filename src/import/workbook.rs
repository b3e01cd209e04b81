//! Workbooks (XLSX, XLS, ODS) to sheets.

use std::io::{Cursor, Read as _};

use calamine::{Data, Dimensions, Ods, Reader, SheetType, SheetVisible, Xls, Xlsx};
use chrono::{NaiveDate, NaiveTime};

use super::ods;
use super::sheet::{Cell, Sheet, Value};

/// What a workbook may unpack to, in bytes: far above any farm's, far below what a machine holds.
const MOST_UNPACKED: u64 = 512 << 20;
/// The most cells that a sheet may fill.
const MOST_CELLS: usize = 5_000_000;
/// The most columns; a cell beyond is a slip of the hand, or hostile.
const MOST_COLUMNS: usize = 1024;

/// The visible sheets of a workbook in their order, and the names of those that are hidden.
///
/// # Errors
/// A sentence where it is no workbook, is damaged, or is larger than any record of sprays.
pub(super) fn sheets(bytes: &[u8]) -> Result<(Vec<Sheet>, Vec<String>), String> {
    if bytes.starts_with(b"PK") {
        unpacks_to_a_size(bytes)?;
        if holds(bytes, "xl/workbook.xml") { xlsx(bytes) } else { ods(bytes) }
    } else {
        xls(bytes)
    }
}

fn damaged(error: impl std::fmt::Display) -> String {
    format!("it cannot be read as a workbook: {error}")
}

fn holds(bytes: &[u8], name: &str) -> bool {
    zip::ZipArchive::new(Cursor::new(bytes)).is_ok_and(|archive| archive.index_for_name(name).is_some())
}

/// Sizes that an archive states may be lies, so it is unpacked once to nowhere.
fn unpacks_to_a_size(bytes: &[u8]) -> Result<(), String> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(damaged)?;
    let mut left = MOST_UNPACKED;
    for at in 0..archive.len() {
        let part = archive.by_index(at).map_err(damaged)?;
        left -= std::io::copy(&mut part.take(left), &mut std::io::sink()).map_err(damaged)?;
        if left == 0 {
            return Err("it unpacks to more than 512 MiB, which no record of sprays does".to_string());
        }
    }
    Ok(())
}

fn xlsx(bytes: &[u8]) -> Result<(Vec<Sheet>, Vec<String>), String> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(damaged)?;
    let mut sheets = Vec::new();
    let (seen, hidden) = names(book.sheets_metadata());
    for name in seen {
        let mut cells = Cells::default();
        // Cell by cell: a sheet with one cell in its last corner is small.
        match book.worksheet_cells_reader(&name) {
            Ok(mut reader) => {
                while let Some(cell) = reader.next_cell().map_err(damaged)? {
                    let (row, column) = cell.get_position();
                    cells.put(row as usize, column as usize, &Data::from(cell.get_value().clone()))?;
                }
            }
            Err(error) => return Err(damaged(error)),
        }
        let merged = book.worksheet_merge_cells(&name).transpose().map_err(damaged)?.unwrap_or_default();
        sheets.push(cells.sheet(name, &merged));
    }
    Ok((sheets, hidden))
}

fn xls(bytes: &[u8]) -> Result<(Vec<Sheet>, Vec<String>), String> {
    let mut book: Xls<_> = Xls::new(Cursor::new(bytes)).map_err(damaged)?;
    let mut sheets = Vec::new();
    let (seen, hidden) = names(book.sheets_metadata());
    for name in seen {
        let range = book.worksheet_range(&name).map_err(damaged)?;
        let merged = book.worksheet_merge_cells(&name).unwrap_or_default();
        sheets.push(all_of(&range)?.sheet(name, &merged));
    }
    Ok((sheets, hidden))
}

fn ods(bytes: &[u8]) -> Result<(Vec<Sheet>, Vec<String>), String> {
    let mut book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(damaged)?;
    let mut sheets = Vec::new();
    let (seen, hidden) = names(book.sheets_metadata());
    let mut merged = ods::merged(bytes);
    for name in seen {
        let range = book.worksheet_range(&name).map_err(damaged)?;
        let merged = merged.remove(&name).unwrap_or_default();
        sheets.push(all_of(&range)?.sheet(name, &merged));
    }
    Ok((sheets, hidden))
}

/// The names of the sheets that are shown, and of those that are not.
fn names(sheets: &[calamine::Sheet]) -> (Vec<String>, Vec<String>) {
    // A sheet that is a chart has no cells.
    let of_cells = sheets.iter().filter(|sheet| sheet.typ == SheetType::WorkSheet);
    let (seen, hidden): (Vec<_>, Vec<_>) = of_cells.partition(|sheet| sheet.visible == SheetVisible::Visible);
    let name = |sheets: Vec<&calamine::Sheet>| sheets.into_iter().map(|sheet| sheet.name.clone()).collect();
    (name(seen), name(hidden))
}

fn all_of(range: &calamine::Range<Data>) -> Result<Cells, String> {
    let mut cells = Cells::default();
    let (top, left) = range.start().unwrap_or_default();
    for (row, column, value) in range.used_cells() {
        cells.put(top as usize + row, left as usize + column, value)?;
    }
    Ok(cells)
}

#[derive(Default)]
struct Cells {
    rows: Vec<Vec<Cell>>,
    count: usize,
}

impl Cells {
    fn put(&mut self, row: usize, column: usize, data: &Data) -> Result<(), String> {
        let value = value(data);
        if value == Value::Empty {
            return Ok(());
        }
        self.count += 1;
        if self.count > MOST_CELLS {
            return Err(format!("a sheet fills more than {MOST_CELLS} cells, which no record of sprays does"));
        }
        if column >= MOST_COLUMNS {
            return Err(format!(
                "row {} has a cell beyond column {MOST_COLUMNS}; clear it, or copy the records to a sheet of their own",
                row + 1
            ));
        }
        if self.rows.len() <= row {
            self.rows.resize_with(row + 1, Vec::new);
        }
        let cells = &mut self.rows[row];
        if cells.len() <= column {
            cells.resize_with(column + 1, Cell::default);
        }
        cells[column].value = value;
        Ok(())
    }

    /// The sheet, with what stands in a merged cell given to each row that it covers. Across columns it belongs to the
    /// first alone, as it is shown.
    fn sheet(mut self, name: String, merged: &[Dimensions]) -> Sheet {
        for region in merged {
            let (first, last, column) = (region.start.0 as usize, region.end.0 as usize, region.start.1 as usize);
            let Some(value) = self.rows.get(first).and_then(|row| row.get(column)).map(|cell| cell.value.clone())
            else {
                continue;
            };
            // Merging never makes rows: a region down to the bottom of the sheet ends with the data.
            let last = last.min(self.rows.len() - 1);
            if last <= first || value == Value::Empty {
                continue;
            }
            for cells in &mut self.rows[first..=last] {
                if cells.len() <= column {
                    cells.resize_with(column + 1, Cell::default);
                }
                cells[column] = Cell { value: value.clone(), merged: Some((first + 1, last + 1)) };
            }
        }
        Sheet { name, rows: self.rows, delimiter: None }
    }
}

fn value(data: &Data) -> Value {
    match data {
        Data::Empty => Value::Empty,
        Data::String(words) => Cell::text(words).value,
        Data::Int(number) => Value::Number(number.to_string()),
        Data::Float(number) => number_value(*number),
        Data::Bool(yes) => Value::Text(if *yes { "yes" } else { "no" }.to_string()),
        Data::Error(error) => Value::Failed(error.to_string()),
        Data::DateTime(moment) if moment.is_duration() => number_value(moment.as_f64()),
        Data::DateTime(moment) => {
            let (year, month, day, hour, minute, second, _) = moment.to_ymd_hms_milli();
            let clock = NaiveTime::from_hms_opt(hour.into(), minute.into(), second.into());
            // Below one there is no day in it, whichever day the count begins with.
            let day = (moment.as_f64() >= 1.0).then(|| NaiveDate::from_ymd_opt(year.into(), month.into(), day.into()));
            match (day, clock) {
                (None, Some(clock)) => Value::Clock(clock),
                (Some(Some(day)), Some(clock)) if moment.as_f64().fract() != 0.0 => Value::Moment(day, clock),
                (Some(Some(day)), _) => Value::Day(day),
                // The day that the count of 1900 has and the calendar has not.
                _ => number_value(moment.as_f64()),
            }
        }
        Data::DateTimeIso(words) => iso(words),
        Data::DurationIso(words) => duration(words),
    }
}

fn iso(words: &str) -> Value {
    let (day, clock) = words.split_once('T').map_or((words, None), |(day, clock)| (day, Some(clock)));
    let clock = clock.and_then(|clock| clock.get(..5)).and_then(|clock| NaiveTime::parse_from_str(clock, "%H:%M").ok());
    match (day.parse(), clock) {
        (Ok(day), None) => Value::Day(day),
        (Ok(day), Some(clock)) => Value::Moment(day, clock),
        _ => Value::Text(words.to_string()),
    }
}

/// `PT06H30M00S`, as ODS writes a time of day.
fn duration(words: &str) -> Value {
    let clock = words.strip_prefix("PT").and_then(|rest| rest.split_once('H')).and_then(|(hour, rest)| {
        let minute = rest.split_once('M').map_or("0", |(minute, _)| minute);
        NaiveTime::from_hms_opt(hour.parse().ok()?, minute.parse().ok()?, 0)
    });
    clock.map_or_else(|| Value::Text(words.to_string()), Value::Clock)
}

/// A number as the spreadsheet shows it: fifteen figures, so that 0.1 + 0.2 is 0.3.
fn number_value(number: f64) -> Value {
    let rounded: f64 = format!("{number:.14e}").parse().unwrap_or(number);
    Value::Number(rounded.to_string())
}
