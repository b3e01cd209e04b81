//! Law as dated data: every shipped rulebook can be read, and every rule that it holds is tested by being there.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod command;
mod complete;
mod data;
mod dated;
mod own;
mod shipped;
