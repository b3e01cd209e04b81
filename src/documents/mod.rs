//! Season and findings to documents: one file a document, each a plain view model that knows nothing of HTML. Only views
//! are serialised, never the model, so that a template has a small vocabulary that stays the same.

mod amended;
mod assumed;
mod book;
mod cautions;
mod digest;
mod elements;
mod findings;
mod flowering;
mod harvests;
mod head;
mod index;
mod limits;
mod notes;
mod observations;
mod opening;
mod own_units;
mod picture;
mod postings;
mod record;
mod record_parts;
mod records;
mod rounds;
mod rows;
mod scope;
mod series;
mod shares;
mod shed;
mod strip;
mod summary;
mod totals;
mod wilson;
mod words;

pub use amended::{Amended, Piece};
pub use book::Book;
pub use digest::Digest;
pub use head::Head;
pub use index::{FarmCard, Index, Link, index};
pub use record::Record;
pub use records::{Records, records};
pub use scope::Scope;
pub use summary::{Summary, summary};
pub use wilson::wilson;
