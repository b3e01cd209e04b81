//! All integration tests, one binary.

mod checks;
mod documents;
mod quantity;
mod report;
