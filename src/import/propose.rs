//! The mapping proposed from a sheet that comes without one.

use super::amounts::decimals;
use super::days::{DateOrder, order_of};
use super::headings::{columns, heading_row};
use super::mapping::{BlankDate, Mapping};
use super::names::Known;
use super::plain_fate;
use super::role::Role;
use super::sheet::Sheet;

/// The proposal.
pub(super) fn mapping(sheet: &Sheet, known: &Known) -> Result<Mapping, String> {
    let Some(row) = heading_row(sheet) else {
        return Err(
            "no row of it looks like headings: put a row with the words Date, Block, Material and so on above the \
             records"
                .to_string(),
        );
    };
    let columns = columns(sheet, row, &|heading| known.materials.known(heading).map(str::to_string));
    let Some(date) = columns.iter().find(|column| column.is == Role::Date).map(|column| column.place()) else {
        return Err(format!(
            "row {} holds the headings, but none of them is a date; call the column of the dates Date",
            row + 1
        ));
    };
    let mut mapping = Mapping { heading_row: row + 1, ..Mapping::default() };
    let data = row + 1..sheet.rows.len();
    let (order, why) = order_of(sheet, data.clone(), date);
    mapping.date_order = order;
    let settle = if order == DateOrder::Unsettled && !why.is_empty() { "settle: " } else { "" };
    mapping.why.insert("date-order", format!("{settle}{why}"));
    let numbers: Vec<usize> = columns
        .iter()
        .filter(|column| {
            use Role::{Amount, Area, Humidity, Rate, Temperature, Volume, Wind};
            matches!(column.is, Amount | Rate | Volume | Area | Temperature | Wind | Humidity)
        })
        .map(|column| column.place())
        .collect();
    mapping.decimals = decimals(sheet, data, &numbers);
    let (blank, why) = blank_date(sheet, row, date);
    mapping.blank_date = blank;
    mapping.why.insert("blank-date", why);
    mapping.columns = columns;
    Ok(mapping)
}

/// A blank date is that of the row above where the sheet keeps to that: each stands straight below another row, and no
/// date is written twice in a row.
fn blank_date(sheet: &Sheet, headings: usize, date: usize) -> (BlankDate, String) {
    let (mut blank, mut alone, mut repeated) = (None, None, None);
    let mut before: Option<usize> = None;
    for row in headings + 1..sheet.rows.len() {
        if plain_fate(sheet, headings, date, row).is_some() {
            before = None;
            continue;
        }
        let cell = sheet.cell(row, date);
        if cell.is_empty() {
            blank = blank.or(Some(row + 1));
            alone = alone.or(before.is_none().then_some(row + 1));
        } else if before.is_some_and(|above| sheet.cell(above, date).value == cell.value) && cell.merged.is_none() {
            repeated = repeated.or(Some(row + 1));
        }
        before = Some(row);
    }
    match (blank, alone, repeated) {
        (None, ..) => (BlankDate::Unsettled, String::new()),
        (_, Some(row), _) => (BlankDate::Unsettled, format!("settle: row {row} has no date and no row above it")),
        (Some(row), None, Some(other)) => (
            BlankDate::Unsettled,
            format!("settle: row {row} has no date, but row {other} repeats that of the row above"),
        ),
        (Some(row), None, None) => {
            (BlankDate::AsAbove, format!("row {row} has no date, and no row repeats that of the row above"))
        }
    }
}
