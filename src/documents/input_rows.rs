//! The input list for other programs: a row for each material.

use super::book::Book;
use super::inputs::Input;
use super::table::{Column, FORMAT_VERSION, Filled, Kind, Table, column, decimal, in_metric, iso_day};
use super::totals::Sum;
use crate::quantity::Amount;

/// What a row is about.
struct InputRow<'r, 'a> {
    book: &'r Book<'a>,
    input: &'r Input,
}

impl InputRow<'_, '_> {
    /// A sum in the unit that all documents say the material in; nothing where not all of it is known.
    fn sum(&self, sum: &Sum) -> Option<Amount> {
        let known = sum.amount.filter(|_| sum.missing == 0)?;
        Some(self.book.in_own_unit(self.input.figures.id, known))
    }

    fn sprayed(&self) -> Option<Amount> {
        self.sum(&self.input.figures.sprayed)
    }

    fn brewed(&self) -> Option<Amount> {
        self.sum(&self.input.figures.brewed)
    }

    /// The approval that is the latest.
    fn approval(&self) -> Option<&super::approvals::Approved> {
        self.input.approvals.last()
    }
}

type Cell = fn(&InputRow<'_, '_>) -> Option<String>;

use Kind::{Day, Decimal, Text, Whole, YesNo};

const COLUMNS: &[Filled<Cell>] = &[
    column("format_version", Whole, "The version of these columns.", |_| Some(FORMAT_VERSION.to_string())),
    column("farm", Text, "The farm.", |r| Some(r.book.journal().farm.as_ref()?.named.shown().to_string())),
    column("material", Text, "The material's title.", |r| Some(r.input.material.clone())),
    column("name", Text, "Its name in the journal.", |r| {
        Some(r.book.journal().material(r.input.figures.id).named.name.to_string())
    }),
    column("home_made", YesNo, "Whether it is made on the farm.", |r| yes(r.input.home_made)),
    column("status", Text, "What it is to the law here, as written or by its registration number.", |r| {
        r.input.status.map(str::to_string)
    }),
    column("origin", Text, "How it came to be: synthetic or natural.", |r| r.input.origin.map(str::to_string)),
    column("registration", Text, "Registration or authorisation number.", |r| r.input.registration.clone()),
    column("active_ingredients", Text, "Active ingredients with their share.", |r| r.input.actives.clone()),
    column("source", Text, "Where what the journal says about it comes from.", |r| r.input.source.clone()),
    column("suppliers", Text, "Who delivered it, with `; ` between them.", |r| r.input.suppliers.clone()),
    column("label", Text, "Where the label is filed.", |r| r.input.label.clone()),
    column("purpose", Text, "What it is declared to be for; reasons and targets of its sprays.", |r| {
        r.input.purpose.clone()
    }),
    column("blocks", Text, "The blocks it was sprayed on.", |r| r.input.blocks.clone()),
    column("first_use", Day, "The first day it was used.", |r| Some(iso_day(r.input.figures.used?.0))),
    column("last_use", Day, "The last day it was used.", |r| Some(iso_day(r.input.figures.used?.1))),
    column("sprays", Whole, "In how many sprays it was.", |r| Some(r.input.sprays.to_string())),
    column("sprayed", Decimal, "How much was sprayed; empty where not all of it is known.", |r| {
        r.sprayed().map(|amount| decimal(amount.value))
    }),
    column("sprayed_unit", Text, "Its unit.", |r| r.sprayed().map(unit)),
    column("sprayed_kg_or_l", Decimal, "The same in kg, or in L where it is a volume.", |r| {
        r.sprayed().and_then(in_metric).map(|amount| decimal(amount.value))
    }),
    column("batches", Whole, "In how many batches of something else it was.", |r| Some(r.input.in_batches.to_string())),
    column("in_batches", Decimal, "How much went into them; empty where not all of it is known.", |r| {
        r.brewed().map(|amount| decimal(amount.value))
    }),
    column("in_batches_unit", Text, "Its unit.", |r| r.brewed().map(unit)),
    column("deliveries", Whole, "How many deliveries are recorded.", |r| Some(r.input.arrivals.len().to_string())),
    column("batches_made", Whole, "How many batches of it are recorded.", |r| Some(r.input.batches.len().to_string())),
    column("approval", Text, "How its uses stand against its approvals, in words.", |r| {
        Some(r.input.standing.words.clone())
    }),
    column(
        "used_unapproved",
        YesNo,
        "Whether it was used on a day on which no approval held, where the farm keeps approvals or has certified ground.",
        |r| yes(r.input.standing.mark),
    ),
    column("approved_by", Text, "Who gave the latest approval.", |r| r.approval()?.by.clone()),
    column("approval_restriction", Text, "What it ties the use to.", |r| r.approval()?.restriction.clone()),
    column("approval_evidence", Text, "The letter or list that says so.", |r| r.approval()?.evidence.clone()),
];

fn yes(yes: bool) -> Option<String> {
    Some(if yes { "yes" } else { "no" }.to_string())
}

fn unit(amount: Amount) -> String {
    amount.unit.word().to_string()
}

/// Every column of the input list, in their order.
pub fn input_columns() -> Vec<Column> {
    COLUMNS.iter().map(|(column, _)| *column).collect()
}

/// The rows of an input list.
pub(super) fn input_table(book: &Book<'_>, inputs: &[Input]) -> Table {
    let row = |input: &Input| {
        let row = InputRow { book, input };
        COLUMNS.iter().map(|(_, cell)| cell(&row)).collect()
    };
    Table { columns: input_columns(), rows: inputs.iter().map(row).collect() }
}
