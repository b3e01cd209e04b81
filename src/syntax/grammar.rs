//! The only file that names the grammar's engine and its generated rules, with [`super::read`] and
//! [`super::read_value`], which walk them.

/// The grammar of `grammar/`, compiled in.
#[derive(pest_derive::Parser)]
#[grammar = "../grammar/page.pest"]
#[grammar = "../grammar/values.pest"]
#[grammar = "../grammar/fields.pest"]
pub(super) struct Journal;
