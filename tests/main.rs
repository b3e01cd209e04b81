//! All integration tests, one binary.

mod report;
