//! A farm's texts on a desk of their own: what is planned or supposed is laid beside a copy, never into the journal.

use chrono::NaiveDate;

use crate::checks::{self, Check};
use crate::finding::Finding;
use crate::journal::{Journal, compile};
use crate::season::Season;
use crate::syntax::{EntryWord, first_word, is_date_line, split_entries};
use crate::text::{SourceId, Sources, SourcesError};

/// A farm's texts, copied.
#[derive(Debug)]
pub struct Desk {
    sources: Sources,
    files: Vec<SourceId>,
}

impl Desk {
    /// A copy of a farm's files.
    ///
    /// # Errors
    /// Where all texts together are larger than a run can hold.
    pub fn new(sources: &Sources, files: &[SourceId]) -> Result<Self, SourcesError> {
        let texts = files.iter().map(|&file| (file, sources.get(file).text().to_string()));
        Self::of_texts(sources, texts)
    }

    /// A copy of a farm's files as they were at the end of a day: without what later pages hold, but for forecasts.
    ///
    /// # Errors
    /// Where all texts together are larger than a run can hold.
    pub fn up_to(sources: &Sources, files: &[SourceId], day: NaiveDate) -> Result<Self, SourcesError> {
        Self::of_texts(sources, files.iter().map(|&file| (file, pages_up_to(sources.get(file).text(), day))))
    }

    /// The same with other texts in the place of files.
    pub(super) fn of_texts(
        sources: &Sources,
        texts: impl Iterator<Item = (SourceId, String)>,
    ) -> Result<Self, SourcesError> {
        let mut copy = Sources::new();
        let files = texts.map(|(file, text)| copy.add(sources.get(file).path(), text)).collect::<Result<_, _>>()?;
        // Without what comes with the program, a farm's `pantry yes` would find nothing.
        for shipped in sources.shipped().map(|file| sources.get(file)) {
            copy.add_shipped(&shipped.path().display().to_string(), shipped.text())?;
        }
        Ok(Self { sources: copy, files })
    }

    /// The texts.
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// The files, in the order of the farm's own.
    pub fn files(&self) -> &[SourceId] {
        &self.files
    }

    /// Lays one more text beside the files, for good.
    pub(super) fn keep(&mut self, name: &str, text: String) -> Result<SourceId, SourcesError> {
        let added = self.sources.add(name, text)?;
        self.files.push(added);
        Ok(added)
    }

    /// Understands the files.
    pub fn compile(&self) -> Journal {
        compile(&self.sources, &self.files)
    }

    /// Understands the files with one more text beside them, which is gone afterwards but for its words.
    pub(super) fn with(&mut self, name: &str, text: String) -> Result<(Journal, SourceId), SourcesError> {
        let (files, added) = crate::with_text(&mut self.sources, &self.files, name, text)?;
        Ok((compile(&self.sources, &files), added))
    }

    /// What some checks find in a journal of these texts.
    pub fn check<'s>(&'s self, journal: &'s Journal, like: Like<'s>, wanted: impl Fn(&Check) -> bool) -> Checked<'s> {
        let season = Season::new(journal, &self.sources, like.as_of).with_shelf(like.shelf);
        let findings = checks::run_some(&season, wanted);
        Checked { season, findings }
    }
}

/// What a season on the desk has in common with the farm's own.
#[derive(Clone, Copy, Debug)]
pub struct Like<'s> {
    /// The day that counts as today.
    pub as_of: Option<NaiveDate>,
    /// The rulebooks at hand.
    pub shelf: &'s crate::rulebook::Shelf,
}

/// A season on the desk, and what was found in it.
#[derive(Debug)]
pub struct Checked<'s> {
    /// The season.
    pub season: Season<'s>,
    /// What was found.
    pub findings: Vec<Finding>,
}

/// A text without the entries that stand on pages after a day. Forecasts stay, and so does what needs no date.
fn pages_up_to(text: &str, day: NaiveDate) -> String {
    let mut kept = String::with_capacity(text.len());
    // The date line of a later page, which is kept only with a forecast under it.
    let mut later: Option<&str> = None;
    let mut is_later = false;
    for range in split_entries(text) {
        let entry = &text[range];
        if is_date_line(entry) {
            let date = entry.split_whitespace().next().and_then(|date| date.parse::<NaiveDate>().ok());
            is_later = date.is_some_and(|date| date > day);
            later = is_later.then_some(entry);
            if !is_later {
                kept.push_str(entry);
            }
            continue;
        }
        let word = EntryWord::named(&entry[..first_word(entry)].to_lowercase());
        if is_later && word == Some(EntryWord::Forecast) {
            kept.extend(later.take());
        }
        if !is_later || word.is_some_and(|word| word.is_standing() || word == EntryWord::Forecast) {
            kept.push_str(entry);
        }
    }
    kept
}
