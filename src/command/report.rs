//! `foliary report`: documents.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser};

use super::choice::unknown;
use super::choice::{chosen, farm_name};
use super::output::{Form, Page, folder_name, formats, templates, write};
use super::past::histories;
use super::progress::Progress;
use super::{CLEAN, FOUND, Failure, print, today};
use crate::documents::{Book, FarmCard, Link, Scope, index};
use crate::files::load;
use crate::journal::{BlockId, Journal, MaterialId};
use crate::render::{DOCUMENTS, Press};
use crate::season::Season;
use crate::text::{Sources, escape_hidden};
use crate::{Farm, checks, compile_farm};

/// Write the documents of a season.
///
/// The documents of each farm are written into a folder of its own, with an
/// index that leads to them.
///
/// Exit code 0: written; 1: written, but findings at error level are open;
/// 2: not written.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Report {
    /// Files, or folders with everything under them.
    #[arg(default_value = ".")]
    paths: Vec<PathBuf>,
    /// The folder to write to; made if it is not there.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Which document; give it again for more. Without it: all.
    #[arg(long = "document", value_parser = document_words(), value_name = "DOCUMENT")]
    documents: Vec<String>,
    /// What it is written as; both without it.
    #[arg(long = "as", value_enum, value_name = "FORM")]
    forms: Vec<Form>,
    /// Only this block, by its name; give it again for more.
    #[arg(long = "block", value_name = "NAME")]
    blocks: Vec<String>,
    /// Only picks of this lot, in the audit binder; give it again for more.
    #[arg(long = "lot", value_name = "LOT")]
    lots: Vec<String>,
    /// Only this material, in the audit binder and the input list.
    ///
    /// By its name; give it again for more.
    #[arg(long = "material", value_name = "NAME")]
    materials: Vec<String>,
    /// Only from this day on, as 2026-05-14.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    from: Option<NaiveDate>,
    /// Only up to and with this day.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    to: Option<NaiveDate>,
    /// Only this farm, by its name.
    #[arg(long, value_name = "NAME")]
    farm: Option<String>,
    /// The day that counts as today; it is printed on the documents.
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
  All documents, into the folder `records`:
    foliary report --out records

  The records of one block in spring, as web pages:
    foliary report --out records --document records --as html \\
      --block long-pear --from 2026-03-01 --to 2026-05-31";

/// The documents that can be asked for, each with what it is.
fn document_words() -> PossibleValuesParser {
    PossibleValuesParser::new(DOCUMENTS.iter().map(|kind| PossibleValue::new(kind.word).help(kind.about)))
}

impl Report {
    pub(super) fn run(self) -> Result<u8, Failure> {
        if let (Some(from), Some(to)) = (self.from, self.to)
            && from > to
        {
            return Err(Failure::Other(format!("--from {from} is after --to {to}")));
        }
        let templates = templates(self.templates.as_deref())?;
        let forms = formats(&self.forms);
        let press = Press { templates: &templates, forms: &forms };
        let progress = Progress::of("Reading the journals");
        let loaded = load(&self.paths)?;
        let journals: Vec<Journal> = loaded
            .farms
            .iter()
            .map(|farm| compile_farm(&loaded.sources, Farm { files: &farm.files, missing: &farm.missing }))
            .collect();
        progress.now("Reading what git has of them");
        let histories = histories(&loaded, &journals, !self.no_git);
        let chosen = chosen(&journals, self.farm.as_deref(), &self.blocks)?;
        self.known_lots_and_materials(&journals, &chosen, &loaded.sources)?;
        let mut pages = Vec::new();
        let mut cards = Vec::new();
        let mut folders = BTreeSet::new();
        for (at, blocks) in chosen {
            progress.now(&format!("Checking {}", farm_name(&journals[at])));
            let season = Season::new(&journals[at], &loaded.sources, Some(today(self.as_of, &journals[at])))
                .with_shelf(&loaded.farms[at].shelf)
                .with_history(&histories[at]);
            let findings = checks::run(&season);
            let scope = Scope {
                blocks,
                from: self.from,
                to: self.to,
                lots: self.lots.iter().map(|lot| lot.trim().to_lowercase()).collect(),
                materials: self.materials_of(&journals[at]),
            };
            progress.now(&format!("Filling in the documents of {}", farm_name(&journals[at])));
            let book = Book::new(&season, &findings, &loaded.farms[at].files, &scope);
            let folder = folder_name(&farm_name(&journals[at]), &mut folders);
            let links = self.documents(&book, &press, &folder, &mut pages)?;
            cards.push(FarmCard::new(&book, links));
        }
        let errors = cards.iter().any(|card| card.head.counts.errors > 0);
        let view = index(cards);
        let view = press.sheet("index", "Index", "index", &view).map_err(Failure::other)?;
        pages.extend(
            view.forms.into_iter().map(|(ending, text)| Page { path: PathBuf::from(format!("index.{ending}")), text }),
        );
        // Everything is filled in before anything is written: a template that fails leaves the folder as it was.
        for (at, page) in (1..).zip(&pages) {
            progress.now(&format!("Writing file {at} of {}", pages.len()));
            write(&self.out.join(&page.path), &page.text)?;
        }
        drop(progress);
        let index = self.out.join(format!("index.{}", forms[0].ending()));
        print(&format!("{}\n", escape_hidden(&index.display().to_string())))?;
        Ok(if errors { FOUND } else { CLEAN })
    }

    fn documents(
        &self,
        book: &Book<'_>,
        press: &Press<'_>,
        folder: &str,
        pages: &mut Vec<Page>,
    ) -> Result<Vec<Link>, Failure> {
        let mut links = Vec::new();
        for kind in DOCUMENTS
            .iter()
            .filter(|kind| self.documents.is_empty() || self.documents.iter().any(|word| word == kind.word))
        {
            for sheet in (kind.print)(book, press).map_err(Failure::other)? {
                let endings = sheet.forms.iter().map(|(ending, _)| *ending).collect();
                links.push(Link { title: sheet.title, path: format!("{folder}/{}", sheet.name), endings });
                let path = |ending| Path::new(folder).join(format!("{}.{ending}", sheet.name));
                pages.extend(sheet.forms.into_iter().map(|(ending, text)| Page { path: path(ending), text }));
            }
        }
        Ok(links)
    }

    /// Lots and materials that no chosen farm has are a slip of the pen.
    fn known_lots_and_materials(
        &self,
        journals: &[Journal],
        chosen: &[(usize, Vec<BlockId>)],
        sources: &Sources,
    ) -> Result<(), Failure> {
        let journals = || chosen.iter().map(|(at, _)| &journals[*at]);
        for wanted in &self.materials {
            let known = journals().flat_map(|journal| &journal.materials).map(|material| &*material.named.name);
            if !known.clone().any(|name| name.eq_ignore_ascii_case(wanted)) {
                return Err(unknown("material", wanted, known));
            }
        }
        for wanted in &self.lots {
            let lots = journals().flat_map(|journal| &journal.harvests).filter_map(|pick| pick.lot);
            let known = lots.map(|lot| sources.slice(lot).trim());
            if !known.clone().any(|lot| lot.to_lowercase() == wanted.trim().to_lowercase()) {
                return Err(unknown("lot", wanted, known));
            }
        }
        Ok(())
    }

    fn materials_of(&self, journal: &Journal) -> Vec<MaterialId> {
        let wanted = |name: &str| self.materials.iter().any(|wanted| name.eq_ignore_ascii_case(wanted));
        let all = journal.materials.iter().enumerate();
        all.filter(|(_, material)| wanted(&material.named.name)).map(|(at, _)| MaterialId::at(at)).collect()
    }
}
