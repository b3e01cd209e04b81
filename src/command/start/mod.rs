//! `foliary start`: the first files of a journal.

mod ask;
mod hook;
mod journal;
mod place;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use chrono_tz::Tz;
use clap::{Args, ValueEnum};

use self::journal::{BlockAsked, FirstJournal};
use self::place::{NewFile, place};
use super::lines::filled;
use super::{CLEAN, Failure, now, print};
use crate::text::escape_hidden;

/// Write a small journal to begin with.
///
/// Asks for what it is not given by an option: the farm, its time zone and
/// units, its blocks, and who sprays. Writes the farm's entry, a first page, a
/// git ignore file, and a git hook that runs the checks before each commit.
/// Materials stand in it as examples to fill in: their rates and intervals
/// come from the label alone.
///
/// Nothing is written where a file of it is there already.
///
/// Exit code 0: written; 2: nothing was written.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Start {
    /// The folder of the journal; made if it is not there.
    #[arg(default_value = ".")]
    folder: PathBuf,
    /// The farm's name, as "Larkspur Bend".
    #[arg(long, value_name = "NAME", value_parser = journal::plain)]
    farm: Option<String>,
    /// The farm's time zone, as America/Boise.
    #[arg(long, value_name = "ZONE", value_parser = journal::zone)]
    timezone: Option<Tz>,
    /// Which units are printed first; each line can have its own.
    #[arg(long, value_enum, ignore_case = true)]
    units: Option<Units>,
    /// A block: name, crop and area, as "Creek pears, pear, 1.2 acre";
    /// give it again for more.
    #[arg(long = "block", value_name = "BLOCK", value_parser = journal::block)]
    blocks: Vec<BlockAsked>,
    /// The full name of somebody who sprays; give it again for more.
    #[arg(long = "person", value_name = "NAME", value_parser = journal::person)]
    people: Vec<String>,
    /// Write no git ignore file.
    #[arg(long)]
    no_ignore_file: bool,
    /// Write no git hook.
    #[arg(long)]
    no_hook: bool,
    /// The day of the first page, as 2026-05-14; today without it.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    as_of: Option<NaiveDate>,
}

const EXAMPLES: &str = "\
Examples:
  Answer a few questions, for a journal in a new folder:
    foliary start larkspur-bend

  Without a question:
    foliary start larkspur-bend --farm \"Larkspur Bend\" \\
      --timezone America/Boise --units US \\
      --block \"Creek pears, pear, 1.2 acre\" --person \"Tansy Marsh\"";

/// The units that a farm prints first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Units {
    /// Gallons, ounces, acres.
    #[value(name = "US")]
    Us,
    /// Imperial gallons, ounces, acres.
    #[value(name = "imperial")]
    Imperial,
    /// Litres, grams, hectares.
    #[value(name = "metric")]
    Metric,
}

impl Units {
    /// As the journal writes it.
    const fn word(self) -> &'static str {
        match self {
            Units::Us => "US",
            Units::Imperial => "imperial",
            Units::Metric => "metric",
        }
    }
}

impl Start {
    pub(super) fn run(self) -> Result<u8, Failure> {
        // Before the first question: no answer is asked for in vain.
        place::refuse_journal(&self.folder)?;
        let (folder, as_of) = (self.folder.clone(), self.as_of);
        let (ignore_file, hook) = (!self.no_ignore_file, !self.no_hook);
        let asked = ask::answers(self)?;
        let day = as_of.unwrap_or_else(|| {
            let now = chrono::DateTime::from_timestamp(now(), 0).unwrap_or_default();
            now.with_timezone(&asked.zone).date_naive()
        });
        let first = FirstJournal::new(&asked, day);
        first.judge().map_err(Failure::Other)?;
        let mut files = vec![
            NewFile::text(folder.join("farm.spray"), first.farm, "the farm, its blocks and people"),
            NewFile::text(folder.join(&first.page_name), first.page, "the first page, for what is done from today on"),
        ];
        if ignore_file {
            let text = journal::IGNORE_FILE.to_string();
            files.push(NewFile::text(folder.join(".gitignore"), text, "keeps what Foliary writes out of git"));
        }
        let mut steps = vec![
            "Copy a material from its label into farm.spray: the example in it shows how.".to_string(),
            format!("Write down what you do in {}, and run `foliary check`.", first.page_name),
        ];
        if hook {
            let hook = hook::of(&folder)?;
            files.push(hook.file);
            steps.extend(hook.steps);
        }
        place(&files)?;
        print(&told(&files, &steps, &folder))?;
        Ok(CLEAN)
    }
}

/// What was written, and what to do next.
fn told(files: &[NewFile], steps: &[String], folder: &Path) -> String {
    let whole = folder.canonicalize().unwrap_or_default();
    let shown = |path: &Path| {
        let short = path.strip_prefix(folder).or_else(|_| path.strip_prefix(&whole)).unwrap_or(path);
        escape_hidden(&short.display().to_string()).into_owned()
    };
    let wide = files.iter().map(|file| shown(&file.path).chars().count()).max().unwrap_or_default();
    let mut text = format!("Written in {}:\n", escape_hidden(&folder.display().to_string()));
    for file in files {
        let path = shown(&file.path);
        // A long path has its purpose in the line below.
        let line = match wide {
            0..=30 => format!("  {path:<wide$}  {}\n", file.about),
            _ => format!("  {path}\n      {}\n", file.about),
        };
        text.push_str(&line);
    }
    text.push_str("\nNext:\n");
    for (number, step) in (1..).zip(steps) {
        let first = format!("  {number}. ");
        text.push_str(&filled(&escape_hidden(step), &first, "     "));
        text.push('\n');
    }
    text
}
