//! `foliary check`: findings.

use std::io;
use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

use super::choice::farm_name;
use super::colours::Colours;
use super::past::histories;
use super::progress::Progress;
use super::{CLEAN, FOUND, Failure, print, today};
use crate::checks::{self, CHECKS};
use crate::files::load;
use crate::finding::{Finding, summary_counts};
use crate::journal::Journal;
use crate::report::{Format, Options, RuleText, render};
use crate::season::Season;
use crate::{Farm, compile_farm};

/// Look for slips in the journals.
///
/// Exit code 0: nothing graver than a warning; 1: at least one error;
/// 2: the journals could not be read.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Check {
    /// Files, or folders with everything under them.
    #[arg(default_value = ".")]
    paths: Vec<PathBuf>,
    /// The day that counts as today, as 2026-05-14.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    as_of: Option<NaiveDate>,
    /// How findings are written.
    #[arg(long, default_value = "page", value_name = "FORMAT")]
    format: Format,
    /// Show findings that the journal accepts, too.
    #[arg(long)]
    accepted: bool,
    /// Leave out what git shows of the records' changes.
    #[arg(long)]
    no_git: bool,
}

const EXAMPLES: &str = "\
Examples:
  The journals of this folder:
    foliary check

  As it was on a day, one line a finding, which editors turn into links:
    foliary check --as-of 2026-05-20 --format line

  For a code-scanning service:
    foliary check --format sarif > findings.sarif";

impl Check {
    pub(super) fn run(self, colours: Colours) -> Result<u8, Failure> {
        let progress = match self.format {
            Format::Page | Format::Line => Progress::of("Reading the journals"),
            Format::Json | Format::Sarif => Progress::hidden(),
        };
        let loaded = load(&self.paths)?;
        let mut findings = Vec::new();
        let journals: Vec<Journal> = loaded
            .farms
            .iter()
            .map(|farm| compile_farm(&loaded.sources, Farm { files: &farm.files, missing: &farm.missing }))
            .collect();
        progress.now("Reading what git has of them");
        let histories = histories(&loaded, &journals, !self.no_git);
        for ((farm, journal), history) in loaded.farms.iter().zip(&journals).zip(&histories) {
            progress.now(&format!("Checking {}", farm_name(journal)));
            let season = Season::new(journal, &loaded.sources, Some(today(self.as_of, journal)))
                .with_shelf(&farm.shelf)
                .with_history(history);
            findings.extend(checks::run(&season));
        }
        // A shared folder is looked over once for every farm that uses it; its own slips are told once.
        findings.sort_by(|one, other| {
            let key = |finding: &Finding| (finding.span().start, finding.span().end, finding.code);
            key(one).cmp(&key(other)).then_with(|| one.headline.cmp(&other.headline))
        });
        findings.dedup();
        let rules: Vec<RuleText<'_>> = CHECKS
            .iter()
            .map(|check| RuleText {
                code: check.code,
                summary: check.summary,
                explain: check.explain,
                level: check.level,
            })
            .collect();
        let colours = colours.on(&io::stdout());
        let options = Options { colours, show_accepted: self.accepted, rules: &rules };
        drop(progress);
        print(&render(self.format, &findings, &loaded.sources, options))?;
        Ok(if summary_counts(&findings).errors > 0 { FOUND } else { CLEAN })
    }
}
