//! `foliary explain`: what a finding means.

use std::fmt::Write as _;

use clap::Args;

use super::lines::{filled, prose};
use super::{CLEAN, Failure, print};
use crate::checks::{CHECKS, check_named};
use crate::journal::nearest_word;

/// Say what a finding means, why it matters, and show it wrong and right.
///
/// Without a name: list them all.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Explain {
    /// The name of a finding, such as harvest-in-interval.
    code: Option<String>,
}

const EXAMPLES: &str = "\
Examples:
  One finding, by the name that stands in its brackets:
    foliary explain harvest-in-interval

  All findings there are:
    foliary explain";

impl Explain {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let Some(code) = self.code else {
            let width = CHECKS.iter().map(|check| check.code.len()).max().unwrap_or_default();
            let mut list = String::new();
            for check in CHECKS {
                let code = format!("{:width$}  ", check.code);
                let _ = writeln!(list, "{}", filled(check.summary, &code, &" ".repeat(width + 2)));
            }
            print(&list)?;
            return Ok(CLEAN);
        };
        match check_named(&code) {
            Some(check) => {
                print(&prose(check.explain))?;
                Ok(CLEAN)
            }
            None => {
                let near = nearest_word(&code, CHECKS.iter().map(|check| check.code));
                let hint = near.map_or_else(
                    || "`foliary explain` lists them all".to_string(),
                    |near| format!("did you mean {near}?"),
                );
                let code = crate::text::escape_hidden(&code);
                Err(Failure::Other(format!("no finding is called {code}; {hint}")))
            }
        }
    }
}
