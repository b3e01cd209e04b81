//! `foliary shell`: completions.

use clap::{Args, CommandFactory as _};

use super::{CLEAN, Failure, Foliary, print};

/// Print what lets your shell complete commands, options and their values.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Shell {
    /// Which shell.
    shell: clap_complete::Shell,
}

const EXAMPLES: &str = "\
Examples:
  For bash, from the next start on:
    echo 'eval \"$(foliary shell bash)\"' >> ~/.bashrc

  For zsh, behind the line with `compinit`:
    echo 'eval \"$(foliary shell zsh)\"' >> ~/.zshrc

  For fish:
    foliary shell fish > ~/.config/fish/completions/foliary.fish";

impl Shell {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let mut script = Vec::new();
        clap_complete::generate(self.shell, &mut Foliary::command(), "foliary", &mut script);
        print(&String::from_utf8_lossy(&script))?;
        Ok(CLEAN)
    }
}
