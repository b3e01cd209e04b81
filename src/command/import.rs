//! `foliary import`: an old spreadsheet, or the outlines of blocks, becomes journal text.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;

use super::lines::filled;
use super::output::write;
use super::{CLEAN, FOUND, Failure, print};
use crate::files::{LoadError, Loaded, load};
use crate::import::outline::{self, Compared, Outcome};
use crate::import::{self, FIRST_LINE, Job, Kept, Mapping, Remark, Report, Sheet, Workbook};
use crate::journal::Journal;
use crate::quantity::show;
use crate::text::{Sources, escape_hidden};
use crate::{Farm, compile_farm};

/// Far above any farm's spreadsheet.
const LARGEST: u64 = 64 << 20;
/// How many rows that need the grower are told in the terminal.
const MOST_TOLD: usize = 20;

/// Import an old spreadsheet, or outlines of blocks, into a journal.
///
/// The spreadsheet (CSV, XLSX, XLS, ODS) becomes a journal file of its own in
/// the farm's folder `imported`. How its columns are read is proposed from
/// the headings and written beside it as a mapping file; change what is wrong
/// there. What is doubtful is marked `# settle:` in the text. Importing again
/// adds only what is new.
///
/// Outlines (GeoJSON, KML, KMZ) are measured and held against the areas that
/// the journal says; blocks that it does not have are proposed.
///
/// Exit code 0: done; 1: done, and something is left for you to settle; 2:
/// not done.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Import {
    /// The spreadsheet, or the outlines.
    file: PathBuf,
    /// The farm's folder.
    #[arg(long, default_value = ".", value_name = "DIR")]
    into: PathBuf,
    /// The sheet of a workbook; without it, the first that has headings.
    #[arg(long, value_name = "NAME")]
    sheet: Option<String>,
    /// The mapping file, where it is not beside the journal file.
    #[arg(long, value_name = "FILE")]
    mapping: Option<PathBuf>,
    /// The journal file to write or to add to.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// A file for what became of every row.
    #[arg(long, value_name = "FILE")]
    report: Option<PathBuf>,
    /// Print what would be written, and write nothing.
    #[arg(long)]
    write_nothing: bool,
}

/// The farm that is imported into.
struct Home {
    journal: Journal,
    remarks: Vec<Remark>,
    /// The journal file that is added to, and what it holds.
    out: PathBuf,
    before: String,
}

const EXAMPLES: &str = "\
Examples:
  What would be written, and nothing written:
    foliary import sprays-2024.csv --into . --write-nothing

  A spreadsheet into the farm of this folder:
    foliary import sprays-2024.csv --into .

  Outlines of blocks, measured and held against their areas:
    foliary import blocks.geojson --into .";

impl Import {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let bytes = self.bytes()?;
        let name = self.file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let name = escape_hidden(&name).into_owned();
        let home = self.home()?;
        if outline::is_outline(&name) { self.outlines(&name, &bytes, &home) } else { self.rows(&name, &bytes, &home) }
    }

    fn bytes(&self) -> Result<Vec<u8>, Failure> {
        let unreadable = |error| Failure::Load(LoadError::Unreadable(self.file.clone(), error));
        let about = fs::metadata(&self.file).map_err(unreadable)?;
        if about.len() > LARGEST {
            return Err(self.wrong("it is larger than 64 MiB"));
        }
        fs::read(&self.file).map_err(unreadable)
    }

    /// What is wrong with the file.
    fn wrong(&self, why: &str) -> Failure {
        Failure::Other(format!("cannot import {}: {why}", self.file.display()))
    }

    /// The farm's journal, and the file that is added to.
    fn home(&self) -> Result<Home, Failure> {
        if !self.into.is_dir() {
            return Err(Failure::Other(format!(
                "{} is no folder; --into takes the farm's folder",
                self.into.display()
            )));
        }
        let loaded = match load(std::slice::from_ref(&self.into)) {
            Ok(loaded) => loaded,
            Err(LoadError::Nothing(_)) => Loaded { sources: Sources::new(), farms: Vec::new() },
            Err(error) => return Err(error.into()),
        };
        let at = self.farm(&loaded)?;
        let out = self.out.clone().unwrap_or_else(|| self.beside("spray"));
        let before = match fs::read_to_string(&out) {
            Ok(text) if text.lines().next() == Some(FIRST_LINE) => text,
            Ok(_) => {
                return Err(Failure::Other(format!(
                    "{} was not written by an import, so nothing is added to it; say another file with --out",
                    out.display()
                )));
            }
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => String::new(),
            Err(error) => return Err(LoadError::Unreadable(out, error).into()),
        };
        let (journal, mut remarks) = match at.map(|at| &loaded.farms[at]) {
            Some(farm) => (
                compile_farm(&loaded.sources, Farm { files: &farm.files, missing: &farm.missing }),
                import::remarks(&loaded.sources, &farm.files),
            ),
            None => (Journal::default(), Vec::new()),
        };
        // A file outside the farm's folder knows its own rows, too.
        let own = fs::canonicalize(&out).ok();
        let is_read =
            loaded.sources.iter().any(|(_, source)| own.is_some() && fs::canonicalize(source.path()).ok() == own);
        if !is_read && !before.is_empty() {
            let mut sources = Sources::new();
            let file = sources.add(&out, before.clone()).map_err(|_| LoadError::AllTooLarge)?;
            remarks.extend(import::remarks(&sources, &[file]));
        }
        Ok(Home { journal, remarks, out, before })
    }

    /// Which of the farms under the folder: the one that lies in it, or the only one.
    fn farm(&self, loaded: &Loaded) -> Result<Option<usize>, Failure> {
        let here = fs::canonicalize(&self.into).ok();
        let at = loaded.farms.iter().position(|farm| {
            let folder = if farm.folder.as_os_str().is_empty() { Path::new(".") } else { &farm.folder };
            here.is_some() && fs::canonicalize(folder).ok() == here
        });
        match (at, loaded.farms.len()) {
            (Some(at), _) => Ok(Some(at)),
            (None, 0) => Ok(None),
            (None, 1) => Ok(Some(0)),
            (None, _) => Err(Failure::Other(format!(
                "there are several farms in {}; say the folder of one with --into",
                self.into.display()
            ))),
        }
    }

    /// A file in the farm's folder `imported`, named after the source.
    fn beside(&self, ending: &str) -> PathBuf {
        let stem = self.file.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        let sheet: String = self.sheet.iter().map(|sheet| format!("-{sheet}")).collect();
        let plain: String = format!("{stem}{sheet}")
            .chars()
            .map(|letter| if letter.is_alphanumeric() || matches!(letter, '-' | '_') { letter } else { '-' })
            .collect();
        // Where one stands needs no name.
        let here = if self.into == Path::new(".") { Path::new("") } else { &self.into };
        here.join("imported").join(format!("{plain}.{ending}"))
    }

    fn rows(&self, name: &str, bytes: &[u8], home: &Home) -> Result<u8, Failure> {
        let mapping_path = self
            .mapping
            .clone()
            .unwrap_or_else(|| if self.out.is_some() { home.out.with_extension("toml") } else { self.beside("toml") });
        let mapping = match fs::read_to_string(&mapping_path) {
            Ok(text) => Some(Mapping::read(&text).map_err(|why| {
                Failure::Other(format!("the mapping file {} cannot be used: {why}", mapping_path.display()))
            })?),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => None,
            Err(error) => return Err(LoadError::Unreadable(mapping_path, error).into()),
        };
        let is_proposed = mapping.is_none();
        let book = import::read(bytes).map_err(|why| self.wrong(&why))?;
        let of_mapping = mapping.as_ref().and_then(|mapping| mapping.sheet.clone());
        let sheet = book.sheet(self.sheet.as_deref().or(of_mapping.as_deref())).map_err(|why| self.wrong(&why))?;
        let out = home.out.display().to_string();
        let kept_path = home.out.with_extension("rows");
        let (kept, kept_before) = kept(&kept_path)?;
        let none = Kept::default();
        let job = Job {
            file: name,
            sheet,
            mapping,
            journal: &home.journal,
            remarks: &home.remarks,
            kept: kept.as_ref().unwrap_or(&none),
            out: &out,
            before: &home.before,
        };
        let mut imported = import::import(job).map_err(|why| self.wrong(&why))?;
        let told = &mut imported.report.told;
        if let Some(encoding) = book.encoding {
            told.push(format!("The encoding was guessed: {encoding}. Look at a name with an accent in it."));
        }
        told.extend(other_sheets(&book, sheet));
        if let Err(why) = &kept {
            told.push(format!("What rows said before cannot be told by {}: {why}.", kept_path.display()));
        }
        if home.journal.farm.is_none() {
            told.push(format!("{} has no farm entry yet.", self.into.display()));
        }
        let mut said = String::new();
        if is_proposed {
            said.push_str("How the columns are read:\n");
            said.push_str(&import::columns(&imported.mapping));
            said.push('\n');
        }
        let report = &imported.report;
        said.push_str(&report.summary());
        said.push_str(&spaced(&report.open_rows(MOST_TOLD)));
        if self.write_nothing {
            said.push_str(&would(&imported.text, &home.out));
            if is_proposed {
                said.push_str(&would(&imported.mapping.file(name), &mapping_path));
            }
        } else {
            if is_proposed {
                write(&mapping_path, &imported.mapping.file(name))?;
                let _ = writeln!(said, "\nThe mapping, to correct and keep: {}", mapping_path.display());
            }
            said.push_str(&self.add(&imported.text, home)?);
            if kept.is_ok() && !imported.kept.is_empty() {
                write(&kept_path, &format!("{kept_before}{}", imported.kept))?;
                let _ = writeln!(said, "What its rows say, to tell later changes: {}", kept_path.display());
            }
        }
        self.put_report(report)?;
        print(&escape_hidden(&said))?;
        Ok(if report.is_open() { FOUND } else { CLEAN })
    }

    /// Adds text to the journal file; says so.
    fn add(&self, text: &str, home: &Home) -> Result<String, Failure> {
        if text.is_empty() {
            return Ok("\nNothing new; the journal is as it was.\n".to_string());
        }
        let gap = if home.before.is_empty() || home.before.ends_with('\n') { "" } else { "\n" };
        write(&home.out, &format!("{}{gap}{text}", home.before))?;
        Ok(format!("\nThe journal file: {}\n", home.out.display()))
    }

    fn put_report(&self, report: &Report) -> Result<(), Failure> {
        match &self.report {
            Some(path) => write(path, &escape_hidden(&format!("{}\n{}", report.summary(), report.all_rows()))),
            None => Ok(()),
        }
    }

    fn outlines(&self, name: &str, bytes: &[u8], home: &Home) -> Result<u8, Failure> {
        let outlines = outline::read(bytes).map_err(|why| self.wrong(&why))?;
        let (compared, text) = outline::compare(&outlines, &home.journal, &home.remarks, name, &home.before);
        let out = home.out.display().to_string();
        let mut told = format!("{name}: {} outlines\n", compared.len());
        for (at, one) in compared.iter().enumerate() {
            told.push_str(&outline_words(at + 1, one, &out));
        }
        if let Some(path) = &self.report {
            write(path, &escape_hidden(&told))?;
        }
        told.push_str(&if self.write_nothing { would(&text, &home.out) } else { self.add(&text, home)? });
        print(&escape_hidden(&told))?;
        let is_open = compared
            .iter()
            .any(|one| !one.doubts.is_empty() || matches!(one.outcome, Outcome::Proposed(_) | Outcome::NoArea(_)));
        Ok(if is_open { FOUND } else { CLEAN })
    }
}

/// Which sheets were not read, and how to take them.
fn other_sheets(book: &Workbook, read: &Sheet) -> Vec<String> {
    let others = book.sheets.iter().filter(|other| other.name != read.name && other.filled() > 0);
    let rows = |count: usize| if count == 1 { "1 row".to_string() } else { format!("{count} rows") };
    let others: Vec<String> = others.map(|other| format!("`{}` with {}", other.name, rows(other.filled()))).collect();
    let mut told = Vec::new();
    if !others.is_empty() {
        told.push(format!(
            "One sheet is read at a time. Not read: {}. With --sheet and its name, each is imported by a run of its own.",
            others.join(", ")
        ));
    }
    if !book.hidden.is_empty() {
        let hidden: Vec<String> = book.hidden.iter().map(|name| format!("`{name}`")).collect();
        told.push(format!(
            "Hidden, and not read: {}. Show a sheet and save the workbook to import it.",
            hidden.join(", ")
        ));
    }
    told
}

/// The rows that are kept in a file, or why they are not known, and its text.
fn kept(path: &Path) -> Result<(Result<Kept, String>, String), Failure> {
    match fs::read_to_string(path) {
        Ok(text) => Ok((Kept::read(&text), text)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok((Ok(Kept::default()), String::new())),
        Err(error) => Err(LoadError::Unreadable(path.to_path_buf(), error).into()),
    }
}

/// What one outline says, in a line, and what is doubtful about it.
fn outline_words(number: usize, one: &Compared, out: &str) -> String {
    let name = if one.name.is_empty() { format!("outline {number}, without a name") } else { one.name.clone() };
    let area = one.area.map_or_else(|| "no area".to_string(), show);
    let outcome = match &one.outcome {
        Outcome::Written(written, percent) => format!("{area}; the journal says {}, {percent:+.1} %", show(*written)),
        Outcome::Unwritten => format!("{area}; the journal says no area"),
        Outcome::Proposed(line) => format!("{area}; a new block, {out}:{line}"),
        Outcome::Had(place) => format!("{area}; was there before, {place}"),
        Outcome::NoArea(why) => format!("no area: {why}"),
    };
    let mut words = filled(&format!("{name}: {outcome}"), "  ", "      ") + "\n";
    for doubt in &one.doubts {
        words.push_str(&filled(&format!("settle: {doubt}"), "      ", "          "));
        words.push('\n');
    }
    words
}

/// What would be written to a file.
fn would(text: &str, path: &Path) -> String {
    if text.is_empty() {
        return format!("\nNothing would be added to {}.\n", path.display());
    }
    format!("\nThis would be added to {}:\n\n{text}", path.display())
}

/// With an empty line in front, where there is anything.
fn spaced(words: &str) -> String {
    if words.is_empty() { String::new() } else { format!("\n{words}") }
}
