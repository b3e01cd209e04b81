//! The command line: the only place that knows of files, the clock and the terminal.

mod calendar;
mod check;
mod choice;
mod clearance;
mod editor;
mod explain;
mod given;
mod incident;
mod language;
mod mix_sheet;
mod mix_sheet_text;
mod output;
mod pantry;
mod past;
mod plan;
mod plan_text;
mod report;
mod rulebook;
mod stock;
mod tidy;
mod trail;
mod which;

use std::ffi::OsString;
use std::io::{self, Write};
use std::process::ExitCode;

use chrono::NaiveDate;
use clap::{Parser, Subcommand};

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
struct Foliary {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Calendar(calendar::Calendar),
    Check(check::Check),
    Clearance(clearance::Clearance),
    Editor(editor::Editor),
    Explain(explain::Explain),
    Incident(incident::Incident),
    Language(language::Language),
    MixSheet(mix_sheet::MixSheet),
    Pantry(pantry::Pantry),
    Plan(plan::Plan),
    Report(report::Report),
    Rulebook(rulebook::Rulebook),
    Stock(stock::Stock),
    Tidy(tidy::Tidy),
    Trail(trail::Trail),
}

/// Runs the command line and gives back its exit code: 0 clean, 1 findings at error level, 2 could not run.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let foliary = match Foliary::try_parse_from(arguments) {
        Ok(foliary) => foliary,
        Err(error) => {
            let wanted = !error.use_stderr();
            let _ = error.print();
            return ExitCode::from(if wanted { CLEAN } else { FAILED });
        }
    };
    let done = match foliary.command {
        Command::Calendar(calendar) => calendar.run(),
        Command::Check(check) => check.run(),
        Command::Clearance(clearance) => clearance.run(),
        Command::Editor(editor) => editor.run(),
        Command::Explain(explain) => explain.run(),
        Command::Incident(incident) => incident.run(),
        Command::Language(language) => language.run(),
        Command::MixSheet(sheet) => sheet.run(),
        Command::Pantry(pantry) => pantry.run(),
        Command::Plan(plan) => plan.run(),
        Command::Report(report) => report.run(),
        Command::Rulebook(rulebook) => rulebook.run(),
        Command::Stock(stock) => stock.run(),
        Command::Tidy(tidy) => tidy.run(),
        Command::Trail(trail) => trail.run(),
    };
    match done {
        Ok(code) => ExitCode::from(code),
        Err(failure) => {
            let words = failure.to_string();
            let _ = writeln!(io::stderr().lock(), "foliary: {}", escape_hidden(&words));
            ExitCode::from(FAILED)
        }
    }
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

/// A day as the journal writes it.
fn day(words: &str) -> Result<NaiveDate, String> {
    words.parse().map_err(|_| "a day is written year-month-day, as 2026-05-14".to_string())
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
