//! Entries read again, and their records put in the place of what they were.

use std::ops::Range;

use rustc_hash::FxHashSet;

use super::super::compile::{Page, Piece, Reader, Sort, declares, hidden, keep, read, shapes};
use super::super::lower::Shape;
use super::super::*;
use super::{Changed, Declared, Living, Reread};
use crate::syntax::EntryWord;
use crate::text::{SourceId, Span, is_hidden};

impl Living {
    /// Reads an entry that says what is so again; nothing done where others must be read again because of it.
    pub(super) fn reread_standing(&mut self, number: usize, part: usize) -> Option<Reread> {
        let id = SourceId(part as u32);
        let source = self.sources.get(id);
        let (text, base) = (source.text(), source.base());
        let Sort::Entry(kind) = self.sorts[part] else { return None };
        let mut found = Journal::default();
        let entry = read(&Piece { text, base, file: id, kind, page: None }, &mut found.troubles);
        let kind = entry.kind?;
        let reader = Reader::new(&self.sources);
        let no_shapes: &[Shape] = &[];
        let by_shape = if kind == EntryWord::Material { no_shapes } else { &self.shapes };
        let mut lowering = reader.lowering(id, &self.names, by_shape);
        /// Takes the place of the one that began where this does.
        fn put<T>(list: &mut [T], one: T, named: impl Fn(&T) -> &Named) -> Option<usize> {
            let at = list.iter().position(|old| named(old).entry.start == named(&one).entry.start)?;
            list[at] = one;
            Some(at)
        }
        let journal = &mut self.journal;
        let what = match kind {
            EntryWord::Block => {
                let at = put(&mut journal.blocks, lowering.block(&entry), |one| &one.named)?;
                Some(Declared::Block(BlockId::at(at)))
            }
            EntryWord::Rig => {
                let at = put(&mut journal.rigs, lowering.rig(&entry), |one| &one.named)?;
                Some(Declared::Rig(RigId::at(at)))
            }
            EntryWord::Mix => {
                let at = put(&mut journal.mixes, lowering.mix(&entry), |one| &one.named)?;
                Some(Declared::Mix(MixId::at(at)))
            }
            EntryWord::Person => {
                let at = put(&mut journal.people, lowering.person(&entry), |one| &one.named)?;
                Some(Declared::Person(PersonId::at(at)))
            }
            EntryWord::Water => {
                let at = put(&mut journal.waters, lowering.water(&entry), |one| &one.named)?;
                Some(Declared::Water(WaterId::at(at)))
            }
            EntryWord::Material => {
                let at = put(&mut journal.materials, lowering.material(&entry), |one| &one.named)?;
                // Amounts of it are read by its form.
                let shape = shapes(&journal.materials[at..=at]);
                if shape.first().is_none_or(|shape| !shape.reads_like(&self.shapes[at])) {
                    return None;
                }
                Some(Declared::Material(MaterialId::at(at)))
            }
            EntryWord::Limits => {
                put(&mut journal.limits, lowering.limits(&entry), |one| &one.named)?;
                None
            }
            EntryWord::Program => {
                put(&mut journal.programs, lowering.program(&entry), |one| &one.named)?;
                None
            }
            _ => return None,
        };
        let changed = Changed { kind, what };
        keep(lowering, &mut found);
        let whole = source.span();
        found.troubles.retain(|trouble| !of_names(trouble));
        // An entry that grew from nothing leaves no record behind it: what lies beyond its end was never its own.
        let next = self.end_of(part);
        self.journal.troubles.retain(|trouble| {
            of_names(trouble) || of_file(trouble) || !(whole.start..next).contains(&trouble.place().start)
        });
        self.journal.accepts.retain(|accept| accept.entry.start != whole.start);
        self.take_rest(found);
        self.look_for_hidden(number, part..part + 1);
        Some(Reread::Standing(changed))
    }

    /// Reads entries that say what was done again; with those that stand under a page, where one came, changed or went.
    /// Gives back the stretch of the address space that was read, and the blocks that what was there and what is there now
    /// are about.
    pub(super) fn reread(&mut self, number: usize, mut fresh: Range<usize>, paged: bool) -> (Span, Vec<BlockId>) {
        if paged {
            fresh.end = self.until_next_page(number, fresh.end);
        }
        // What stood before and is gone left its records between the entry above and the first one now.
        let above = fresh.start.checked_sub(1).map(|above| self.sources.get(SourceId(above as u32)).span().end);
        let stretch = Span::new(above.unwrap_or_default(), self.start_of(fresh.end));
        let mut blocks = self.blocks_in(stretch);
        if fresh.is_empty() {
            self.drop_records(stretch, &[]);
            self.look_for_hidden(number, fresh);
            return (stretch, blocks);
        }
        let standing = |sort: Sort| matches!(sort, Sort::Entry(kind) if declares(kind));
        let kept: Vec<Span> = fresh
            .clone()
            .filter(|&part| standing(self.sorts[part]))
            .map(|part| Span::new(self.start_of(part), self.start_of(part + 1)))
            .collect();
        self.drop_records(stretch, &kept);
        let reader = Reader::new(&self.sources);
        let piece = |part: usize, kind: Option<EntryWord>, page: Option<u32>| {
            let source = self.sources.get(SourceId(part as u32));
            Piece { text: source.text(), base: source.base(), file: SourceId(part as u32), kind, page }
        };
        let mut found = Journal::default();
        let mut pages: Vec<Page> = Vec::new();
        let above = (self.files[number].parts.start..fresh.start).rev().find(|&part| self.sorts[part] == Sort::Page);
        if let Some(above) = above {
            // Its own troubles are told already.
            let day = reader.page(&piece(above, Some(EntryWord::Day), None), &mut Journal::default());
            pages.push(Page { day });
        }
        let mut dated: Vec<Piece<'_>> = Vec::with_capacity(fresh.len());
        for part in fresh.clone() {
            match self.sorts[part] {
                Sort::Page => {
                    let day = reader.page(&piece(part, Some(EntryWord::Day), None), &mut found);
                    pages.push(Page { day });
                }
                Sort::Entry(kind) if !declares(kind) => {
                    dated.push(piece(part, kind, pages.len().checked_sub(1).map(|page| page as u32)));
                }
                Sort::Entry(_) => {}
            }
        }
        let records = reader.dated(&dated, &pages, &self.names, &self.shapes);
        self.put_records(stretch, records);
        self.take_rest(found);
        self.look_for_hidden(number, fresh.clone());
        blocks.extend(self.blocks_in(stretch));
        blocks.sort_unstable();
        blocks.dedup();
        (stretch, blocks)
    }

    /// The blocks that sprays, observations, work and picks of a stretch of the address space are about.
    fn blocks_in(&self, stretch: Span) -> Vec<BlockId> {
        fn few<T: Stands>(list: &[T], stretch: Span) -> &[T] {
            let from = list.partition_point(|record| record.entry() < stretch.start);
            let to = list.partition_point(|record| record.entry() < stretch.end);
            &list[from..to]
        }
        let journal = &self.journal;
        let sprays = few(&journal.sprays, stretch).iter().flat_map(|spray| {
            let left = spray.leftover.as_ref().map(|leftover| &leftover.ground);
            std::iter::once(&spray.ground).chain(left)
        });
        let seen = few(&journal.observations, stretch).iter().map(|seen| &seen.ground);
        let works = few(&journal.works, stretch).iter().map(|work| &work.ground);
        let picks = few(&journal.harvests, stretch).iter().map(|pick| &pick.ground);
        let grounds = sprays.chain(seen).chain(works).chain(picks);
        grounds.flat_map(|ground| &ground.blocks).filter_map(|block| block.id).collect()
    }

    /// Where a source begins; behind the last of the files, where the pantry does.
    fn start_of(&self, part: usize) -> u32 {
        self.sources.get(SourceId(part as u32)).base()
    }

    fn end_of(&self, part: usize) -> u32 {
        self.start_of(part + 1)
    }

    /// Forgets what was done and what was not understood in a stretch of the address space, but for some of it.
    fn drop_records(&mut self, stretch: Span, kept: &[Span]) {
        let inside = |at: u32| {
            (stretch.start..stretch.end).contains(&at) && !kept.iter().any(|kept| (kept.start..kept.end).contains(&at))
        };
        let journal = &mut self.journal;
        journal.troubles.retain(|trouble| of_file(trouble) || !inside(trouble.place().start));
        journal.accepts.retain(|accept| !inside(accept.entry.start));
        journal.days.retain(|day| !inside(day.at.entry.start));
        self.put_records(stretch, Journal::default());
    }

    /// Puts records in the place of those of a stretch of the address space.
    fn put_records(&mut self, stretch: Span, mut records: Journal) {
        fn put<T: Stands>(list: &mut Vec<T>, more: &mut Vec<T>, stretch: Span) {
            let from = list.partition_point(|record| record.entry() < stretch.start);
            let to = list.partition_point(|record| record.entry() < stretch.end);
            list.splice(from..to, more.drain(..));
        }
        each_dated!(put, self.journal, records, stretch);
        self.take_rest(records);
    }

    /// Takes pages, accepts and troubles into the journal, the troubles in the order in which reading all meets them: what
    /// cannot be seen, pages, what is so, what was done.
    fn take_rest(&mut self, mut found: Journal) {
        let (journal, sources, sorts) = (&mut self.journal, &self.sources, &self.sorts);
        if !found.troubles.is_empty() {
            journal.troubles.append(&mut found.troubles);
            let named = NameSort::ALL.into_iter().flat_map(|sort| journal.declared(sort));
            let understood: FxHashSet<u32> = named.map(|named| named.entry.start).collect();
            journal.troubles.sort_by_cached_key(|trouble| {
                let part = sources.source_of(trouble.place()).0;
                let known = || understood.contains(&sources.get(SourceId(part)).base());
                match (trouble, sorts.get(part as usize)) {
                    (Trouble::HiddenCharacters { .. }, _) => (0, part),
                    (_, Some(Sort::Page)) => (1, part),
                    (_, Some(Sort::Entry(kind))) if !declares(*kind) => (5, part),
                    (_, Some(Sort::Entry(Some(EntryWord::Material)))) if !of_names(trouble) && known() => (3, part),
                    (_, Some(_)) if !of_names(trouble) && known() => (4, part),
                    _ => (2, 0),
                }
            });
        }
        journal.accepts.append(&mut found.accepts);
        if let Some(first) = found.days.first().map(|day| day.at.entry.start) {
            let at = journal.days.partition_point(|day| day.at.entry.start < first);
            journal.days.splice(at..at, found.days);
        }
    }

    /// Counts the characters that cannot be seen in the file of some sources, where there are or were some.
    fn look_for_hidden(&mut self, number: usize, fresh: Range<usize>) {
        let file = &self.files[number];
        let stretch = self.start_of(file.parts.start)..self.start_of(file.parts.end);
        let of_this = |trouble: &Trouble| of_file(trouble) && stretch.contains(&trouble.place().start);
        let hides = |part: usize| self.sources.get(SourceId(part as u32)).text().chars().any(is_hidden);
        if !self.journal.troubles.iter().any(of_this) && !fresh.into_iter().any(hides) {
            return;
        }
        let ids: Vec<SourceId> = file.parts.clone().map(|part| SourceId(part as u32)).collect();
        let found = hidden(&self.sources, &ids);
        self.journal.troubles.retain(|trouble| !of_this(trouble));
        self.journal.troubles.extend(found);
    }
}

/// Whether a trouble is about a whole file.
fn of_file(trouble: &Trouble) -> bool {
    matches!(trouble, Trouble::HiddenCharacters { .. })
}

/// Whether a trouble is about what is declared, which is known before what entries say is read.
fn of_names(trouble: &Trouble) -> bool {
    matches!(
        trouble,
        Trouble::DuplicateName { .. }
            | Trouble::LookAlikeName { .. }
            | Trouble::SecondFarm { .. }
            | Trouble::UndatedEntry { .. }
            | Trouble::UnknownEntry { .. }
    )
}

/// A record of something done.
trait Stands {
    /// Where its entry begins.
    fn entry(&self) -> u32;
}

macro_rules! stands {
    ($($record:ty),*) => {$(
        impl Stands for $record {
            fn entry(&self) -> u32 {
                self.at.entry.start
            }
        }
    )*};
}

stands!(
    Spray,
    Skip,
    Observation,
    WeatherDay,
    Harvest,
    Work,
    Posting,
    Receipt,
    Calibration,
    Cleaning,
    Amendment,
    Approval,
    Training,
    LabSample,
    ShelfCount,
    Discard
);
