//! Which journals a command is about, and which day counts as today.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

use super::choice::chosen;
use super::progress::Progress;
use super::{Failure, today};
use crate::files::{Loaded, load};
use crate::journal::Journal;
use crate::{Farm, compile_farm};

/// Which journals a command is about.
#[derive(Debug, Args)]
pub(super) struct Which {
    /// Files, or folders with everything under them.
    #[arg(default_value = ".")]
    paths: Vec<PathBuf>,
    /// Only this farm, by its name.
    #[arg(long, value_name = "NAME")]
    farm: Option<String>,
    /// The day that counts as today, as 2026-05-14.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    as_of: Option<NaiveDate>,
}

/// The journals that were read.
pub(super) struct Opened {
    /// All that was read.
    pub(super) loaded: Loaded,
    /// The journal of every farm that was read, in the order of `loaded.farms`.
    pub(super) journals: Vec<Journal>,
    /// Which of them the command is about.
    pub(super) chosen: Vec<usize>,
}

impl Which {
    /// Reads the journals.
    pub(super) fn open(&self) -> Result<Opened, Failure> {
        let _shown_until_read = Progress::of("Reading the journals");
        let loaded = load(&self.paths)?;
        let journals: Vec<Journal> = loaded
            .farms
            .iter()
            .map(|farm| compile_farm(&loaded.sources, Farm { files: &farm.files, missing: &farm.missing }))
            .collect();
        let chosen = chosen(&journals, self.farm.as_deref(), &[])?.into_iter().map(|(at, _)| at).collect();
        Ok(Opened { loaded, journals, chosen })
    }

    /// Reads the journals where the command can be about one farm only.
    pub(super) fn open_one(&self) -> Result<(Opened, usize), Failure> {
        let opened = self.open()?;
        match opened.chosen[..] {
            [one] => Ok((opened, one)),
            _ => {
                let names: Vec<String> =
                    opened.chosen.iter().map(|&at| super::choice::farm_name(&opened.journals[at])).collect();
                Err(Failure::Other(format!(
                    "there are several farms here; say which with --farm: {}",
                    names.join(", ")
                )))
            }
        }
    }

    /// The day that was given as today, if one was.
    pub(super) fn as_of(&self) -> Option<NaiveDate> {
        self.as_of
    }

    /// The day that counts as today.
    pub(super) fn today(&self, journal: &Journal) -> NaiveDate {
        today(self.as_of, journal)
    }
}
