//! Bytes in, spans out: the files of a journal as one address space of text.
//!
//! A [`Span`] is two `u32`, so every fact can carry where it was written at little cost. Line and column are worked
//! out only at the edge, when a finding or a document is printed.

mod hidden;
mod sources;

pub use hidden::{Hidden, escape_hidden, hidden_characters, is_hidden};
pub use sources::{Place, Source, SourceId, Sources, SourcesError, Span};
