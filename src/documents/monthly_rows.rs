//! The monthly use for other programs: a row for each month, product and block.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::book::Book;
use super::monthly::{BlockSum, DueDays, Use, UseKey};
use super::table::{Column, FORMAT_VERSION, Filled, Kind, Table, column, decimal, in_metric, iso_day};
use crate::journal::{Block, BlockId, Farm, Material, MaterialId, in_force};
use crate::quantity::Amount;

/// What a row is about.
struct MonthRow<'r, 'a> {
    book: &'r Book<'a>,
    month: NaiveDate,
    reported: bool,
    due: Option<NaiveDate>,
    id: MaterialId,
    /// The block with what it got; absent where the journal describes none.
    on: Option<(BlockId, &'r BlockSum)>,
    whole: Option<Amount>,
}

impl<'r> MonthRow<'r, '_> {
    fn farm(&self) -> Option<&'r Farm> {
        self.book.season.journal.farm.as_ref()
    }

    fn block(&self) -> Option<&'r Block> {
        Some(self.book.season.journal.block(self.on?.0))
    }

    fn material(&self) -> &'r Material {
        self.book.season.journal.material(self.id)
    }

    fn planted(&self) -> Option<Amount> {
        in_force(&self.block()?.areas, self.on?.1.last).map(|area| area.value)
    }

    fn treated(&self) -> Option<Amount> {
        self.on?.1.treated.filter(|_| self.on.is_some_and(|(_, used)| !used.treated_missing))
    }

    /// What the block got; nothing where not all of it is known.
    fn used(&self) -> Option<Amount> {
        let (_, used) = self.on?;
        used.sum.amount.filter(|_| used.sum.missing == 0)
    }
}

type Cell = fn(&MonthRow<'_, '_>) -> Option<String>;

use Kind::{Day, Decimal, Month, Text, Whole, YesNo};

const COLUMNS: &[Filled<Cell>] = &[
    column("format_version", Whole, "The version of these columns.", |_| Some(FORMAT_VERSION.to_string())),
    column("farm", Text, "The farm.", |r| Some(r.farm()?.named.shown().to_string())),
    column("owner", Text, "Who owns or runs it.", |r| r.book.some_words(r.farm()?.owner)),
    column("permit", Text, "Operator identification or permit number.", |r| r.book.some_words(r.farm()?.permit)),
    column("month", Month, "The month.", |r| Some(r.month.format("%Y-%m").to_string())),
    column("reported", YesNo, "Whether a rule that the farm has adopted asks for a report of this use.", |r| {
        Some(if r.reported { "yes" } else { "no" }.to_string())
    }),
    column("report_due", Day, "The last day to hand that report in.", |r| Some(iso_day(r.due.filter(|_| r.reported)?))),
    column("product", Text, "The product's name in the journal.", |r| Some(r.material().named.name.to_string())),
    column("product_title", Text, "Its title.", |r| r.material().named.title.as_ref().map(ToString::to_string)),
    column("registration", Text, "Registration or authorisation number.", |r| {
        r.book.some_words(r.material().registration)
    }),
    column("block", Text, "The block's name in the journal.", |r| Some(r.block()?.named.name.to_string())),
    column("block_title", Text, "Its title.", |r| r.block()?.named.title.as_ref().map(ToString::to_string)),
    column("site", Text, "Site identification number.", |r| r.book.some_words(r.block()?.site)),
    column("survey", Text, "County, section, township and range.", |r| r.book.some_words(r.block()?.survey)),
    column("location", Text, "Where the block is, in words.", |r| r.book.some_words(r.block()?.location)),
    column("crop", Text, "The crop.", |r| Some(r.block()?.crop.as_ref()?.value.to_string())),
    column("area_planted", Decimal, "Area planted on the last day of use in the month.", |r| number(r.planted())),
    column("area_planted_unit", Text, "Its unit.", |r| unit(r.planted())),
    column("area_planted_m2", Decimal, "The same in square metres.", |r| metric_number(r.planted())),
    column("area_treated", Decimal, "Area treated, every application counted; empty where one is not known.", |r| {
        number(r.treated())
    }),
    column("area_treated_unit", Text, "Its unit.", |r| unit(r.treated())),
    column("area_treated_m2", Decimal, "The same in square metres.", |r| metric_number(r.treated())),
    column("applications", Whole, "How many applications.", |r| Some(r.on?.1.sum.sprays.to_string())),
    column(
        "methods",
        Text,
        "How it was applied, with `; ` between; an application whose method is not recorded adds nothing.",
        |r| {
            let methods: Vec<&str> = r.on?.1.methods.iter().map(String::as_str).collect();
            (!methods.is_empty()).then(|| methods.join("; "))
        },
    ),
    column("block_amount", Decimal, "How much this block got; empty where one amount is not known.", |r| {
        number(r.used())
    }),
    column("block_amount_unit", Text, "Its unit.", |r| unit(r.used())),
    column("block_amount_metric", Decimal, "The same in the next column's unit.", |r| metric_number(r.used())),
    column("block_amount_metric_unit", Text, "kg or L.", |r| unit(r.used().and_then(in_metric))),
    column(
        "month_amount",
        Decimal,
        "How much was used in the month, all blocks together and what was poured away.",
        |r| number(r.whole),
    ),
    column("month_amount_unit", Text, "Its unit.", |r| unit(r.whole)),
    column("month_amount_metric", Decimal, "The same in the next column's unit.", |r| metric_number(r.whole)),
    column("month_amount_metric_unit", Text, "kg or L.", |r| unit(r.whole.and_then(in_metric))),
];

fn number(amount: Option<Amount>) -> Option<String> {
    Some(decimal(amount?.value))
}

fn unit(amount: Option<Amount>) -> Option<String> {
    Some(amount?.unit.word().to_string())
}

fn metric_number(amount: Option<Amount>) -> Option<String> {
    number(in_metric(amount?))
}

/// Every column of the monthly use, in their order.
pub fn monthly_columns() -> Vec<Column> {
    COLUMNS.iter().map(|(column, _)| *column).collect()
}

/// The rows of the monthly use, in the order of months, reported ones first, then by product and block.
pub(super) fn monthly_table(book: &Book<'_>, uses: &BTreeMap<UseKey, Use>, due: &DueDays) -> Table {
    let mut keys: Vec<&UseKey> = uses.keys().collect();
    keys.sort_by_key(|(month, reported, material)| (*month, !*reported, book.material(*material), *material));
    let mut rows = Vec::new();
    for key @ (month, reported, id) in keys {
        let used = &uses[key];
        let due = due.get(month).and_then(|days| days.keys().next()).copied();
        let whole = used.whole.amount.filter(|_| used.whole.missing == 0);
        let blocks = used.blocks.iter().map(|(id, used)| Some((*id, used)));
        for on in blocks.chain(used.blocks.is_empty().then_some(None)) {
            let row = MonthRow { book, month: *month, reported: *reported, due, id: *id, on, whole };
            rows.push(COLUMNS.iter().map(|(_, cell)| cell(&row)).collect());
        }
    }
    Table { columns: monthly_columns(), rows }
}
