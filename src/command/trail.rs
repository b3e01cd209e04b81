//! `foliary trail`: who entered each record, when, and what was changed since.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use clap::Args;

use super::choice::{chosen, farm_name};
use super::output::{Form, Page, folder_name, formats, templates, write};
use super::past::histories;
use super::progress::Progress;
use super::{CLEAN, FOUND, Failure, print, today};
use crate::documents::{Book, Scope, trail};
use crate::files::load;
use crate::finding::summary_counts;
use crate::journal::Journal;
use crate::render::{Format, Press};
use crate::season::Season;
use crate::text::escape_hidden;
use crate::{Farm, checks, compile_farm};

/// Show who entered each record, when, and what was changed since.
///
/// Read from the git repository around the journals, and from what they say
/// themselves. It shows what the repository holds; it proves nothing.
///
/// Exit code 0: shown; 1: shown, but findings at error level are open;
/// 2: not shown.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Trail {
    /// Files, or folders with everything under them.
    #[arg(default_value = ".")]
    paths: Vec<PathBuf>,
    /// The folder to write files to; without it, Markdown is printed.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// What the files are written as; both without it.
    #[arg(long = "as", value_enum, value_name = "FORM", requires = "out")]
    forms: Vec<Form>,
    /// Only this block, by its name; give it again for more.
    #[arg(long = "block", value_name = "NAME")]
    blocks: Vec<String>,
    /// Only from this day on, as 2026-05-14.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    from: Option<NaiveDate>,
    /// Only up to and with this day.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    to: Option<NaiveDate>,
    /// Only this farm, by its name.
    #[arg(long, value_name = "NAME")]
    farm: Option<String>,
    /// The day that counts as today; it is printed on the document.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    as_of: Option<NaiveDate>,
    /// A folder with templates of your own.
    ///
    /// Those of the same name take the place of the ones that come with
    /// Foliary.
    #[arg(long, value_name = "DIR")]
    templates: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  The records of this folder:
    foliary trail

  Those of one block, since a day, as files:
    foliary trail --block long-pear --from 2026-05-01 --out trail";

impl Trail {
    pub(super) fn run(self) -> Result<u8, Failure> {
        if let (Some(from), Some(to)) = (self.from, self.to)
            && from > to
        {
            return Err(Failure::Other(format!("--from {from} is after --to {to}")));
        }
        let templates = templates(self.templates.as_deref())?;
        let forms = if self.out.is_some() { formats(&self.forms) } else { vec![Format::Markdown] };
        let press = Press { templates: &templates, forms: &forms };
        let progress = Progress::of("Reading the journals");
        let loaded = load(&self.paths)?;
        let journals: Vec<Journal> = loaded
            .farms
            .iter()
            .map(|farm| compile_farm(&loaded.sources, Farm { files: &farm.files, missing: &farm.missing }))
            .collect();
        let chosen = chosen(&journals, self.farm.as_deref(), &self.blocks)?;
        progress.now("Reading what git has of them");
        let histories = histories(&loaded, &journals, true);
        let mut pages = Vec::new();
        let mut folders = BTreeSet::new();
        let mut errors = false;
        for (at, blocks) in chosen {
            let season = Season::new(&journals[at], &loaded.sources, Some(today(self.as_of, &journals[at])))
                .with_shelf(&loaded.farms[at].shelf)
                .with_history(&histories[at]);
            let findings = checks::run(&season);
            errors |= summary_counts(&findings).errors > 0;
            let scope = Scope { blocks, from: self.from, to: self.to, ..Scope::default() };
            let book = Book::new(&season, &findings, &loaded.farms[at].files, &scope);
            let folder = folder_name(&farm_name(&journals[at]), &mut folders);
            let sheet = press.sheet("trail", "Trail of the records", "trail", &trail(&book)).map_err(Failure::other)?;
            let path = |ending| Path::new(&folder).join(format!("trail.{ending}"));
            pages.extend(sheet.forms.into_iter().map(|(ending, text)| Page { path: path(ending), text }));
        }
        let said = match &self.out {
            None => pages.iter().map(|page| page.text.as_str()).collect::<Vec<_>>().join("\n"),
            // Everything is filled in before anything is written: a template that fails leaves the folder as it was.
            Some(out) => {
                let mut said = String::new();
                for page in &pages {
                    let path = out.join(&page.path);
                    write(&path, &page.text)?;
                    said.push_str(&escape_hidden(&path.display().to_string()));
                    said.push('\n');
                }
                said
            }
        };
        drop(progress);
        print(&said)?;
        Ok(if errors { FOUND } else { CLEAN })
    }
}
