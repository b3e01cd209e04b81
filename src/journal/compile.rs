//! Files to one journal: names first, then what is so, then, side by side, what was done.

use std::ops::Range;

use chrono::NaiveDate;
use rayon::prelude::*;

use super::lower::{Lowering, Shape};
use super::names::Names;
use super::pantry;
use super::trouble::{NameSort, Trouble};
use super::*;
use crate::syntax::{
    Entry, EntryWord, FieldWord, SCHEMA, Value, first_word, is_date_line, is_spoken_date, read_entry, split_entries,
    split_stretch, weekday_named,
};
use crate::text::{SourceId, Sources, Span, hidden_characters};

/// How many dated entries one thread reads at a time: enough to forget the cost of sharing out, few enough to share.
const BATCH: usize = 1024;

/// How many hidden characters of a file are shown.
const FIRST_HIDDEN: usize = 5;

/// The files that make up one farm's journal, shared ones included.
pub type Files<'f> = &'f [SourceId];

/// One entry of a file, not read yet.
#[derive(Clone, Copy)]
pub(super) struct Piece<'t> {
    pub(super) text: &'t str,
    pub(super) base: u32,
    pub(super) file: SourceId,
    pub(super) kind: Option<EntryWord>,
    /// The page it stands on, by its place in the list of pages.
    pub(super) page: Option<u32>,
}

/// A page's day, once read.
#[derive(Clone, Copy)]
pub(super) struct Page {
    pub(super) day: Option<NaiveDate>,
}

/// Reads and understands the files of one farm's journal.
pub fn compile(sources: &Sources, files: Files<'_>) -> Journal {
    compile_all(sources, files).0
}

/// Reads as [`compile`] does, and hands on what it takes to read one more entry.
pub(super) fn compile_all(sources: &Sources, files: Files<'_>) -> (Journal, Names, Vec<Shape>) {
    let mut journal = Journal::default();
    let mut pieces = Vec::new();
    let mut date_lines = Vec::new();
    for parts in files.chunk_by(|&one, &other| sources.get(one).file() == sources.get(other).file()) {
        let mut page = None;
        for &part in parts {
            cut(sources, part, &mut page, &mut pieces, &mut date_lines);
        }
        journal.troubles.extend(hidden(sources, parts));
    }
    let reader = Reader::new(sources);
    let pages = reader.pages(&date_lines, &mut journal);
    let (standing, dated): (Vec<Piece>, Vec<Piece>) = pieces.into_iter().partition(|piece| declares(piece.kind));
    let names = reader.standing(&standing, &dated, &pages, &mut journal);
    let shapes: Vec<Shape> = shapes(&journal.materials);
    // A few batches at a time, so that what the threads read is never held twice over.
    for share in dated.chunks(BATCH * 8 * rayon::current_num_threads()) {
        let read = |pieces: &[Piece<'_>]| reader.dated(pieces, &pages, &names, &shapes);
        gather(&mut journal, share.par_chunks(BATCH).map(read).collect());
    }
    (journal, names, shapes)
}

/// The hidden characters of a file, in one trouble: a file that is no text at all has millions.
pub(super) fn hidden(sources: &Sources, parts: &[SourceId]) -> Option<Trouble> {
    let mut first = Vec::new();
    let mut count = 0;
    for &part in parts {
        let source = sources.get(part);
        let found = hidden_characters(source.text(), !source.is_part());
        count += found.len();
        first.extend(found.iter().take(FIRST_HIDDEN - first.len()).map(|hidden| {
            let start = source.base() + hidden.offset as u32;
            Span::new(start, start + hidden.character.len_utf8() as u32)
        }));
    }
    (count > 0).then_some(Trouble::HiddenCharacters { first, count })
}

/// Whether an entry declares a name: all standing entries and the batches.
pub(super) fn declares(kind: Option<EntryWord>) -> bool {
    kind.is_some_and(|kind| kind.is_standing() || kind == EntryWord::Brew)
}

pub(super) fn shapes(materials: &[Material]) -> Vec<Shape> {
    materials.iter().map(|material| Shape { form: material.form(), bridged: material.bridge().is_some() }).collect()
}

/// What an entry is by its first word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    /// A page's date line.
    Page,
    /// An entry, of the kind that it is or is meant for.
    Entry(Option<EntryWord>),
}

/// What an entry is, before it is read.
pub(super) fn sort_of(text: &str) -> Sort {
    let word = &text[..first_word(text)];
    let known = EntryWord::named(word);
    // A day in words, or behind the word `day`, is reported, but it is a page all the same.
    if is_date_line(text) || known == Some(EntryWord::Day) || (known.is_none() && is_spoken_date(text)) {
        return Sort::Page;
    }
    // A misspelt word is reported, and what stands under it is read as what it is meant for, so that nobody else misses
    // it. A field's word at the margin is no entry. The first rule is that of a page, which has no word.
    let meant = || nearest_word(&word.to_ascii_lowercase(), SCHEMA.iter().skip(1).map(|rule| rule.word.word()));
    Sort::Entry(match known {
        None if FieldWord::named(word).is_none() => meant().and_then(EntryWord::named),
        known => known,
    })
}

/// Cuts a file, or a part of one, into pieces, each with the page it stands on.
fn cut<'t>(
    sources: &'t Sources,
    file: SourceId,
    page: &mut Option<u32>,
    pieces: &mut Vec<Piece<'t>>,
    date_lines: &mut Vec<Piece<'t>>,
) {
    let source = sources.get(file);
    let entries = if source.is_part() { split_stretch(source.text()) } else { split_entries(source.text()) };
    for Range { start, end } in entries {
        let text = &source.text()[start..end];
        let base = source.base() + start as u32;
        match sort_of(text) {
            Sort::Page => {
                *page = Some(date_lines.len() as u32);
                date_lines.push(Piece { text, base, file, kind: Some(EntryWord::Day), page: *page });
            }
            Sort::Entry(kind) => pieces.push(Piece { text, base, file, kind, page: *page }),
        }
    }
}

pub(super) struct Reader<'s> {
    sources: &'s Sources,
    no_names: Names,
}

impl<'s> Reader<'s> {
    pub(super) fn new(sources: &'s Sources) -> Self {
        Self { sources, no_names: Names::default() }
    }

    pub(super) fn lowering<'j>(&'j self, file: SourceId, names: &'j Names, shapes: &'j [Shape]) -> Lowering<'j> {
        let source = self.sources.get(file);
        Lowering { text: source.text(), base: source.base(), names, shapes, troubles: Vec::new(), accepts: Vec::new() }
    }

    /// Reads the date lines.
    fn pages(&self, date_lines: &[Piece<'_>], journal: &mut Journal) -> Vec<Page> {
        let read: Vec<(Page, Journal)> = date_lines
            .par_iter()
            .with_min_len(BATCH / 8)
            .map(|piece| {
                let mut part = Journal::default();
                let day = self.page(piece, &mut part);
                (Page { day }, part)
            })
            .collect();
        let mut pages = Vec::with_capacity(read.len());
        for (page, part) in read {
            pages.push(page);
            journal.troubles.extend(part.troubles);
            journal.accepts.extend(part.accepts);
            journal.days.extend(part.days);
        }
        pages
    }

    pub(super) fn page(&self, piece: &Piece<'_>, part: &mut Journal) -> Option<NaiveDate> {
        let entry = read_entry(piece.text, piece.base);
        let mut lowering = self.lowering(piece.file, &self.no_names, &[]);
        let (_, notes) = lowering.survey(&entry, EntryWord::Day);
        if !entry.head.word.is_empty() && entry.strays.iter().all(|stray| !stray.head) {
            lowering.trouble(Trouble::UnreadableLine {
                line: entry.head.line,
                entry: Some(EntryWord::Day),
                head: true,
            });
        }
        let day = entry.head.date.and_then(|date| lowering.date(date));
        if let (Some(day), Some(date), Some(at)) = (day, entry.head.date, entry.head.weekday) {
            use chrono::Datelike;
            if weekday_named(lowering.words(at)) != Some(day.weekday()) {
                lowering.trouble(Trouble::WrongWeekday { at, date, is: day.weekday() });
            }
        }
        if let Some(day) = day {
            part.days.push(Day { at: At { day, line: entry.head.line, entry: entry.span }, notes });
        }
        keep(lowering, part);
        day
    }

    /// Declares every name, then reads what is so: materials first, since amounts of them need their form.
    fn standing(&self, pieces: &[Piece<'_>], dated: &[Piece<'_>], pages: &[Page], journal: &mut Journal) -> Names {
        let mut entries: Vec<(Piece<'_>, Entry)> =
            pieces.iter().map(|piece| (*piece, read(piece, &mut journal.troubles))).collect();
        let farm = entries.iter().find(|(_, entry)| entry.kind == Some(EntryWord::Farm));
        if farm.is_some_and(|(_, farm)| self.wants_pantry(farm)) {
            // Behind the journal's own, whose names come first.
            let own = pieces.iter().chain(dated).map(|piece| piece.text);
            for (text, place) in pantry::used(self.sources, own) {
                let file = self.sources.source_of(place);
                let piece = Piece { text, base: place.start, file, kind: Some(EntryWord::Material), page: None };
                entries.push((piece, read(&piece, &mut journal.troubles)));
            }
        }
        let mut names = Names::default();
        let mut kept = Vec::with_capacity(entries.len());
        let mut farm = None;
        for (piece, entry) in &entries {
            if self.gives_way(piece, entry, &names) {
                continue;
            }
            if self.declare(piece, entry, &mut names, &mut farm, journal) {
                kept.push((piece, entry));
            }
        }
        for sort in [
            NameSort::Block,
            NameSort::Person,
            NameSort::Rig,
            NameSort::Water,
            NameSort::Material,
            NameSort::Mix,
            NameSort::Program,
            NameSort::Brew,
        ] {
            let pairs = names.table(sort).look_alikes();
            journal.troubles.extend(pairs.into_iter().map(|(first, again)| Trouble::LookAlikeName {
                first,
                again,
                sort,
            }));
        }
        for (piece, entry) in kept.iter().filter(|(_, entry)| entry.kind == Some(EntryWord::Material)) {
            let mut lowering = self.lowering(piece.file, &names, &[]);
            journal.materials.push(lowering.material(entry));
            keep(lowering, journal);
        }
        let shapes = shapes(&journal.materials);
        for (piece, entry) in kept {
            let mut lowering = self.lowering(piece.file, &names, &shapes);
            match entry.kind {
                Some(EntryWord::Farm) => journal.farm = Some(lowering.farm(entry)),
                Some(EntryWord::Block) => journal.blocks.push(lowering.block(entry)),
                Some(EntryWord::Person) => journal.people.push(lowering.person(entry)),
                Some(EntryWord::Rig) => journal.rigs.push(lowering.rig(entry)),
                Some(EntryWord::Water) => journal.waters.push(lowering.water(entry)),
                Some(EntryWord::Mix) => journal.mixes.push(lowering.mix(entry)),
                Some(EntryWord::Program) => journal.programs.push(lowering.program(entry)),
                Some(EntryWord::Limits) => journal.limits.push(lowering.limits(entry)),
                Some(EntryWord::Brew) => {
                    // A batch whose day is unknown keeps its name, so that its uses raise nothing more.
                    let day = day_of(piece, pages).unwrap_or_default();
                    let at = At { day, line: entry.head.line, entry: entry.span };
                    journal.brews.push(lowering.brew(entry, at));
                }
                _ => {}
            }
            keep(lowering, journal);
        }
        names
    }

    /// Whether a farm's entry asks for the materials that come with the program.
    pub(super) fn wants_pantry(&self, farm: &Entry) -> bool {
        let yes = |name: &Span| self.sources.slice(*name).eq_ignore_ascii_case("yes");
        farm.fields.iter().any(|field| {
            matches!((field.word, &field.value), (FieldWord::Pantry, Value::Names(names)) if names.iter().all(yes))
        })
    }

    /// Whether an entry is the pantry's and the journal has one of its own by that name.
    fn gives_way(&self, piece: &Piece<'_>, entry: &Entry, names: &Names) -> bool {
        let taken = |name: &Span| names.table(NameSort::Material).find(self.sources.slice(*name)).is_some();
        self.sources.get(piece.file).shipped() && entry.head.names.first().is_some_and(taken)
    }

    /// Declares what a standing entry is about. False where the entry cannot be used: it has no name, or one that is
    /// taken.
    fn declare(
        &self,
        piece: &Piece<'_>,
        entry: &Entry,
        names: &mut Names,
        farm: &mut Option<Span>,
        journal: &mut Journal,
    ) -> bool {
        let Some(kind) = entry.kind else { return false };
        let mut lowering = self.lowering(piece.file, &self.no_names, &[]);
        let Some(&span) = entry.head.names.first() else {
            lowering.strays(entry, Some(kind));
            lowering.accepts_of(entry);
            if entry.strays.iter().all(|stray| !stray.head) {
                lowering.trouble(Trouble::NamelessEntry { line: entry.head.line, entry: kind });
            }
            keep(lowering, journal);
            return false;
        };
        if kind == EntryWord::Brew && piece.page.is_none() {
            lowering.trouble(Trouble::UndatedEntry { line: entry.head.line, entry: kind });
        }
        let sort = match kind {
            EntryWord::Farm => NameSort::Farm,
            EntryWord::Block => NameSort::Block,
            EntryWord::Person => NameSort::Person,
            EntryWord::Rig => NameSort::Rig,
            EntryWord::Water => NameSort::Water,
            EntryWord::Material => NameSort::Material,
            EntryWord::Mix => NameSort::Mix,
            EntryWord::Program => NameSort::Program,
            EntryWord::Limits => NameSort::Limits,
            _ => NameSort::Brew,
        };
        let declared = match (sort, *farm) {
            (NameSort::Farm, Some(first)) => Err(first),
            (NameSort::Farm, None) => {
                *farm = Some(span);
                Ok(())
            }
            _ => names.table_mut(sort).declare(lowering.words(span), span).map(|_| ()),
        };
        let fresh = match declared {
            Ok(()) => true,
            Err(first) if sort == NameSort::Farm => {
                lowering.trouble(Trouble::SecondFarm { first, again: span });
                false
            }
            Err(first) => {
                lowering.trouble(Trouble::DuplicateName { first, again: span, sort });
                false
            }
        };
        if !fresh {
            lowering.accepts_of(entry);
        }
        keep(lowering, journal);
        fresh
    }

    /// Reads what was done.
    pub(super) fn dated(&self, pieces: &[Piece<'_>], pages: &[Page], names: &Names, shapes: &[Shape]) -> Journal {
        let mut part = Journal::default();
        let Some(first) = pieces.first() else { return part };
        let mut lowering = self.lowering(first.file, names, shapes);
        let mut file = first.file;
        for piece in pieces {
            if piece.file != file {
                file = piece.file;
                let source = self.sources.get(file);
                (lowering.text, lowering.base) = (source.text(), source.base());
            }
            self.dated_entry(piece, pages, &mut lowering, &mut part);
        }
        keep(lowering, &mut part);
        part
    }

    fn dated_entry(&self, piece: &Piece<'_>, pages: &[Page], lowering: &mut Lowering<'_>, part: &mut Journal) {
        let entry = read(piece, &mut lowering.troubles);
        let Some(kind) = entry.kind else {
            lowering.accepts_of(&entry);
            if entry.head.word.is_empty() {
                // What stands before the first entry of a file: its lines belong to nothing.
                for stray in &entry.strays {
                    lowering.trouble(Trouble::HomelessLine { line: stray.line });
                }
                for field in &entry.fields {
                    lowering.trouble(Trouble::HomelessLine { line: field.at.to(field.span) });
                }
            }
            return;
        };
        if piece.page.is_none() {
            lowering.trouble(Trouble::UndatedEntry { line: entry.head.line, entry: kind });
            lowering.accepts_of(&entry);
            return;
        }
        // A page whose date could not be read has said so; its entries stay quiet.
        let Some(day) = day_of(piece, pages) else { return };
        let needs_name = !matches!(kind, EntryWord::Weather | EntryWord::Forecast | EntryWord::Post | EntryWord::Day);
        if needs_name && entry.head.names.is_empty() && entry.strays.iter().all(|stray| !stray.head) {
            lowering.trouble(Trouble::NamelessEntry { line: entry.head.line, entry: kind });
        }
        let at = At { day, line: entry.head.line, entry: entry.span };
        match kind {
            EntryWord::Spray => part.sprays.push(lowering.spray(&entry, at)),
            EntryWord::Skip => part.skips.push(lowering.skip(&entry, at)),
            EntryWord::Observe => part.observations.push(lowering.observation(&entry, at)),
            EntryWord::Weather => part.weather.push(lowering.weather_day(&entry, EntryWord::Weather, at)),
            EntryWord::Forecast => part.forecasts.push(lowering.weather_day(&entry, EntryWord::Forecast, at)),
            EntryWord::Harvest => part.harvests.push(lowering.harvest(&entry, at)),
            EntryWord::Work => part.works.push(lowering.work(&entry, at)),
            EntryWord::Post => part.postings.push(lowering.posting(&entry, at)),
            EntryWord::Receive => part.receipts.extend(lowering.receipt(&entry, at)),
            EntryWord::Calibrate => part.calibrations.extend(lowering.calibration(&entry, at)),
            EntryWord::Clean => part.cleanings.extend(lowering.cleaning(&entry, at)),
            EntryWord::Amend => part.amendments.extend(lowering.amendment(&entry, at)),
            EntryWord::Approve => part.approvals.push(lowering.approval(&entry, at)),
            EntryWord::Train => part.trainings.push(lowering.training(&entry, at)),
            EntryWord::Sample => part.samples.push(lowering.lab_sample(&entry, at)),
            EntryWord::Count => part.counts.extend(lowering.shelf_count(&entry, at)),
            EntryWord::Discard => part.discards.extend(lowering.discard(&entry, at)),
            _ => {}
        }
    }
}

/// Reads an entry as what it is, or is meant for.
pub(super) fn read(piece: &Piece<'_>, troubles: &mut Vec<Trouble>) -> Entry {
    let mut entry = read_entry(piece.text, piece.base);
    if entry.kind.is_none() && !entry.head.word.is_empty() {
        troubles.push(Trouble::UnknownEntry { word: entry.head.word });
        entry.kind = piece.kind;
    }
    entry
}

fn day_of(piece: &Piece<'_>, pages: &[Page]) -> Option<NaiveDate> {
    pages[piece.page? as usize].day
}

/// Moves what an entry's reader found into the journal.
pub(super) fn keep(lowering: Lowering<'_>, journal: &mut Journal) {
    journal.troubles.extend(lowering.troubles);
    journal.accepts.extend(lowering.accepts);
}

/// Joins what the threads read, in the order of the files.
fn gather(journal: &mut Journal, parts: Vec<Journal>) {
    fn append<T>(list: &mut Vec<T>, more: &mut Vec<T>) {
        list.append(more);
    }
    for mut part in parts {
        each_dated!(append, journal, part);
        journal.accepts.append(&mut part.accepts);
        journal.troubles.append(&mut part.troubles);
    }
}
