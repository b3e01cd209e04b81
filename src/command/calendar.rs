//! `foliary calendar`: what is ahead, for the calendar on a telephone.

use std::fmt::Write as _;

use chrono::NaiveDate;
use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser};

use super::given::Given;
use super::which::Which;
use super::{CLEAN, Failure, now};
use crate::checks;
use crate::documents::{Book, Calendar as View, EventKind, Scope, calendar};
use crate::plan::{Request, plan};
use crate::render::{columns, ical};
use crate::season::Season;

/// Write what is ahead into a calendar file.
///
/// Rounds due, when people may go in and pick again, signs and sheets,
/// batches, calibrations, licences: an iCalendar file, which calendar
/// programs read. Reading a later file in again moves what changed.
///
/// Exit code 0: written; 2: not written.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Calendar {
    #[command(flatten)]
    which: Which,
    /// Only what is on this day or later, as 2026-05-14.
    ///
    /// Without it: from two weeks ago on.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    from: Option<NaiveDate>,
    /// Only up to and with this day.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    to: Option<NaiveDate>,
    /// Only this kind; give it again for more.
    #[arg(long = "kind", value_name = "KIND", value_parser = kind_words())]
    kinds: Vec<String>,
    #[command(flatten)]
    given: Given,
}

const EXAMPLES: &str = "\
Examples:
  What is ahead, as a file for the calendar program:
    foliary calendar --out farm.ics

  The rounds and picks of a month, in the terminal:
    foliary calendar --from 2026-05-01 --to 2026-05-31 \\
      --kind round --kind picking --as terminal";

/// The kinds that can be asked for, each with what it is.
fn kind_words() -> PossibleValuesParser {
    PossibleValuesParser::new(EventKind::ALL.iter().map(|kind| PossibleValue::new(kind.word()).help(kind.name())))
}

impl Calendar {
    pub(super) fn run(self) -> Result<u8, Failure> {
        if let (Some(from), Some(to)) = (self.from, self.to)
            && from > to
        {
            return Err(Failure::Other(format!("--from {from} is after --to {to}")));
        }
        let (opened, at) = self.which.open_one()?;
        let (journal, farm) = (&opened.journals[at], &opened.loaded.farms[at]);
        let today = self.which.today(journal);
        let season = Season::new(journal, &opened.loaded.sources, Some(today)).with_shelf(&farm.shelf);
        let findings = checks::run(&season);
        let scope = Scope { from: self.from, to: self.to, ..Scope::default() };
        let book = Book::new(&season, &findings, &farm.files, &scope);
        let kinds: Vec<EventKind> =
            EventKind::ALL.iter().copied().filter(|kind| self.kinds.iter().any(|word| word == kind.word())).collect();
        let request = Request { until: self.to, ..Request::all(today) };
        let planned = plan(&season, &farm.files, &request).map_err(|_| {
            Failure::Other("the journals and what is planned are larger together than 4 GiB".to_string())
        })?;
        let view = calendar(&book, Some(&planned), &kinds);
        if self.given.is_for("ics") {
            let moment = if self.which.as_of().is_none() { Some(now()) } else { None };
            self.given.put(&ical(&view, moment))?;
        } else {
            self.given.give("calendar", &view, terminal)?;
        }
        Ok(CLEAN)
    }
}

/// The weeks as tables, and what is not in them.
fn terminal(view: &View) -> String {
    let mut text = format!("{}: calendar {}\n", view.head.farm, view.days);
    if let Some(banner) = &view.head.banner {
        let _ = writeln!(text, "\n{banner}");
    }
    for week in &view.weeks {
        let row = |event: &crate::documents::Event| {
            let state = if matches!(event.state, "to come" | "past") { String::new() } else { event.state.to_string() };
            vec![event.when.clone(), event.title.clone(), state]
        };
        let rows: Vec<Vec<String>> = week.events.iter().map(row).collect();
        let _ = write!(text, "\n{}\n{}", week.title, columns(&["When", "What", "State"], &rows));
    }
    if view.weeks.is_empty() {
        text.push_str("\nNothing that the journal says is on these days.\n");
    }
    for line in &view.unknown {
        let _ = writeln!(text, "\n{line}");
    }
    text.push_str("\nThe product label and local law come first.\n");
    text
}
