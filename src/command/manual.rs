//! `foliary manual`: the command reference, and man pages.

use std::path::PathBuf;

use clap::{Args, Command, CommandFactory as _};
use clap_mangen::Man;

use super::output::write;
use super::reference::{every_command, reference};
use super::{CLEAN, Failure, Foliary, print};
use crate::text::escape_hidden;

/// Print the command reference, or write it as man pages.
///
/// The reference is Markdown: read it as it stands, or turn it into a page.
///
/// Exit code 0: printed or written; 2: not written.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Manual {
    /// The folder to write man pages to, one a command; made if it is not
    /// there.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  Every command with its options:
    foliary manual

  Man pages where `man foliary-check` finds them:
    foliary manual --out ~/.local/share/man/man1";

impl Manual {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let Some(out) = self.out else {
            print(&reference())?;
            return Ok(CLEAN);
        };
        let mut whole = Foliary::command();
        whole.build();
        let mut said = String::new();
        let commands: Vec<Command> = every_command(&whole).cloned().collect();
        for command in std::iter::once(whole).chain(commands) {
            let (name, text) = page(command)?;
            let path = out.join(name);
            write(&path, &text)?;
            said.push_str(&format!("{}\n", escape_hidden(&path.display().to_string())));
        }
        print(&said)?;
        Ok(CLEAN)
    }
}

/// A man page, and the name of its file.
fn page(command: Command) -> Result<(String, String), Failure> {
    // The man page has a heading of its own for them.
    let examples = command.get_after_help().map(|help| help.to_string().replacen("Examples:\n", "", 1));
    let command = match examples {
        Some(examples) => command.after_help(examples),
        None => command,
    };
    let man = Man::new(command).source(concat!("Foliary ", env!("CARGO_PKG_VERSION"))).manual("Foliary");
    let mut page = Vec::new();
    man.render(&mut page)?;
    let text = String::from_utf8_lossy(&page).replace(".SH EXTRA", ".SH EXAMPLES");
    Ok((man.get_filename(), text))
}
