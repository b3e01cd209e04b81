//! `foliary incident`: everything about a block between two days, in one bundle.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

use super::choice::{farm_name, unknown};
use super::output::{templates, write};
use super::past::histories;
use super::progress::Progress;
use super::{CLEAN, Failure, print, today};
use crate::documents::{Book, Scope, incident};
use crate::files::load;
use crate::journal::{BlockId, Journal};
use crate::render::{Format, Press};
use crate::season::Season;
use crate::text::escape_hidden;
use crate::{Farm, checks, compile_farm};

/// Gather everything about a block between two days.
///
/// For a spill, drift, burned trees or somebody ill: what was sprayed on the
/// block and on the rest of the farm, the weather, the people, and the
/// journal's own lines. One page to read and print, and the same as Markdown.
///
/// Exit code 0: written; 2: not written.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES, override_usage = USAGE)]
pub(super) struct Incident {
    /// The block, by its name.
    block: String,
    /// Files, or folders with everything under them.
    #[arg(default_value = ".")]
    paths: Vec<PathBuf>,
    /// The first day, as 2026-05-14.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    from: NaiveDate,
    /// The last day.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    to: NaiveDate,
    /// The folder to write to; made if it is not there.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// The farm, by its name, where several have a block of that name.
    #[arg(long, value_name = "NAME")]
    farm: Option<String>,
    /// The day that counts as today; it is printed on the bundle.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    as_of: Option<NaiveDate>,
    /// Leave out what git shows of the records.
    #[arg(long)]
    no_git: bool,
    /// A folder with templates of your own.
    #[arg(long, value_name = "DIR")]
    templates: Option<PathBuf>,
}

/// Broken so that it fits a terminal.
const USAGE: &str = "\
foliary incident [OPTIONS] --from <DAY> --to <DAY> --out <DIR> <BLOCK>
       [PATHS]...";

const EXAMPLES: &str = "\
Examples:
  Everything about a block in ten days, in a folder to hand over:
    foliary incident long-pear --from 2026-05-10 --to 2026-05-20 --out bundle";

impl Incident {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let (from, to) = (self.from, self.to);
        if from > to {
            return Err(Failure::Other(format!("--from {from} is after --to {to}")));
        }
        let templates = templates(self.templates.as_deref())?;
        let progress = Progress::of("Reading the journals");
        let loaded = load(&self.paths)?;
        let journals: Vec<Journal> = loaded
            .farms
            .iter()
            .map(|farm| compile_farm(&loaded.sources, Farm { files: &farm.files, missing: &farm.missing }))
            .collect();
        let (at, block) = self.place(&journals)?;
        let farm = &loaded.farms[at];
        progress.now("Reading what git has of them");
        let histories = histories(&loaded, &journals, !self.no_git);
        let season = Season::new(&journals[at], &loaded.sources, Some(today(self.as_of, &journals[at])))
            .with_shelf(&farm.shelf)
            .with_history(&histories[at]);
        let findings = checks::run(&season);
        let scope = Scope { from: Some(from), to: Some(to), ..Scope::default() };
        let book = Book::new(&season, &findings, &farm.files, &scope);
        let press = Press { templates: &templates, forms: &[Format::Html, Format::Markdown] };
        let name = format!("incident-{}-{from}-{to}", file_part(&journals[at].block(block).named.name));
        let sheet =
            press.sheet(name, "Incident bundle", "incident", &incident(&book, block)).map_err(Failure::other)?;
        let mut said = String::new();
        for (ending, text) in &sheet.forms {
            let path = self.out.join(format!("{}.{ending}", sheet.name));
            write(&path, text)?;
            said.push_str(&format!("{}\n", escape_hidden(&path.display().to_string())));
        }
        drop(progress);
        print(&said)?;
        Ok(CLEAN)
    }

    /// Which farm's block is meant.
    fn place(&self, journals: &[Journal]) -> Result<(usize, BlockId), Failure> {
        let names: Vec<String> = journals.iter().map(farm_name).collect();
        let wanted = |at: &usize| self.farm.as_ref().is_none_or(|farm| names[*at].eq_ignore_ascii_case(farm));
        let farms: Vec<usize> = (0..journals.len()).filter(wanted).collect();
        if let (Some(farm), true) = (&self.farm, farms.is_empty()) {
            return Err(unknown("farm", farm, names.iter().map(String::as_str)));
        }
        let has = |at: usize| {
            let block = journals[at].blocks.iter().position(|block| block.named.name.eq_ignore_ascii_case(&self.block));
            Some((at, BlockId::at(block?)))
        };
        let found: Vec<(usize, BlockId)> = farms.iter().filter_map(|&at| has(at)).collect();
        match found.as_slice() {
            [one] => Ok(*one),
            [] => {
                let known = farms.iter().flat_map(|&at| &journals[at].blocks).map(|block| &*block.named.name);
                Err(unknown("block", &self.block, known))
            }
            several => {
                let farms: Vec<&str> = several.iter().map(|(at, _)| names[*at].as_str()).collect();
                let words = format!(
                    "{} farms have a block {}: {}; say which with --farm",
                    several.len(),
                    self.block,
                    farms.join(", ")
                );
                Err(Failure::Other(escape_hidden(&words).into_owned()))
            }
        }
    }
}

/// A name as a part of a file's: letters, digits and hyphens.
fn file_part(name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|letter| if letter.is_ascii_alphanumeric() { letter.to_ascii_lowercase() } else { '-' })
        .collect();
    let plain = plain.trim_matches('-');
    if plain.is_empty() { "block".to_string() } else { plain.to_string() }
}
