//! `foliary explain`: what a finding means.

use std::fmt::Write as _;

use clap::Args;

use super::{CLEAN, Failure, print};
use crate::checks::{CHECKS, check_named};
use crate::journal::nearest_word;

/// Say what a finding means, why it matters, and show it wrong and right.
///
/// Without a name: list them all.
#[derive(Debug, Args)]
pub(super) struct Explain {
    /// The name of a finding, such as harvest-in-interval.
    code: Option<String>,
}

impl Explain {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let Some(code) = self.code else {
            let width = CHECKS.iter().map(|check| check.code.len()).max().unwrap_or_default();
            let mut list = String::new();
            for check in CHECKS {
                let _ = writeln!(list, "{:width$}  {}", check.code, check.summary);
            }
            print(&list)?;
            return Ok(CLEAN);
        };
        match check_named(&code) {
            Some(check) => {
                print(check.explain)?;
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
