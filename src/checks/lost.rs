//! Lines that could not be read, explained: three checks share them out by what is wrong.

use rustc_hash::FxHashSet;

use super::wording::hides;
use crate::journal::{Journal, Named, Trouble};
use crate::season::Season;
use crate::syntax::{EntryWord, Lost, explain_field, explain_head};
use crate::text::Span;

/// A line that could not be read.
pub(super) struct LostLine {
    /// The line.
    pub line: Span,
    /// The entry it stands in.
    pub entry: Option<EntryWord>,
    /// Why.
    pub lost: Lost,
}

impl LostLine {
    /// A place in the line.
    pub(super) fn at(&self, place: &std::ops::Range<usize>) -> Span {
        Span::new(self.line.start + place.start as u32, self.line.start + place.end as u32)
    }
}

/// Every line that could not be read, but those with hidden characters, which are reported as such.
pub(super) fn lost_lines<'s>(season: &'s Season<'_>) -> impl Iterator<Item = LostLine> + 's {
    let mut known: Option<FxHashSet<&str>> = None;
    season.journal.troubles.iter().filter_map(move |trouble| {
        let &Trouble::UnreadableLine { line, entry, head } = trouble else { return None };
        if hides(season, line) {
            return None;
        }
        let known = known.get_or_insert_with(|| names(season.journal).map(|named| &*named.name).collect());
        let known = |name: &str| known.contains(&*name.to_lowercase());
        let (words, year) = (season.words(line), year_at(season, line));
        let lost = match entry {
            Some(entry) if head => explain_head(words, entry, year, &known),
            _ => explain_field(words, year, &known),
        };
        Some(LostLine { line, entry, lost })
    })
}

/// The year of the page that a line stands on, or of the nearest page before it; else of the journal's first.
fn year_at(season: &Season<'_>, line: Span) -> Option<i32> {
    use chrono::Datelike;
    let days = &season.journal.days;
    let after = days.partition_point(|day| day.at.line.start <= line.start);
    let day = days[..after].last().or_else(|| days.first())?;
    Some(day.at.day.year())
}

/// Everything that has a name.
pub(super) fn names(journal: &Journal) -> impl Iterator<Item = &Named> {
    let blocks = journal.blocks.iter().map(|block| &block.named);
    let people = journal.people.iter().map(|person| &person.named);
    let rigs = journal.rigs.iter().map(|rig| &rig.named);
    let waters = journal.waters.iter().map(|water| &water.named);
    let materials = journal.materials.iter().map(|material| &material.named);
    let mixes = journal.mixes.iter().map(|mix| &mix.named);
    let programs = journal.programs.iter().map(|program| &program.named);
    let brews = journal.brews.iter().map(|brew| &brew.named);
    blocks.chain(people).chain(rigs).chain(waters).chain(materials).chain(mixes).chain(programs).chain(brews)
}
