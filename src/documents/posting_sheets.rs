//! The sheets that must hang now, newest first, and a page for the office about them.

use chrono::NaiveDate;
use serde::Serialize;

use super::assumed;
use super::book::Book;
use super::cautions::cautions;
use super::head::Head;
use super::notice_rules::{not_said, sheet_asked, sheets_can_be_asked};
use super::phrases::{PHRASES, Phrases};
use super::posting_sheet::{PostingSheet, Wall, posting_sheet};
use super::words::{day, list};
use crate::duty::Duties;
use crate::syntax::EntryWord;

/// The sheets of a farm.
#[derive(Clone, Debug, Serialize)]
pub struct PostingSheets {
    /// Top and foot.
    pub head: Head,
    /// The words in both languages.
    pub words: Phrases,
    /// One for each spray, newest first.
    pub sheets: Vec<PostingSheet>,
    /// Which sprays have no sheet here, and why.
    pub left_out: Vec<String>,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// The sheets of a book; nothing where neither its rulebooks, its farm nor any label asks for sheets.
pub fn posting_sheets(book: &Book<'_>) -> Option<PostingSheets> {
    let duties = Duties::new(book.season);
    if !sheets_can_be_asked(book, &duties) {
        return None;
    }
    let wall = Wall::new(book, duties);
    let duties = &wall.duties;
    // Days that were asked for by name are shown, over or not.
    let today = book.season.as_of.filter(|_| book.scope.from.is_none() && book.scope.to.is_none());
    let begun = today.map(|today| book.season.zone.start_of(today));
    let (mut sheets, mut over, mut silent) = (Vec::new(), Vec::new(), Vec::new());
    let sprays: Vec<_> = book.sprays().collect();
    for facts in sprays.into_iter().rev() {
        let Some(asked) = sheet_asked(book, duties, facts) else {
            silent.push(facts);
            continue;
        };
        let sheet = posting_sheet(book, &wall, facts, asked);
        if begun.is_some_and(|today| sheet.stays.over <= today) { over.push(sheet) } else { sheets.push(sheet) }
    }
    let of = sheets.len();
    for (at, sheet) in sheets.iter_mut().enumerate() {
        (sheet.number, sheet.of) = (at + 1, of);
    }
    let mut left_out = unread(book);
    left_out.extend(over_by(&over, today));
    left_out.extend(silent_about(not_said(book, silent.into_iter(), !duties.is_empty())));
    Some(PostingSheets {
        head: Head::new(book),
        words: PHRASES,
        sheets,
        left_out,
        assumed: assumed::of_notices(book),
        cautions: cautions(book),
    })
}

/// The warning that a spray may be missing because it could not be read.
pub(super) fn unread(book: &Book<'_>) -> Vec<String> {
    let lost = book.season.lost(EntryWord::Spray);
    lost.then(|| {
        "A spray may be missing here, because something in the journal could not be read: see the findings.".to_string()
    })
    .into_iter()
    .collect()
}

/// The same, and of rinse water, for what tells where people may go in.
pub(super) fn unread_rinses(book: &Book<'_>) -> Vec<String> {
    let mut said = unread(book);
    if book.season.lost(EntryWord::Clean) {
        said.push(
            "A rinse of a sprayer could not be read and may have been put on any block: ask before you send people in."
                .to_string(),
        );
    }
    said
}

/// What is said of the sprays whose sheet may come down by what is recorded.
fn over_by(over: &[PostingSheet], today: Option<NaiveDate>) -> Vec<String> {
    let Some((newest, today)) = over.first().zip(today) else { return Vec::new() };
    let them = if over.len() == 1 {
        "spray is left out, because its sheet"
    } else {
        "sprays are left out, because their sheets"
    };
    let mut said = vec![format!(
        "{} {them} may come down by {}; the last is of {}. Ask for days with --from or --to to see more.",
        over.len(),
        day(today),
        newest.day.en,
    )];
    let unknown: Vec<&PostingSheet> = over.iter().filter(|sheet| sheet.stays.at_least).collect();
    if let Some(newest) = unknown.first() {
        said.push(format!(
            "For {} of these a re-entry interval is not recorded, so the sheet may have to stay longer; the last is the spray of {} on {}.",
            unknown.len(),
            newest.ground.en,
            newest.day.en,
        ));
    }
    if over.iter().any(|sheet| sheet.stays.until.is_none()) {
        said.push(
            "Where no adopted rule says how long a sheet stays up, it is left out once re-entry is allowed."
                .to_string(),
        );
    }
    said
}

/// What is said of sprays that no sheet is asked for, where the journal may only not say enough.
pub(super) fn silent_about((blocks, materials): (Vec<&str>, Vec<&str>)) -> Vec<String> {
    let blocks = (!blocks.is_empty()).then(|| {
        format!(
            "Nothing is asked for in {}: the journal does not say whether people work there (a line “workers yes” or “workers no”).",
            list(&blocks)
        )
    });
    let materials = (!materials.is_empty()).then(|| {
        format!(
            "Nothing is asked for because of {}: the journal gives no registration number and no status.",
            list(&materials)
        )
    });
    blocks.into_iter().chain(materials).collect()
}
