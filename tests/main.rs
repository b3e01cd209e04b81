//! All integration tests, one binary.

mod checks;
mod journal;
mod quantity;
mod report;
mod syntax;
