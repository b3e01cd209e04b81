//! `foliary language`: the language reference.

use clap::Args;

use super::{CLEAN, Failure, print};
use crate::syntax::reference;

/// Print the language reference: every entry, field and unit, with examples.
///
/// It is Markdown: read it as it stands, or turn it into a page.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Language {}

const EXAMPLES: &str = "\
Examples:
  What a spray can say:
    foliary language | grep -A 30 '^### spray'

  As a file:
    foliary language > language.md";

impl Language {
    pub(super) fn run(self) -> Result<u8, Failure> {
        print(&reference())?;
        Ok(CLEAN)
    }
}
