//! The command reference as Markdown: every command and option with its help.

use std::fmt::Write as _;

use clap::{Arg, Command, CommandFactory as _};

use super::Foliary;

/// The command reference. The committed one is `src/command/COMMANDS.md`.
pub fn reference() -> String {
    let mut whole = Foliary::command();
    whole.build();
    let mut text = String::from(
        "# The commands\n\nWritten by the program: `foliary manual` prints this, `foliary COMMAND --help` the part about \
         one command.\n\n",
    );
    text.push_str("| command | what it is for |\n|---|---|\n");
    for command in every_command(&whole) {
        let about = command.get_about().map(ToString::to_string).unwrap_or_default();
        let _ = writeln!(text, "| [`{0}`](#foliary-{0}) | {1} |", command.get_name(), cell(&about));
    }
    text.push_str("\n## With every command\n\n");
    options(&mut text, whole.get_arguments());
    for command in every_command(&whole) {
        chapter(&mut text, command);
    }
    text
}

/// The commands, without the one that prints the help of the others.
pub(super) fn every_command(whole: &Command) -> impl Iterator<Item = &Command> {
    whole.get_subcommands().filter(|command| command.get_name() != "help" && !command.is_hide_set())
}

fn chapter(text: &mut String, command: &Command) {
    let about = command.get_long_about().or_else(|| command.get_about()).map(ToString::to_string).unwrap_or_default();
    let usage = command.clone().render_usage().to_string();
    let usage = usage.trim_start_matches("Usage: ").replace("\n       ", "\n    ");
    let _ = write!(text, "\n## foliary {}\n\n{}\n\n```text\n{usage}\n```\n", command.get_name(), about.trim_end());
    let own = || command.get_arguments().filter(|arg| !arg.is_global_set() && arg.get_id() != "help");
    if own().next().is_some() {
        text.push('\n');
        options(text, own());
    }
    if let Some(examples) = command.get_after_help() {
        let examples = examples.to_string();
        let examples = examples.trim_start_matches("Examples:\n");
        let _ = write!(text, "\n```text\n{}\n```\n", examples.trim_end());
    }
}

fn options<'a>(text: &mut String, options: impl Iterator<Item = &'a Arg>) {
    text.push_str("| option | what it says |\n|---|---|\n");
    for option in options {
        let help = option.get_long_help().or_else(|| option.get_help()).map(ToString::to_string).unwrap_or_default();
        let mut words = cell(&help);
        if !words.ends_with(['.', ':', '?']) {
            words.push('.');
        }
        let takes_value = option.get_action().takes_values();
        let values: Vec<String> = option
            .get_possible_values()
            .iter()
            .filter(|value| takes_value && !value.is_hide_set() && !option.is_hide_possible_values_set())
            .map(|value| match value.get_help() {
                Some(help) => format!("`{}` ({})", value.get_name(), cell(&help.to_string()).trim_end_matches('.')),
                None => format!("`{}`", value.get_name()),
            })
            .collect();
        if !values.is_empty() {
            let _ = write!(words, " One of {}.", values.join(", "));
        }
        let without: Vec<_> = option.get_default_values().iter().map(|value| value.to_string_lossy()).collect();
        if takes_value && !without.is_empty() {
            let _ = write!(words, " Without it: `{}`.", without.join(" "));
        }
        let _ = writeln!(text, "| `{}` | {words} |", spelled(option));
    }
}

/// An option or argument as it is typed.
fn spelled(option: &Arg) -> String {
    if option.is_positional() {
        return option.to_string();
    }
    let short = option.get_short().map(|short| format!("-{short}, ")).unwrap_or_default();
    let long = option.get_long().map(|long| format!("--{long}")).unwrap_or_default();
    let value = option.get_value_names().filter(|_| option.get_action().takes_values());
    let value: String = value.unwrap_or_default().iter().map(|name| format!(" <{name}>")).collect();
    format!("{short}{long}{value}")
}

/// Words on one line, for a table.
fn cell(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ").replace('|', "\\|")
}
