//! Trees understood: which troubles a page raises, and that the order of entries and files changes nothing.

mod order;
mod troubles;
