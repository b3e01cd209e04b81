//! Tables for other programs: columns that are named, typed and explained in one place. The writers of CSV and JSON and
//! the reference of the columns all read these.

use chrono::NaiveDate;

use crate::quantity::{Amount, Dimension, Exact, Unit};
use crate::season::{Moment, Zone};

/// The version of the columns. A column that goes, or that means something else, raises it; a new one at the end does
/// not.
pub const FORMAT_VERSION: u32 = 1;

/// What the cells of a column hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Text,
    /// A day, `2026-05-14`.
    Day,
    /// A month, `2026-05`.
    Month,
    /// A day and time with the offset from UTC, `2026-05-14T07:20:00-07:00`; without it where no time zone is known.
    Time,
    /// A number with a decimal point.
    Decimal,
    /// A whole number.
    Whole,
    /// `yes` or `no`.
    YesNo,
}

impl Kind {
    /// Its name in the reference.
    pub const fn word(self) -> &'static str {
        match self {
            Kind::Text => "text",
            Kind::Day => "day",
            Kind::Month => "month",
            Kind::Time => "time",
            Kind::Decimal => "decimal",
            Kind::Whole => "whole",
            Kind::YesNo => "yes/no",
        }
    }
}

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name.
    pub name: &'static str,
    /// What its cells hold.
    pub kind: Kind,
    /// What that means.
    pub about: &'static str,
}

/// A column with how its cell is found; an empty cell is something that is not recorded.
pub(super) type Filled<F> = (Column, F);

/// A column, for the lists of them.
pub(super) const fn column<F>(name: &'static str, kind: Kind, about: &'static str, cell: F) -> Filled<F> {
    (Column { name, kind, about }, cell)
}

/// Rows under columns. Every row has a cell for every column.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; a cell that is absent is something that is not recorded.
    pub rows: Vec<Vec<Option<String>>>,
}

/// A day as machines read it.
pub(super) fn iso_day(day: NaiveDate) -> String {
    day.format("%Y-%m-%d").to_string()
}

/// A moment as machines read it.
pub(super) fn iso_time(zone: &Zone, moment: Moment) -> String {
    let local = moment.local.format("%Y-%m-%dT%H:%M:%S");
    if zone.name().is_none() {
        return local.to_string();
    }
    let offset = moment.local.and_utc().timestamp() - moment.seconds;
    let (sign, minutes) = if offset < 0 { ('-', -offset / 60) } else { ('+', offset / 60) };
    format!("{local}{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

/// A number in full where its decimals end within eighteen places, and to twelve figures where they do not.
pub(super) fn decimal(number: Exact) -> String {
    let full = number.to_string();
    if full.contains('/') { number.figures(12) } else { full }
}

/// The unit of the metric columns for a kind of quantity: kg, L, m2, C, m/s, s.
fn metric(dimension: Dimension) -> Option<Unit> {
    match dimension {
        Dimension::Mass => Some(Unit::KILOGRAM),
        Dimension::Volume => Some(Unit::LITRE),
        Dimension::Area => Some(Unit::SQ_METRE),
        Dimension::Temperature => Some(Unit::CELSIUS),
        Dimension::Speed => Some(Unit::M_PER_S),
        Dimension::Time => Some(Unit::SECOND),
        _ => None,
    }
}

/// An amount in the metric columns' unit; plain ounces and counts have none.
pub(super) fn in_metric(amount: Amount) -> Option<Amount> {
    amount.in_unit(metric(amount.dimension())?)
}
