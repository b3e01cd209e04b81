//! All integration tests, one binary.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]
#![allow(clippy::print_stderr, reason = "a test says what it could not try here")]

mod architecture;
mod checks;
mod command;
mod documents;
mod duty;
mod editor;
mod editors;
mod examples;
mod history;
mod import;
mod job;
mod journal;
mod live;
mod pantry;
mod plan;
mod quantity;
mod report;
mod robust;
mod rulebook;
mod season;
mod syntax;
mod tidy;
mod trade;
