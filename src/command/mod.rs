//! The command line: the only place that knows of files, the clock and the terminal.

mod calendar;
mod check;
mod choice;
mod clearance;
mod colours;
mod day;
mod editor;
mod explain;
mod given;
mod import;
mod incident;
mod language;
mod lines;
mod live;
mod manual;
mod mix_sheet;
mod mix_sheet_text;
mod output;
mod pantry;
mod past;
mod plan;
mod plan_text;
mod progress;
mod reference;
mod report;
mod rulebook;
mod shell;
mod start;
mod stock;
mod tidy;
mod trail;
mod which;

use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

use chrono::NaiveDate;
use clap::{Parser, Subcommand};

pub use self::reference::reference;

use self::colours::Colours;
use self::day::day;
use crate::files::LoadError;
use crate::journal::Journal;
use crate::text::escape_hidden;

/// Nothing wrong, or nothing graver than a warning.
const CLEAN: u8 = 0;
/// Findings at error level.
const FOUND: u8 = 1;
/// The command could not do its work.
const FAILED: u8 = 2;

/// Reads a plain-text spray journal, finds its slips and prints its records.
#[derive(Debug, Parser)]
#[command(version, about, long_about = None, max_term_width = 80, arg_required_else_help = true)]
#[command(after_help = EXAMPLES)]
struct Foliary {
    #[command(subcommand)]
    command: Command,
    /// When to use colours: auto, always or never.
    #[arg(long, global = true, value_enum, default_value_t, value_name = "WHEN", hide_possible_values = true)]
    colours: Colours,
}

const EXAMPLES: &str = "\
Examples:
  Begin a journal; it asks a few questions:
    foliary start larkspur-bend

  Look for slips, and say what one of them means:
    foliary check
    foliary explain harvest-in-interval

  What a command does, with examples:
    foliary help plan";

#[derive(Debug, Subcommand)]
enum Command {
    Calendar(calendar::Calendar),
    Check(check::Check),
    Clearance(clearance::Clearance),
    Editor(editor::Editor),
    Explain(explain::Explain),
    Import(import::Import),
    Incident(incident::Incident),
    Language(language::Language),
    Live(live::Live),
    Manual(manual::Manual),
    MixSheet(mix_sheet::MixSheet),
    Pantry(pantry::Pantry),
    Plan(plan::Plan),
    Report(report::Report),
    Rulebook(rulebook::Rulebook),
    Shell(shell::Shell),
    Start(start::Start),
    Stock(stock::Stock),
    Tidy(tidy::Tidy),
    Trail(trail::Trail),
}

/// Runs the command line and gives back its exit code: 0 clean, 1 findings at error level, 2 could not run.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let foliary = match Foliary::try_parse_from(&arguments) {
        Ok(foliary) => foliary,
        Err(error) => {
            let colours = Colours::among(&arguments);
            return ExitCode::from(if error.use_stderr() {
                let _ = tell(&error, colours, io::stderr().lock());
                FAILED
            } else {
                let _ = tell(&error, colours, io::stdout().lock());
                CLEAN
            });
        }
    };
    let done = match foliary.command {
        Command::Calendar(calendar) => calendar.run(),
        Command::Check(check) => check.run(foliary.colours),
        Command::Clearance(clearance) => clearance.run(),
        Command::Editor(editor) => editor.run(),
        Command::Explain(explain) => explain.run(),
        Command::Import(import) => import.run(),
        Command::Incident(incident) => incident.run(),
        Command::Language(language) => language.run(),
        Command::Manual(manual) => manual.run(),
        Command::MixSheet(sheet) => sheet.run(foliary.colours),
        Command::Live(live) => live.run(),
        Command::Pantry(pantry) => pantry.run(),
        Command::Plan(plan) => plan.run(),
        Command::Report(report) => report.run(),
        Command::Rulebook(rulebook) => rulebook.run(),
        Command::Shell(shell) => shell.run(),
        Command::Start(start) => start.run(),
        Command::Stock(stock) => stock.run(),
        Command::Tidy(tidy) => tidy.run(),
        Command::Trail(trail) => trail.run(),
    };
    match done {
        Ok(code) => ExitCode::from(code),
        Err(failure) => {
            let words = failure.to_string();
            let _ = io::stderr().lock().write_all(lines::message("foliary: ", &escape_hidden(&words)).as_bytes());
            ExitCode::from(FAILED)
        }
    }
}

/// Writes the help that was asked for, or what is wrong with the arguments.
fn tell(said: &clap::Error, colours: Colours, mut stream: impl Write + IsTerminal) -> io::Result<()> {
    let words = said.render();
    let coloured = colours.on(&stream);
    let words = if coloured { words.ansi().to_string() } else { words.to_string() };
    // Help is laid out already.
    let words = if said.use_stderr() { lines::message("", &words) } else { words };
    stream.write_all(words.as_bytes())
}

/// Why a command could not do its work.
#[derive(Debug)]
enum Failure {
    Load(LoadError),
    Output(io::Error),
    Other(String),
}

impl std::fmt::Display for Failure {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Failure::Load(error) => write!(out, "{error}"),
            Failure::Output(error) => write!(out, "could not write: {error}"),
            Failure::Other(words) => out.write_str(words),
        }
    }
}

impl Failure {
    /// Anything that says itself what is wrong.
    fn other(error: impl std::fmt::Display) -> Self {
        Failure::Other(error.to_string())
    }
}

impl From<LoadError> for Failure {
    fn from(error: LoadError) -> Self {
        Failure::Load(error)
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Failure::Output(error)
    }
}

/// Writes to standard output in one go. A reader that closed the pipe has seen enough: the command has still done its
/// work, and its exit code says what it found.
fn print(words: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(words.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(error.into()),
        _ => Ok(()),
    }
}

/// Seconds of the common time scale, by the computer's clock.
fn now() -> i64 {
    let passed = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    passed.ok().and_then(|time| i64::try_from(time.as_secs()).ok()).unwrap_or_default()
}

/// The day that counts as today: as given, or by the clock where the farm lies.
fn today(as_of: Option<NaiveDate>, journal: &Journal) -> NaiveDate {
    as_of.unwrap_or_else(|| {
        let now = chrono::DateTime::from_timestamp(now(), 0).unwrap_or_default();
        match journal.farm.as_ref().and_then(|farm| farm.zone) {
            Some(zone) => now.with_timezone(&zone.value).date_naive(),
            None => now.date_naive(),
        }
    })
}
