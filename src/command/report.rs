//! `foliary report`: documents.

use std::collections::BTreeSet;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use clap::builder::{PossibleValue, PossibleValuesParser};
use clap::{Args, ValueEnum};

use super::{CLEAN, FOUND, Failure, load, print, today};
use crate::documents::{Book, FarmCard, Link, Scope, index};
use crate::journal::{BlockId, Journal, MaterialId, nearest_word};
use crate::render::{DOCUMENTS, Format, Press, Templates};
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
    /// A folder with templates of your own.
    ///
    /// Those of the same name take the place of the ones that come with
    /// Foliary.
    #[arg(long, value_name = "DIR")]
    templates: Option<PathBuf>,
}

/// The documents that can be asked for, each with what it is.
fn document_words() -> PossibleValuesParser {
    PossibleValuesParser::new(DOCUMENTS.iter().map(|kind| PossibleValue::new(kind.word).help(kind.about)))
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Form {
    Html,
    Markdown,
}

/// A file that is ready to be written.
struct Page {
    path: PathBuf,
    text: String,
}

impl Report {
    pub(super) fn run(self) -> Result<u8, Failure> {
        if let (Some(from), Some(to)) = (self.from, self.to)
            && from > to
        {
            return Err(Failure::Other(format!("--from {from} is after --to {to}")));
        }
        let templates = templates(self.templates.as_deref())?;
        let forms = self.forms();
        let press = Press { templates: &templates, forms: &forms };
        let loaded = load(&self.paths)?;
        let as_of = today(self.as_of);
        let journals: Vec<Journal> = loaded
            .farms
            .iter()
            .map(|farm| compile_farm(&loaded.sources, Farm { files: &farm.files, missing: &farm.missing }))
            .collect();
        let chosen = self.chosen(&journals)?;
        self.known_lots_and_materials(&journals, &chosen, &loaded.sources)?;
        let mut pages = Vec::new();
        let mut cards = Vec::new();
        let mut folders = BTreeSet::new();
        for (at, blocks) in chosen {
            let season = Season::new(&journals[at], &loaded.sources, Some(as_of)).with_shelf(&loaded.farms[at].shelf);
            let findings = checks::run(&season);
            let scope = Scope {
                blocks,
                from: self.from,
                to: self.to,
                lots: self.lots.iter().map(|lot| lot.trim().to_lowercase()).collect(),
                materials: self.materials_of(&journals[at]),
            };
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
        for page in &pages {
            write(&self.out.join(&page.path), &page.text)?;
        }
        let index = self.out.join(format!("index.{}", forms[0].ending()));
        print(&format!("{}\n", escape_hidden(&index.display().to_string())))?;
        Ok(if errors { FOUND } else { CLEAN })
    }

    /// What documents are written as; HTML first.
    fn forms(&self) -> Vec<Format> {
        let wanted = |form| self.forms.is_empty() || self.forms.contains(&form);
        let html = wanted(Form::Html).then_some(Format::Html);
        html.into_iter().chain(wanted(Form::Markdown).then_some(Format::Markdown)).collect()
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

    /// The farms asked for, with the blocks asked for in each.
    fn chosen(&self, journals: &[Journal]) -> Result<Vec<(usize, Vec<BlockId>)>, Failure> {
        let names: Vec<String> = journals.iter().map(farm_name).collect();
        let farms: Vec<usize> = match &self.farm {
            None => (0..journals.len()).collect(),
            Some(wanted) => (0..journals.len()).filter(|&at| names[at].eq_ignore_ascii_case(wanted)).collect(),
        };
        if let (Some(wanted), true) = (&self.farm, farms.is_empty()) {
            return Err(unknown("farm", wanted, names.iter().map(String::as_str)));
        }
        if self.blocks.is_empty() {
            return Ok(farms.into_iter().map(|at| (at, Vec::new())).collect());
        }
        let has = |at: usize, wanted: &String| {
            journals[at].blocks.iter().position(|block| block.named.name.eq_ignore_ascii_case(wanted))
        };
        for wanted in &self.blocks {
            if farms.iter().all(|&at| has(at, wanted).is_none()) {
                let known = farms.iter().flat_map(|&at| &journals[at].blocks).map(|block| &*block.named.name);
                return Err(unknown("block", wanted, known));
            }
        }
        let blocks = farms.into_iter().map(|at| {
            let blocks = self.blocks.iter().filter_map(|wanted| has(at, wanted)).map(BlockId::at).collect();
            (at, blocks)
        });
        // A farm without any of them has nothing to show.
        Ok(blocks.filter(|(_, blocks): &(usize, Vec<BlockId>)| !blocks.is_empty()).collect())
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

/// The templates that come with the program, those of a folder in place of the ones of their names.
pub(super) fn templates(folder: Option<&Path>) -> Result<Templates, Failure> {
    let own = match folder {
        Some(folder) => read_templates(folder)?,
        None => Vec::new(),
    };
    Templates::new(own).map_err(Failure::other)
}

pub(super) fn unknown<'n>(what: &str, wanted: &str, known: impl Iterator<Item = &'n str> + Clone) -> Failure {
    let hint = match nearest_word(&wanted.to_lowercase(), known.clone()) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("there are {}", known.collect::<Vec<_>>().join(", ")),
    };
    Failure::Other(escape_hidden(&format!("no {what} is called {wanted}; {hint}")).into_owned())
}

pub(super) fn farm_name(journal: &Journal) -> String {
    journal.farm.as_ref().map_or_else(|| "journal".to_string(), |farm| farm.named.name.to_string())
}

/// A farm's name as a folder's: letters, digits and hyphens, and different from all others.
fn folder_name(name: &str, taken: &mut BTreeSet<String>) -> String {
    let plain: String = name
        .chars()
        .map(|letter| if letter.is_ascii_alphanumeric() { letter.to_ascii_lowercase() } else { '-' })
        .collect();
    let plain = plain.trim_matches('-');
    let plain = if plain.is_empty() { "farm" } else { plain };
    let mut folder = plain.to_string();
    let mut number = 2;
    while !taken.insert(folder.clone()) {
        folder = format!("{plain}-{number}");
        number += 1;
    }
    folder
}

/// The templates of a folder, by file name.
fn read_templates(folder: &Path) -> Result<Vec<(String, String)>, Failure> {
    let unreadable = |path: &Path, error: std::io::Error| {
        Failure::Other(format!("cannot read the templates at {}: {error}", path.display()))
    };
    let mut own = Vec::new();
    for entry in fs::read_dir(folder).map_err(|error| unreadable(folder, error))? {
        let path = entry.map_err(|error| unreadable(folder, error))?.path();
        let is_template =
            path.extension().is_some_and(|ending| ["html", "md", "css"].iter().any(|known| ending == *known));
        if is_template && path.is_file() {
            let text = fs::read_to_string(&path).map_err(|error| unreadable(&path, error))?;
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            own.push((name, text));
        }
    }
    own.sort();
    Ok(own)
}

/// Writes a file in one go: whoever reads it finds the old or the new, never half of it.
pub(super) fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let failed = |error: std::io::Error| Failure::Other(format!("cannot write {}: {error}", path.display()));
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder).map_err(failed)?;
    let mut builder = tempfile::Builder::new();
    // As any new file: readable by whom the system lets read.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(folder).map_err(failed)?;
    file.write_all(text.as_bytes()).map_err(failed)?;
    file.persist(path).map_err(|error| failed(error.error))?;
    Ok(())
}
