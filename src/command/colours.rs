//! When colours are used: one rule for findings, help and messages.

use std::env;
use std::ffi::OsString;
use std::io::IsTerminal;

use clap::ValueEnum;

/// When to use colours.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Colours {
    /// On a terminal that wants them.
    #[default]
    Auto,
    /// Also into a file or another program.
    Always,
    /// Not at all.
    Never,
}

impl Colours {
    /// As asked for among arguments that could not be read as a whole.
    pub(super) fn among(arguments: &[OsString]) -> Self {
        let words: Vec<&str> = arguments.iter().filter_map(|word| word.to_str()).collect();
        let asked = words.iter().enumerate().find_map(|(at, word)| match word.strip_prefix("--colours")? {
            "" => words.get(at + 1).copied(),
            rest => rest.strip_prefix('='),
        });
        asked.and_then(|word| Self::from_str(word, false).ok()).unwrap_or_default()
    }

    /// Whether what goes to a stream has colours. What is asked for on the command line comes first; then `NO_COLOR` and
    /// `CLICOLOR_FORCE`, where they are set to something; then whether the stream is a terminal that can show them.
    pub(super) fn on(self, stream: &impl IsTerminal) -> bool {
        let set = |name: &str| env::var_os(name).filter(|value| !value.is_empty());
        match self {
            Colours::Always => true,
            Colours::Never => false,
            Colours::Auto if set("NO_COLOR").is_some() => false,
            Colours::Auto if set("CLICOLOR_FORCE").is_some_and(|force| force != "0") => true,
            Colours::Auto => {
                stream.is_terminal() && shows_codes() && set("CLICOLOR").is_none_or(|wanted| wanted != "0")
            }
        }
    }
}

/// Whether the terminal says that it can do more than print letters.
pub(super) fn shows_codes() -> bool {
    env::var_os("TERM").is_none_or(|term| term != "dumb")
}
