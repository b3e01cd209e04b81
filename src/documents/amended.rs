//! Corrections, with what they changed marked.

use serde::Serialize;
use similar::{ChangeTag, TextDiff};

use super::book::Book;
use super::words::day;
use crate::journal::{Amendment, Spray};
use crate::syntax::EntryWord;

/// A correction.
#[derive(Clone, Debug, Serialize)]
pub struct Amended {
    /// The day it was made.
    pub on: String,
    /// Who made it.
    pub by: Option<String>,
    /// What the record said.
    pub was: Vec<Piece>,
    /// What it says.
    pub now: Vec<Piece>,
    /// Why.
    pub reason: Option<String>,
    /// Where it is written.
    pub place: String,
}

/// A stretch of words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Piece {
    /// The words.
    pub text: String,
    /// Whether the correction changed them.
    pub changed: bool,
}

/// The corrections of a spray. Where several sprays of a block and a day could be meant, those whose words were quoted.
pub(super) fn amendments(book: &Book<'_>, spray: &Spray) -> Vec<Amended> {
    let day = spray.at.day;
    let quotes = |amendment: &Amendment, spray: &Spray| {
        let entry = book.season.words(spray.at.entry);
        let quoted = [amendment.was, amendment.now].into_iter().flatten();
        quoted.map(|words| book.season.words(words).trim()).any(|words| entry.contains(words))
    };
    let mut found: Vec<&Amendment> = book.amendments_of(day).filter(|amendment| names(amendment, spray)).collect();
    if found.is_empty() {
        return Vec::new();
    }
    found.retain(|amendment| {
        let another_quoted = || {
            book.sprays_of(day)
                .any(|other| other.at.entry != spray.at.entry && names(amendment, other) && quotes(amendment, other))
        };
        quotes(amendment, spray) || !another_quoted()
    });
    found.into_iter().map(|amendment| amended(book, amendment)).collect()
}

fn names(amendment: &Amendment, spray: &Spray) -> bool {
    amendment.kind == Some(EntryWord::Spray)
        && amendment.day.is_some_and(|day| day.value == spray.at.day)
        && amendment.block.id.is_some()
        && spray.ground.blocks.iter().any(|block| block.id == amendment.block.id)
}

/// A correction with the record that it corrects.
#[derive(Clone, Debug, Serialize)]
pub struct Correction {
    /// The record: `spray of Creek pears on 14 May 2026`.
    pub of: String,
    /// What was changed.
    pub change: Amended,
}

/// Every correction of the part to show, of whatever kind of record, in the order in which they were made. A correction
/// is of a part where its record is, or where it was made then.
pub(super) fn corrections(book: &Book<'_>) -> Vec<Correction> {
    let of_day = |amendment: &&Amendment| {
        let days = amendment.day.map(|day| day.value).into_iter().chain([amendment.at.day]);
        days.into_iter().any(|day| book.scope.has_day(day))
    };
    let of_block = |amendment: &&Amendment| {
        book.scope.blocks.is_empty() || amendment.block.id.is_some_and(|block| book.scope.has_block(block))
    };
    let mut all: Vec<&Amendment> = book.journal().amendments.iter().filter(of_day).filter(of_block).collect();
    all.sort_by_key(|amendment| (amendment.at.day, amendment.at.entry.start));
    all.into_iter()
        .map(|amendment| Correction { of: record_of(book, amendment), change: amended(book, amendment) })
        .collect()
}

fn record_of(book: &Book<'_>, amendment: &Amendment) -> String {
    let kind = amendment.kind.map_or("record", EntryWord::word);
    let block = amendment.block.id.map_or_else(|| book.words(amendment.block.span), |id| book.block(id).to_string());
    let on = amendment.day.map(|of| format!(" on {}", day(of.value))).unwrap_or_default();
    format!("{kind} of {block}{on}")
}

pub(super) fn amended(book: &Book<'_>, amendment: &Amendment) -> Amended {
    let was = book.some_words(amendment.was).unwrap_or_default();
    let now = book.some_words(amendment.now).unwrap_or_default();
    let (was, now) = marked(&was, &now);
    Amended {
        on: day(amendment.at.day),
        by: book.people(&amendment.by),
        was,
        now,
        reason: book.some_words(amendment.reason),
        place: book.place(amendment.at.line),
    }
}

/// Both wordings with the words that differ marked.
pub fn marked(was: &str, now: &str) -> (Vec<Piece>, Vec<Piece>) {
    let diff = TextDiff::from_words(was, now);
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for change in diff.iter_all_changes() {
        match change.tag() {
            ChangeTag::Equal => {
                push(&mut before, change.value(), false);
                push(&mut after, change.value(), false);
            }
            ChangeTag::Delete => push(&mut before, change.value(), is_word(change.value())),
            ChangeTag::Insert => push(&mut after, change.value(), is_word(change.value())),
        }
    }
    (joined(before), joined(after))
}

/// Changed words with nothing but blanks between them as one stretch: a mark each would break a phrase into pieces.
fn joined(pieces: Vec<Piece>) -> Vec<Piece> {
    let mut joined: Vec<Piece> = Vec::with_capacity(pieces.len());
    for piece in pieces {
        if piece.changed
            && let [.., last, blank] = joined.as_mut_slice()
            && last.changed
            && !is_word(&blank.text)
        {
            last.text.push_str(&blank.text);
            last.text.push_str(&piece.text);
            joined.pop();
        } else {
            joined.push(piece);
        }
    }
    joined
}

/// Whether there is anything to mark: blanks between words are not.
fn is_word(text: &str) -> bool {
    !text.trim().is_empty()
}

fn push(pieces: &mut Vec<Piece>, text: &str, changed: bool) {
    match pieces.last_mut() {
        Some(last) if last.changed == changed => last.text.push_str(text),
        _ => pieces.push(Piece { text: text.to_string(), changed }),
    }
}
