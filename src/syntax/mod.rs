//! Text in, tree out. Reading never fails and loses nothing: what cannot be placed is kept as a stray line.

mod grammar;
mod read;
mod reference;
mod schema;
mod split;
mod tree;
mod words;

pub(crate) use read::first_word;
pub use read::read_entry;
pub use reference::reference;
pub use schema::{EntryRule, FieldRule, SCHEMA, entry_rule};
pub use split::{is_date_line, split_entries};
pub use tree::*;
pub use words::{EntryWord, FieldWord};
