//! Which rows a journal has already: each says where it came from in a remark, which moves and merges with it.

use rustc_hash::{FxHashMap, FxHashSet};
use sha2::{Digest as _, Sha256};

use super::headings::flat;
use super::sheet::Sheet;
use crate::text::{SourceId, Sources};

/// Begins the remark of a row that became part of an entry.
const FROM: &str = "# from ";
/// Begins the remark of a row that waits for the grower.
const HELD: &str = "# held ";

/// A remark of the journal about one row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// The file, and the sheet in brackets.
    pub source: String,
    /// The row it had, counted from one.
    pub row: usize,
    /// The mark of what it said.
    pub mark: String,
    /// Whether it only waits.
    pub held: bool,
    /// The journal's file and line.
    pub place: String,
}

/// The remark for a row.
pub(super) fn remark(source: &str, row: usize, mark: &str, held: bool) -> String {
    format!("{}{source} row {row}: {mark}", if held { HELD } else { FROM })
}

/// All remarks of some files.
pub fn remarks(sources: &Sources, files: &[SourceId]) -> Vec<Remark> {
    let mut found = Vec::new();
    for &file in files {
        let source = sources.get(file);
        for (at, line) in source.text().lines().enumerate() {
            found.extend(read(line.trim()).map(|(held, source_name, row, mark)| Remark {
                source: source_name.to_string(),
                row,
                mark: mark.to_string(),
                held,
                place: format!("{}:{}", source.path().display(), at + 1),
            }));
        }
    }
    found
}

fn read(line: &str) -> Option<(bool, &str, usize, &str)> {
    let (held, rest) = match line.strip_prefix(FROM) {
        Some(rest) => (false, rest),
        None => (true, line.strip_prefix(HELD)?),
    };
    let (place, mark) = rest.rsplit_once(": ")?;
    let (source, row) = place.rsplit_once(" row ")?;
    let is_mark = mark.len() == 12 && mark.bytes().all(|digit| digit.is_ascii_hexdigit());
    is_mark.then_some(())?;
    Some((held, source, row.parse().ok()?, mark))
}

/// The mark of a row: what stands under each heading, whatever the order of the columns, and whose date it has.
pub(super) fn mark(sheet: &Sheet, headings: usize, row: usize, date: usize, dated: Option<usize>) -> String {
    let heading = |column: usize| match sheet.cell(headings, column) {
        cell if cell.is_empty() => format!("column {}", column + 1),
        cell => flat(&cell.words()).to_lowercase(),
    };
    let mut cells: Vec<(String, String)> = sheet.rows[row]
        .iter()
        .enumerate()
        .filter(|(_, cell)| !cell.is_empty())
        .map(|(column, cell)| (heading(column), flat(&cell.words())))
        .collect();
    cells.sort();
    let mut hash = Sha256::new();
    for (heading, words) in &cells {
        hash.update(heading.as_bytes());
        hash.update([0x1f]);
        hash.update(words.as_bytes());
        hash.update([0x1e]);
    }
    if let Some(above) = dated.filter(|&above| above != row) {
        hash.update(sheet.cell(above, date).words().as_bytes());
    }
    short(&hash.finalize())
}

/// Twelve hexadecimal digits: enough to tell a million rows apart.
pub(super) fn short(hash: &[u8]) -> String {
    hash.iter().take(6).map(|byte| format!("{byte:02x}")).collect()
}

/// What the journal has of a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Had {
    /// Nothing.
    Nothing,
    /// The row as it is.
    Same(String),
    /// It waits there.
    Held(String),
    /// What the row said before: where, and with which mark.
    Changed(String, String),
}

/// A remark of a row that waited, and that says something else now or is an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Outdated {
    /// The row, as a place in the list of those that were held against the remarks.
    pub(super) at: usize,
    /// Where the remark stands.
    pub(super) place: String,
    /// The mark of what it says.
    pub(super) mark: String,
}

type ByMark<'r> = FxHashMap<&'r str, Vec<&'r Remark>>;

fn by_mark(remarks: &[Remark], held: bool) -> ByMark<'_> {
    let mut by_mark = ByMark::default();
    for remark in remarks.iter().rev().filter(|remark| remark.held == held) {
        by_mark.entry(&remark.mark).or_default().push(remark);
    }
    by_mark
}

/// A remark with that mark, taken out: two rows that say the same are two. That of the same row comes first.
fn take<'r>(by_mark: &mut ByMark<'r>, mark: &str, row: usize) -> Option<&'r Remark> {
    let same = by_mark.get_mut(mark)?;
    let own = same.iter().rposition(|remark| remark.row == row).or_else(|| same.len().checked_sub(1))?;
    Some(same.remove(own))
}

/// What tells a remark from all others.
fn the_one(remark: &Remark) -> (&str, &str, bool) {
    (&remark.place, &remark.mark, remark.held)
}

/// Holds the rows of a sheet against the remarks; gives back what the journal has of each, and the remarks of rows that
/// wait no longer as they are there. `rows` are their numbers and marks, in order.
pub(super) fn compare(rows: &[(usize, String)], remarks: &[Remark], source: &str) -> (Vec<Had>, Vec<Outdated>) {
    let mut entered = by_mark(remarks, false);
    let mut waiting = by_mark(remarks, true);
    let mut met: FxHashSet<(&str, &str, bool)> = FxHashSet::default();
    let mut had = vec![Had::Nothing; rows.len()];
    // How far each row has moved since: known from the rows that are found again.
    let mut moves: Vec<Option<isize>> = vec![None; rows.len()];
    for (at, (row, mark)) in rows.iter().enumerate() {
        let Some(remark) = take(&mut entered, mark, *row).or_else(|| take(&mut waiting, mark, *row)) else { continue };
        met.insert(the_one(remark));
        moves[at] = Some(*row as isize - remark.row as isize);
        had[at] = if remark.held { Had::Held(remark.place.clone()) } else { Had::Same(remark.place.clone()) };
    }
    // What is left of this source has been changed since, if a row stands where it would have moved to.
    let mut left: FxHashMap<usize, Vec<&Remark>> = FxHashMap::default();
    for remark in remarks.iter().filter(|remark| remark.source == source && !met.contains(&the_one(remark))) {
        left.entry(remark.row).or_default().push(remark);
    }
    let mut outdated: Vec<Outdated> = Vec::new();
    let mut moved = 0;
    for (at, (row, _)) in rows.iter().enumerate() {
        let above = moved;
        moved = moves[at].unwrap_or(moved);
        let before = |moved: isize| usize::try_from(*row as isize - moved).ok().and_then(|before| left.get(&before));
        for remark in before(moved).into_iter().flatten().filter(|remark| !remark.held) {
            if had[at] == Had::Nothing {
                had[at] = Had::Changed(remark.place.clone(), remark.mark.clone());
            }
        }
        // The remark of a row that was corrected is younger than that of how it waited: there it has moved as the row
        // above it has.
        for remark in [moved, above].into_iter().filter_map(before).flatten().filter(|remark| remark.held) {
            if !outdated.iter().any(|other| other.place == remark.place && other.at == at) {
                outdated.push(Outdated { at, place: remark.place.clone(), mark: remark.mark.clone() });
            }
        }
    }
    (had, outdated)
}
