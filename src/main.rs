//! The `foliary` command.
#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    foliary::command::run(std::env::args_os())
}
