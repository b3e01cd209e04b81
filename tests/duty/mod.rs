//! What rulebooks ask of a spray, worked out for checks and documents.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod exclusion;
