//! Old spreadsheets and outlines of blocks to journal text.
//!
//! One direction: bytes → [`Sheet`] → by a [`Mapping`], one draft a row → tanks → text, with the fate of every row.
//! Nothing is dropped in silence: what is not understood is a remark that begins with `# settle:` where it belongs.

mod amounts;
mod blocks;
mod clock;
mod days;
mod delimited;
mod draft;
mod headings;
mod ingredients;
mod kept;
mod ledger;
mod mapping;
mod names;
mod ods;
pub mod outline;
mod proposals;
mod propose;
mod report;
mod role;
mod rows;
mod sheet;
mod tanks;
mod weather;
mod workbook;
mod write;

pub use amounts::Decimals;
pub use days::DateOrder;
pub use kept::Kept;
pub use ledger::{Remark, remarks};
pub use mapping::{BlankDate, Column, Mapping, Sureness};
pub use report::{Counts, Fate, Report, RowFate, columns};
pub use role::{ROLES, Role, RoleText};
pub use sheet::{Cell, Sheet, Value};

use std::collections::{BTreeMap, BTreeSet};

use crate::journal::Journal;
use draft::Draft;
use kept::{Cells, are_alike, changes};
use ledger::{Had, Outdated};
use names::Known;
use rows::Rows;
use tanks::{Tank, tanks};
use write::Text;

/// The first line of every file that an import writes: no other file is ever added to.
pub const FIRST_LINE: &str = "# Imported by Foliary. Look over the lines marked settle and put them right.";

/// A file read as a spreadsheet.
#[derive(Clone, Debug)]
pub struct Workbook {
    /// Its sheets.
    pub sheets: Vec<Sheet>,
    /// The names of hidden sheets, which are not read.
    pub hidden: Vec<String>,
    /// The encoding of a plain text, where it had to be guessed.
    pub encoding: Option<&'static str>,
}

/// Reads a spreadsheet: a workbook, or plain text with a mark between its cells.
///
/// # Errors
/// A sentence where it is neither, or is damaged, or larger than any record of sprays.
pub fn read(bytes: &[u8]) -> Result<Workbook, String> {
    // The marks of an archive and of an old office file.
    if bytes.starts_with(b"PK") || bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        let (sheets, hidden) = workbook::sheets(bytes)?;
        return Ok(Workbook { sheets, hidden, encoding: None });
    }
    let (sheet, encoding) = delimited::sheet(bytes)?;
    Ok(Workbook { sheets: vec![sheet], hidden: Vec::new(), encoding })
}

impl Workbook {
    /// The sheet of that name, or the first that has headings, or else the first that holds anything.
    ///
    /// # Errors
    /// A sentence where there is none.
    pub fn sheet(&self, name: Option<&str>) -> Result<&Sheet, String> {
        let filled = || self.sheets.iter().filter(|sheet| sheet.filled() > 0);
        match name {
            Some(name) => {
                let found = self.sheets.iter().find(|sheet| sheet.name.to_lowercase() == name.to_lowercase());
                found.ok_or_else(|| {
                    let is_hidden = |hidden: &&String| hidden.to_lowercase() == name.to_lowercase();
                    if let Some(hidden) = self.hidden.iter().find(is_hidden) {
                        return format!("its sheet `{hidden}` is hidden; show it and save the workbook to import it");
                    }
                    let names: Vec<String> = self.sheets.iter().map(|sheet| format!("`{}`", sheet.name)).collect();
                    match self.sheets.iter().all(|sheet| sheet.name.is_empty()) {
                        true => format!("it has no sheet `{name}`: plain text has no sheets"),
                        false => format!("it has no sheet `{name}`; there are {}", names.join(", ")),
                    }
                })
            }
            None => filled()
                .find(|sheet| headings::heading_row(sheet).is_some())
                .or_else(|| filled().next())
                .ok_or_else(|| "it is empty".to_string()),
        }
    }
}

/// What an import starts from.
#[derive(Debug)]
pub struct Job<'a> {
    /// The file's name, as remarks give it.
    pub file: &'a str,
    /// The sheet.
    pub sheet: &'a Sheet,
    /// The grower's mapping; without one, it is proposed.
    pub mapping: Option<Mapping>,
    /// The farm's journal.
    pub journal: &'a Journal,
    /// What it has already.
    pub remarks: &'a [Remark],
    /// What its rows said when they were imported.
    pub kept: &'a Kept,
    /// The journal file that is added to, as it is shown.
    pub out: &'a str,
    /// The text that it has already.
    pub before: &'a str,
}

/// What an import comes to.
#[derive(Debug)]
pub struct Imported {
    /// The mapping that it went by.
    pub mapping: Mapping,
    /// The text to put behind what is there; empty where nothing is new.
    pub text: String,
    /// What to put behind the rows that are kept; empty where nothing is new.
    pub kept: String,
    /// What became of every row.
    pub report: Report,
}

/// Imports a sheet.
///
/// # Errors
/// A sentence where the sheet has no headings, or the mapping does not fit it.
pub fn import(job: Job<'_>) -> Result<Imported, String> {
    let known = Known::of(job.journal);
    let sheet = job.sheet;
    let is_proposed = job.mapping.is_none();
    let mut told = Vec::new();
    let mut mapping = match job.mapping {
        Some(mut mapping) => {
            told = mapping.lay_on(sheet)?;
            mapping
        }
        None => propose::mapping(sheet, &known)?,
    };
    let left: Vec<String> =
        mapping.columns.iter().filter(|column| column.is == Role::Leave).map(Column::shown).collect();
    if !left.is_empty() {
        told.push(format!("Left out, as the mapping says: {}.", left.join(", ")));
    }
    let source = if sheet.name.is_empty() { job.file.to_string() } else { format!("{} ({})", job.file, sheet.name) };
    let headings = mapping.heading_row - 1;
    let date = mapping.columns.iter().find(|column| column.is == Role::Date).map_or(0, Column::place);

    let mut rows = Rows::new(sheet, &mapping, &known);
    let mut fates: Vec<Option<Fate>> =
        (0..sheet.rows.len()).map(|row| plain_fate(sheet, headings, date, row)).collect();
    let mut drafts: Vec<Draft> = Vec::new();
    let mut marks: Vec<(usize, String)> = Vec::new();
    let mut says: Vec<Cells> = Vec::new();
    for row in (0..sheet.rows.len()).filter(|&row| fates[row].is_none()) {
        let dated = rows.dated_row(row);
        marks.push((row + 1, ledger::mark(sheet, headings, row, date, dated)));
        says.push(said(sheet, headings, row, date, dated));
        drafts.push(rows.draft(row));
    }
    let (had, outdated) = ledger::compare(&marks, job.remarks, &source);
    let mut doubts: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    let mut fresh: Vec<Draft> = Vec::new();
    let mut held: Vec<(&Draft, String)> = Vec::new();
    let places = places_of_tanks(&drafts, &had);
    for (at, draft) in drafts.iter().enumerate() {
        let lacks = draft.lacks();
        fates[draft.row - 1] = match (&had[at], lacks) {
            (Had::Same(place), _) => Some(Fate::Had(place.clone())),
            (Had::Changed(place, mark), _) => {
                let changes = job.kept.of(mark).map(|before| changes(before, &says[at])).unwrap_or_default();
                Some(Fate::Changed(place.clone(), changes))
            }
            (Had::Held(place), Some(why)) => Some(Fate::StillHeld(place.clone(), why)),
            (Had::Nothing, Some(why)) => {
                held.push((draft, why));
                None
            }
            (earlier, None) => {
                if let Had::Held(place) = earlier {
                    told.push(format!("Row {} has an entry now; its remark at {place} may go.", draft.row));
                }
                let mut draft = draft.clone();
                if let Some(place) = places.get(&draft.row) {
                    draft.settle.push(format!("the same day and block as the entry at {place}: one tank?"));
                }
                doubts.insert(draft.row, draft.doubts().into_iter().map(str::to_string).collect());
                fresh.push(draft);
                None
            }
        };
    }
    for remark in &outdated {
        let (row, is_here) = (drafts[remark.at].row, matches!(had[remark.at], Had::Same(_)));
        told.extend(outdated_words(remark, row, is_here, &says[remark.at], job.kept));
    }
    if fresh.is_empty() && held.is_empty() && !is_proposed && had.iter().any(|had| matches!(had, Had::Same(_))) {
        told.push(
            "Rows that are here already stay as they were written. To read them by a mapping that you changed, take \
             their entries out of the journal file and import again."
                .to_string(),
        );
    }
    let mark_of: BTreeMap<usize, &str> = marks.iter().map(|(row, mark)| (*row, mark.as_str())).collect();
    let remark =
        |row: usize, held: bool| ledger::remark(&source, row, mark_of.get(&row).copied().unwrap_or_default(), held);

    let mut text = Text::behind(job.before.lines().count());
    let mut tanks = tanks(fresh);
    let is_new = !tanks.is_empty() || !held.is_empty();
    if is_new {
        if job.before.is_empty() {
            opening(&mut text, sheet, headings, &source);
        } else {
            text.line("");
            text.line(&format!("# Added from {source}."));
        }
        let used = used_names(&tanks);
        let mut proposals = rows.proposals.clone();
        proposals.keep(&|sort, name| used.contains(&(sort, name.to_string())));
        for entry in proposals.entries() {
            text.line("");
            for line in entry {
                text.line(&line);
            }
        }
    }
    tanks.sort_by_key(|tank| tank.draft.day.as_ref().ok().copied());
    let mut page = None;
    for tank in &tanks {
        let day = tank.draft.day.as_ref().ok().copied();
        if let Some(day) = day.filter(|_| day != page) {
            text.page(day);
        }
        page = day;
        let remarks: Vec<String> = tank.rows.iter().map(|&row| remark(row, false)).collect();
        let line = text.tank(tank, &remarks);
        for (at, &row) in tank.rows.iter().enumerate() {
            fates[row - 1] = Some(if at == 0 { Fate::Entry(line) } else { Fate::Joined(tank.rows[0], line) });
        }
    }
    for (draft, why) in held {
        let line = text.held(draft.row, &why, &remark(draft.row, true), &cells(sheet, headings, draft.row - 1));
        fates[draft.row - 1] = Some(Fate::Held(line, why));
    }
    if is_proposed {
        let names = ["block", "material", "person", "rig"].map(|sort| rows.names(sort));
        [mapping.blocks, mapping.materials, mapping.people, mapping.rigs] = names;
        mapping.sheet = (!sheet.name.is_empty()).then(|| sheet.name.clone());
    }
    let rows = fates
        .into_iter()
        .enumerate()
        .map(|(row, fate)| RowFate {
            row: row + 1,
            fate: fate.unwrap_or(Fate::Empty),
            doubts: doubts.remove(&(row + 1)).unwrap_or_default(),
        })
        .collect();
    let written = |at: usize| !matches!(had[at], Had::Changed(..));
    let kept: Vec<(&str, Cells)> = marks
        .iter()
        .zip(says)
        .enumerate()
        .filter(|(at, _)| written(*at))
        .map(|(_, ((_, mark), cells))| (mark.as_str(), cells))
        .collect();
    let kept = job.kept.added(&kept);
    let report = Report { source, journal: job.out.to_string(), rows, told };
    Ok(Imported { mapping, text: text.finish(), kept, report })
}

/// What is to be told of the remark of a row that waited; nothing where the row is another one.
fn outdated_words(remark: &Outdated, row: usize, is_here: bool, now: &Cells, kept: &Kept) -> Option<String> {
    let place = &remark.place;
    let Some(before) = kept.of(&remark.mark) else {
        // A row that was found again may be another one than that which waited.
        let words = format!("Row {row} says something else than its remark at {place}: look whether that may go.");
        return (!is_here).then_some(words);
    };
    if !are_alike(before, now) {
        return None;
    }
    Some(match changes(before, now) {
        changes if changes.is_empty() => format!("Row {row} has an entry now; its remark at {place} may go."),
        changes => {
            format!("Row {row} has changed: {}. Its remark at {place} is out of date, and may go.", changes.join("; "))
        }
    })
}

/// The fate of a row that says nothing of a spray.
fn plain_fate(sheet: &Sheet, headings: usize, date: usize, row: usize) -> Option<Fate> {
    if sheet.is_blank(row) {
        return Some(Fate::Empty);
    }
    let words = || cells_in_line(sheet, row);
    if row < headings {
        return Some(Fate::Above(words()));
    }
    let repeats = || {
        sheet.rows[row].iter().enumerate().all(|(column, cell)| {
            cell.is_empty() || cell.words().eq_ignore_ascii_case(&sheet.cell(headings, column).words())
        })
    };
    if row == headings || repeats() {
        return Some(Fate::Heading);
    }
    let first = sheet.rows[row].iter().position(|cell| !cell.is_empty())?;
    let says = sheet.cell(row, first).words().to_lowercase();
    let sums = ["total", "subtotal", "sub-total", "grand total", "sum", "average", "season total"];
    let is_sum = sums.iter().any(|sum| {
        says.strip_prefix(sum)
            .is_some_and(|rest| !rest.starts_with(|letter: char| letter.is_alphabetic() && letter != 's'))
    });
    let undated = first == date || sheet.cell(row, date).is_empty();
    (is_sum && undated).then(|| Fate::Total(words()))
}

/// The cells of a row in one line.
fn cells_in_line(sheet: &Sheet, row: usize) -> String {
    let words = sheet.rows[row].iter().filter(|cell| !cell.is_empty()).map(|cell| headings::flat(&cell.words()));
    words.collect::<Vec<_>>().join(" | ")
}

/// What the mark of a row is made of: its cells, and the date that it takes from above.
fn said(sheet: &Sheet, headings: usize, row: usize, date: usize, dated: Option<usize>) -> Cells {
    let own = cells(sheet, headings, row).into_iter().map(|(heading, words)| (heading, headings::flat(&words)));
    let heading = headings::flat(&sheet.cell(headings, date).words());
    let above = dated.filter(|&above| above != row);
    own.chain(above.map(|above| (format!("{heading} of the row above"), sheet.cell(above, date).words()))).collect()
}

/// The cells of a row with their headings.
fn cells(sheet: &Sheet, headings: usize, row: usize) -> Vec<(String, String)> {
    let filled = sheet.rows[row].iter().enumerate().filter(|(_, cell)| !cell.is_empty());
    filled
        .map(|(column, cell)| {
            let heading = headings::flat(&sheet.cell(headings, column).words());
            let heading = if heading.is_empty() { format!("column {}", column + 1) } else { heading };
            (heading, cell.words())
        })
        .collect()
}

/// The rows that would share a tank with one that is in the journal already, and where that is.
fn places_of_tanks(drafts: &[Draft], had: &[Had]) -> BTreeMap<usize, String> {
    let place_of: BTreeMap<usize, &String> = drafts
        .iter()
        .zip(had)
        .filter_map(|(draft, had)| match had {
            Had::Same(place) | Had::Changed(place, _) => Some((draft.row, place)),
            _ => None,
        })
        .collect();
    if place_of.is_empty() || place_of.len() == drafts.len() {
        return BTreeMap::new();
    }
    let all = drafts.iter().filter(|draft| draft.lacks().is_none()).cloned().collect();
    let mut places = BTreeMap::new();
    for tank in tanks(all) {
        if let Some(place) = tank.rows.iter().find_map(|row| place_of.get(row)) {
            places.extend(tank.rows.iter().map(|&row| (row, (*place).clone())));
        }
    }
    places
}

/// The names that some tanks use, by sort.
fn used_names(tanks: &[Tank]) -> BTreeSet<(&'static str, String)> {
    let mut used = BTreeSet::new();
    for tank in tanks {
        used.extend(tank.draft.blocks.iter().map(|name| ("block", name.clone())));
        used.extend(tank.draft.ingredients.iter().map(|one| ("material", one.name.clone())));
        for (word, sort) in [("by", "person"), ("authorised", "person"), ("rig", "rig"), ("water", "water")] {
            for value in tank.draft.lines.iter().filter(|line| line.word == word).map(|line| &line.value) {
                used.extend(value.split(", ").map(|name| (sort, name.to_string())));
            }
        }
    }
    used
}

/// How a new file begins.
fn opening(text: &mut Text, sheet: &Sheet, headings: usize, source: &str) {
    text.line(FIRST_LINE);
    text.line(&format!("# From {source}. The remarks `from` and `held` say which rows are here already:"));
    text.line("# leave them with their entries, and importing again adds only what is new.");
    for row in (0..headings).filter(|&row| !sheet.is_blank(row)) {
        text.line(&format!("# Row {} stood above the headings: {}", row + 1, cells_in_line(sheet, row)));
    }
}
