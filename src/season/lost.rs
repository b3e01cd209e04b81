//! Which kinds of records may be missing because something could not be read: nothing may then be concluded from there
//! being none.

use rustc_hash::FxHashSet;

use crate::journal::{Ground, Journal, Trouble, nearest_word};
use crate::syntax::{EntryWord, FieldWord, SCHEMA};
use crate::text::{Sources, Span};

/// The kinds of records of which some are not known.
#[derive(Debug, Default)]
pub(super) struct Lost {
    everything: bool,
    kinds: FxHashSet<EntryWord>,
    /// Where lines begin that were not read, sorted.
    lines: Vec<u32>,
}

impl Lost {
    /// Gathers what the journal's troubles and its unknown names show, and whether there are lines about rinses that name
    /// no block.
    pub(super) fn new(journal: &Journal, sources: &Sources, rinses: bool) -> Self {
        let mut lost = Self::default();
        if !journal.troubles.is_empty() {
            let pages: FxHashSet<Span> = journal.days.iter().map(|day| day.at.line).collect();
            for trouble in &journal.troubles {
                lost.take(trouble, &pages, sources);
                lost.lines.extend(not_read(trouble).map(|line| line.start));
            }
            lost.lines.sort_unstable();
        }
        let unknown = |ground: &Ground| ground.blocks.iter().any(|block| block.id.is_none());
        let unknown_mix = |used: &crate::journal::MixUse| used.mix.id.is_none();
        if journal.sprays.iter().any(|spray| unknown(&spray.ground) || spray.mix.as_ref().is_some_and(unknown_mix)) {
            lost.kinds.insert(EntryWord::Spray);
        }
        let rests = journal.sprays.iter().filter_map(|spray| spray.leftover.as_ref());
        if rests.into_iter().any(|rest| unknown(&rest.ground)) {
            lost.kinds.insert(EntryWord::Spray);
        }
        let mut put = journal.cleanings.iter().filter_map(|one| one.rinse.as_ref());
        if rinses || put.any(|rinse| unknown(&rinse.ground)) {
            lost.kinds.insert(EntryWord::Clean);
        }
        if journal.observations.iter().any(|seen| unknown(&seen.ground)) {
            lost.kinds.insert(EntryWord::Observe);
        }
        if journal.postings.iter().any(|posting| unknown(&posting.ground)) {
            lost.kinds.insert(EntryWord::Post);
        }
        if journal.receipts.iter().any(|receipt| receipt.material.id.is_none()) {
            lost.kinds.insert(EntryWord::Receive);
        }
        if journal.approvals.iter().any(|one| one.materials.iter().any(|material| material.id.is_none())) {
            lost.kinds.insert(EntryWord::Approve);
        }
        if journal.trainings.iter().any(|one| one.people.iter().any(|person| person.id.is_none())) {
            lost.kinds.insert(EntryWord::Train);
        }
        if journal.samples.iter().any(|sample| unknown(&sample.ground)) {
            lost.kinds.insert(EntryWord::Sample);
        }
        if journal.counts.iter().any(|count| count.material.id.is_none()) {
            lost.kinds.insert(EntryWord::Count);
        }
        if journal.discards.iter().any(|discard| discard.material.id.is_none()) {
            lost.kinds.insert(EntryWord::Discard);
        }
        if journal.brews.iter().any(|brew| brew.material.is_some_and(|of| of.id.is_none())) {
            lost.kinds.insert(EntryWord::Brew);
        }
        if journal.skips.iter().any(|skip| unknown(&skip.ground) || skip.program.is_some_and(|of| of.id.is_none())) {
            lost.kinds.insert(EntryWord::Skip);
        }
        if journal.forecasts.iter().any(|day| unknown(&day.ground)) {
            lost.kinds.insert(EntryWord::Forecast);
        }
        if journal.calibrations.iter().any(|one| one.rig.id.is_none()) {
            lost.kinds.insert(EntryWord::Calibrate);
        }
        lost
    }

    /// Whether a line of an entry could not be read.
    pub(super) fn has_line(&self, entry: Span) -> bool {
        let first = self.lines.partition_point(|&line| line < entry.start);
        self.lines.get(first).is_some_and(|&line| line < entry.end)
    }

    /// Whether some record of a kind may be missing.
    pub(super) fn has(&self, kind: EntryWord) -> bool {
        self.everything || self.kinds.contains(&kind)
    }

    fn take(&mut self, trouble: &Trouble, pages: &FxHashSet<Span>, sources: &Sources) {
        match *trouble {
            // The day of a page, not one in a field.
            Trouble::UnreadableDate { at, .. } => {
                self.everything |= at_margin(sources, at);
            }
            Trouble::UnreadableLine { line, entry: None | Some(EntryWord::Day), head: true } => {
                self.everything |= !pages.contains(&line);
            }
            Trouble::UnreadableLine { entry: Some(kind), head: true, .. }
            | Trouble::UndatedEntry { entry: kind, .. }
            | Trouble::NamelessEntry { entry: kind, .. } => {
                self.kinds.insert(kind);
            }
            // The line that says what was sprayed or posted makes the record.
            Trouble::UnreadableLine { line, entry: Some(EntryWord::Spray), head: false } => {
                let word = first_word(sources.slice(line));
                if FieldWord::named(word)
                    .is_none_or(|word| matches!(word, FieldWord::Mix | FieldWord::Batch | FieldWord::Leftover))
                {
                    self.kinds.insert(EntryWord::Spray);
                }
            }
            Trouble::UnreadableLine { entry: Some(EntryWord::Post), head: false, .. } => {
                self.kinds.insert(EntryWord::Post);
            }
            // A word that is nearly an entry's is read as that entry.
            Trouble::UnknownEntry { word } => {
                let word = sources.slice(word).to_ascii_lowercase();
                let entries = || SCHEMA.iter().map(|rule| rule.word.word());
                self.everything |= FieldWord::named(&word).is_none() && nearest_word(&word, entries()).is_none();
            }
            _ => {}
        }
    }
}

/// Where an entry says something that is not read: a line that cannot be, a second one where only the first counts, and,
/// at its name, a second entry of that name.
fn not_read(trouble: &Trouble) -> Option<Span> {
    use FieldWord::{Batch, Leftover, Mix, Reentry, Rig, Rinse};
    match *trouble {
        Trouble::UnreadableLine { line, .. } => Some(line),
        Trouble::RepeatedField { again, word: Mix | Batch | Leftover | Reentry | Rig | Rinse, .. } => Some(again),
        Trouble::DuplicateName { first, .. } => Some(first),
        _ => None,
    }
}

/// Whether words stand at the beginning of their line, or behind nothing but the word `day`.
fn at_margin(sources: &Sources, at: Span) -> bool {
    let file = sources.get(sources.source_of(at));
    let before = &file.text()[..(at.start - file.base()) as usize];
    let line = before.rsplit(['\n', '\r']).next().unwrap_or_default();
    line.is_empty() || line.trim_end().eq_ignore_ascii_case("day")
}

fn first_word(line: &str) -> &str {
    line.split_whitespace().next().unwrap_or_default()
}
