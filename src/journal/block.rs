//! Blocks: where they are, how they are planted, how large their trees are, when they are picked.

use chrono::NaiveDate;

use super::{Dated, Named, Written};
use crate::quantity::{Amount, Rate};
use crate::text::Span;

/// A block, plot or bed.
#[derive(Clone, Debug)]
pub struct Block {
    /// Its name.
    pub named: Named,
    /// Its crop, in lower case.
    pub crop: Option<Written<Box<str>>>,
    /// Its cultivars.
    pub cultivar: Option<Span>,
    /// Its area over time.
    pub areas: Vec<Dated<Amount>>,
    /// Its rows.
    pub layout: Option<Layout>,
    /// Parcel number.
    pub parcel: Option<Span>,
    /// Where it is.
    pub location: Option<Span>,
    /// Certified status.
    pub certified: Option<Span>,
    /// EPPO code of the crop.
    pub eppo: Option<Span>,
    /// Whether people other than the family work here.
    pub workers: Option<Written<bool>>,
    /// Site identification number.
    pub site: Option<Span>,
    /// County, section, township and range.
    pub survey: Option<Span>,
    /// The map that shows it.
    pub map: Option<Span>,
    /// Whether it is closed in.
    pub enclosed: Option<Written<bool>>,
    /// Whether the part that is eaten can touch the soil or be splashed from it.
    pub soil_contact: Option<Written<bool>>,
    /// When picking is expected.
    pub picking: Vec<Picking>,
    /// The size of its trees over time.
    pub canopies: Vec<Dated<Canopy>>,
    /// What it takes to wet the trees to the drip, over time: a volume per canopy volume or per area.
    pub dilutes: Vec<Dated<Rate>>,
}

/// How a block is planted.
#[derive(Clone, Debug)]
pub struct Layout {
    /// Runs of row numbers, first and last.
    pub rows: Vec<(u32, u32)>,
    /// From row to row.
    pub spacing: Option<Amount>,
    /// From tree to tree.
    pub trees: Option<Amount>,
    /// Length of a row.
    pub length: Option<Amount>,
    /// Where it is written.
    pub span: Span,
}

impl Layout {
    /// How many rows there are.
    pub fn count(&self) -> u64 {
        self.rows.iter().map(|&(first, last)| u64::from(last - first) + 1).sum()
    }

    /// Whether a row is one of them.
    pub fn has(&self, row: u32) -> bool {
        self.rows.iter().any(|&(first, last)| (first..=last).contains(&row))
    }
}

/// When picking is expected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Picking {
    /// The first day.
    pub first: NaiveDate,
    /// The last day; `None` where one day is written.
    pub last: Option<NaiveDate>,
    /// Where it is written.
    pub span: Span,
}

impl Picking {
    /// The days from a day on whose picks are worth judging: the first, and the day after each spray in between. A pick
    /// on any later day is clear if these are.
    pub fn days(self, from: NaiveDate, sprayed: impl Iterator<Item = NaiveDate>) -> impl Iterator<Item = NaiveDate> {
        let (first, last) = (self.first.max(from), self.last.unwrap_or(self.first));
        let after = sprayed.filter_map(|day| day.succ_opt()).filter(move |day| *day > first);
        std::iter::once(first).chain(after).filter(move |day| *day <= last)
    }
}

/// How large the trees are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Canopy {
    /// From the ground to the top.
    pub height: Amount,
    /// Across the row.
    pub width: Amount,
}
