//! Text in, tree out. Reading never fails and loses nothing: what cannot be placed is kept as a stray line.

mod expected;
mod explain;
mod grammar;
mod layout;
mod other_dates;
mod parts;
mod read;
mod read_planned;
mod read_value;
mod reference;
mod repair;
mod same;
mod schema;
mod schema_dated;
mod schema_standing;
mod split;
mod tree;
mod words;

pub use explain::{Lost, explain_field, explain_head};
pub use layout::{laid_out, laid_out_entry};
pub(crate) use other_dates::is_spoken_date;
pub use other_dates::{OtherDate, weekday_named};
pub(crate) use read::first_word;
pub use read::read_entry;
pub use reference::reference;
pub use repair::Repair;
pub use same::same_entries;
pub use schema::{EntryRule, FieldRule, SCHEMA, entry_rule};
pub(crate) use split::split_stretch;
pub use split::{is_date_line, split_entries};
pub use tree::*;
pub use words::{EntryWord, FieldWord};
