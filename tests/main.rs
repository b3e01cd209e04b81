//! All integration tests, one binary.

mod checks;
mod quantity;
mod report;
mod season;
