//! `foliary live`: the journals as pages that follow the files.

use std::collections::BTreeSet;
use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

use super::choice::farm_name;
use super::output::{folder_name, templates};
use super::past::histories;
use super::{CLEAN, Failure, now, print, today};
use crate::files::load;
use crate::journal::Journal;
use crate::live::{Journals, Reading, ServeError, serve};
use crate::season::{Moment, Season};
use crate::{Farm, compile_farm};

/// Show the journals as pages in the browser of this computer, which follow
/// the files while you write.
///
/// Findings beside their lines, the clearance board, and every document. Open
/// the address that is printed. Other computers cannot reach the pages, and
/// nothing can be changed by them. Ctrl-C ends it.
///
/// Exit code 0: ended by you; 2: the journals could not be read, or the port
/// is taken.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Live {
    /// Files, or folders with everything under them.
    #[arg(default_value = ".")]
    paths: Vec<PathBuf>,
    /// The port of the address; a free one without it.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..))]
    port: Option<u16>,
    /// The day that counts as today, as 2026-05-14.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    as_of: Option<NaiveDate>,
    /// Leave out what git shows of the records' changes.
    #[arg(long)]
    no_git: bool,
    /// A folder with templates of your own.
    ///
    /// Those of the same name take the place of the ones that come with
    /// Foliary.
    #[arg(long, value_name = "DIR")]
    templates: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  The journals of this folder:
    foliary live

  Always at the same address:
    foliary live --port 4400";

impl Live {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let templates = templates(self.templates.as_deref())?;
        let port = self.port;
        let ready = |address: std::net::SocketAddr| {
            print(&format!("http://{address}/\n")).map_err(|failure| match failure {
                Failure::Output(error) => error,
                other => std::io::Error::other(other.to_string()),
            })
        };
        serve(self, templates, port, ready).map_err(|error| match error {
            ServeError::Read(why) => Failure::Other(why),
            other => Failure::other(other),
        })?;
        Ok(CLEAN)
    }
}

impl Journals for Live {
    fn paths(&self) -> &[PathBuf] {
        &self.paths
    }

    fn read(&self) -> Result<Reading, String> {
        let loaded = load(&self.paths).map_err(|error| error.to_string())?;
        let journals: Vec<Journal> = loaded
            .farms
            .iter()
            .map(|farm| compile_farm(&loaded.sources, Farm { files: &farm.files, missing: &farm.missing }))
            .collect();
        let histories = histories(&loaded, &journals, !self.no_git);
        let mut taken = BTreeSet::new();
        let names = journals.iter().map(|journal| folder_name(&farm_name(journal), &mut taken)).collect();
        Ok(Reading { loaded, journals, histories, names })
    }

    fn today(&self, journal: &Journal) -> NaiveDate {
        today(self.as_of, journal)
    }

    fn now(&self, season: &Season<'_>) -> Moment {
        self.as_of.map_or_else(|| season.zone.at(now()), |day| season.zone.start_of(day))
    }
}
