//! The parts of an entry in the order of the text, each with what it is: one walk through the tree for all that asks what
//! stands where.

use crate::journal::NameSort;
use crate::syntax::{
    Entry, EntryWord, Field, FieldWord, LayoutItem, Measure, Moment, Portion, ReadingItem, RowPick, Rows, Value,
};
use crate::text::Span;

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// The word that says what an entry is.
    EntryWord,
    /// The word that says what a field is.
    FieldWord,
    /// A name that the entry declares.
    Declared(NameSort),
    /// A name of something that is declared elsewhere.
    Used(NameSort),
    /// The name of a material, or a class.
    MaterialOrClass,
    /// A crop.
    Crop,
    /// One of a few words, or a word that is not declared.
    Word,
    /// The name of a rulebook.
    Rulebook,
    /// The name of a finding.
    Code,
    /// A number.
    Number,
    /// A unit.
    Unit,
    /// A day.
    Date,
    /// The weekday behind a page's day.
    Weekday,
    /// A time of day.
    Clock,
    /// A title, without its quotes.
    Title,
    /// Words.
    Text,
    /// A line of a note.
    Note,
    /// A remark.
    Comment,
}

/// A part of an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub sort: Sort,
    /// The place of its field in the entry; none for the first line and for remarks.
    pub field: Option<usize>,
}

/// What an entry declares, by its first word.
pub fn declares(kind: EntryWord) -> Option<NameSort> {
    Some(match kind {
        EntryWord::Farm => NameSort::Farm,
        EntryWord::Block => NameSort::Block,
        EntryWord::Person => NameSort::Person,
        EntryWord::Rig => NameSort::Rig,
        EntryWord::Water => NameSort::Water,
        EntryWord::Material => NameSort::Material,
        EntryWord::Mix => NameSort::Mix,
        EntryWord::Program => NameSort::Program,
        EntryWord::Limits => NameSort::Limits,
        EntryWord::Brew => NameSort::Brew,
        _ => return None,
    })
}

/// What the names on the first line of a dated entry are of.
pub fn about(kind: EntryWord) -> Option<NameSort> {
    Some(match kind {
        EntryWord::Spray
        | EntryWord::Skip
        | EntryWord::Observe
        | EntryWord::Weather
        | EntryWord::Forecast
        | EntryWord::Harvest
        | EntryWord::Work
        | EntryWord::Post
        | EntryWord::Sample => NameSort::Block,
        EntryWord::Receive | EntryWord::Count | EntryWord::Discard | EntryWord::Approve => NameSort::Material,
        EntryWord::Calibrate | EntryWord::Clean => NameSort::Rig,
        EntryWord::Train => NameSort::Person,
        _ => return None,
    })
}

/// What the names behind a field's word are of, where the field takes names alone.
pub fn names_of(word: FieldWord) -> Option<Sort> {
    Some(match word {
        FieldWord::By | FieldWord::Authorised => Sort::Used(NameSort::Person),
        FieldWord::Rig => Sort::Used(NameSort::Rig),
        FieldWord::Water => Sort::Used(NameSort::Water),
        FieldWord::Batch => Sort::Used(NameSort::Brew),
        FieldWord::Blocks => Sort::Used(NameSort::Block),
        FieldWord::Program => Sort::Used(NameSort::Program),
        FieldWord::Order => Sort::MaterialOrClass,
        FieldWord::Crop => Sort::Crop,
        _ => return None,
    })
}

/// The parts of an entry, in the order of the text.
pub fn parts(entry: &Entry) -> Vec<Part> {
    let mut walk = Walk { parts: Vec::new(), field: None };
    walk.head(entry);
    for (place, field) in entry.fields.iter().enumerate() {
        walk.field = Some(place);
        walk.put(field.at, Sort::FieldWord);
        walk.value(field);
    }
    walk.field = None;
    walk.all(&entry.comments, Sort::Comment);
    walk.parts.retain(|part| !part.span.is_empty());
    walk.parts.sort_by_key(|part| (part.span.start, part.span.end));
    walk.parts
}

/// The part that an address lies in or at the end of; of two that meet there the one that begins.
pub fn part_at(parts: &[Part], address: u32) -> Option<Part> {
    let touching = || parts.iter().filter(|part| part.span.start <= address && address <= part.span.end);
    touching().find(|part| address < part.span.end).or_else(|| touching().next()).copied()
}

/// The quantities of a field.
pub fn measures(value: &Value) -> Vec<&Measure> {
    match value {
        Value::Measure(measure) | Value::Limit { most: measure, .. } => vec![measure],
        Value::Portion { portion, .. } => vec![&portion.measure],
        Value::MixUse { volume, .. } => volume.iter().collect(),
        Value::Contents(portions) => portions.iter().map(|portion| &portion.measure).collect(),
        Value::Reading { items, .. } => items
            .iter()
            .filter_map(|item| match item {
                ReadingItem::Measured { measure, .. } => Some(measure),
                ReadingItem::Remark(_) => None,
            })
            .collect(),
        Value::Load { volume, portions, .. } => {
            std::iter::once(volume).chain(portions.iter().map(|portion| &portion.measure)).collect()
        }
        Value::Layout { items, .. } => items.iter().map(|item| &item.measure).collect(),
        Value::Rounds { every, .. } => every.iter().collect(),
        Value::Leftover { left, .. } => vec![left],
        Value::Canopy { height, width, .. } => vec![height, width],
        Value::Drive { length, time } => std::iter::once(length).chain(time).map(AsRef::as_ref).collect(),
        Value::Plot { side, other, time } => {
            std::iter::once(side).chain(other).chain(time).map(AsRef::as_ref).collect()
        }
        Value::Amounts(amounts) => amounts.iter().collect(),
        Value::Every(every) => vec![every],
        Value::Caught { amounts, time } => amounts.iter().chain(time.as_deref()).collect(),
        Value::Rated { amount, time, pressure } => {
            [amount, time].into_iter().chain(pressure).map(AsRef::as_ref).collect()
        }
        _ => Vec::new(),
    }
}

/// The material that a quantity of a field is of, by where its name stands.
pub fn portion_of<'e>(value: &'e Value, measure: &Measure) -> Option<&'e Portion> {
    let portions: &[Portion] = match value {
        Value::Portion { portion, .. } => std::slice::from_ref(portion),
        Value::Load { portions, .. } => portions,
        _ => return None,
    };
    portions.iter().find(|portion| portion.measure.span == measure.span)
}

struct Walk {
    parts: Vec<Part>,
    field: Option<usize>,
}

impl Walk {
    fn put(&mut self, span: Span, sort: Sort) {
        self.parts.push(Part { span, sort, field: self.field });
    }

    fn some(&mut self, span: Option<Span>, sort: Sort) {
        if let Some(span) = span {
            self.put(span, sort);
        }
    }

    fn all(&mut self, spans: &[Span], sort: Sort) {
        spans.iter().for_each(|&span| self.put(span, sort));
    }

    fn head(&mut self, entry: &Entry) {
        let head = &entry.head;
        let date_line =
            entry.kind == Some(EntryWord::Day) && head.date.is_some_and(|date| date.start == head.word.start);
        if !date_line {
            self.put(head.word, Sort::EntryWord);
        }
        let declared = entry.kind.and_then(declares).map(Sort::Declared);
        let sort = declared.or(entry.kind.and_then(about).map(Sort::Used)).unwrap_or(Sort::Word);
        self.all(&head.names, sort);
        let of = match entry.kind {
            Some(EntryWord::Brew) => Sort::Used(NameSort::Material),
            Some(EntryWord::Amend) => Sort::Used(NameSort::Block),
            _ => Sort::Word,
        };
        self.some(head.of, of);
        self.rows(head.rows.as_ref());
        self.some(head.date, Sort::Date);
        self.some(head.weekday, Sort::Weekday);
        self.some(head.title, Sort::Title);
    }

    fn rows(&mut self, rows: Option<&RowPick>) {
        if let Some(RowPick { rows: Rows::Listed(runs), .. }) = rows {
            for run in runs {
                self.put(run.first, Sort::Number);
                self.some(run.last, Sort::Number);
            }
        }
    }

    fn measure(&mut self, measure: &Measure, on: Sort) {
        self.put(measure.number, Sort::Number);
        self.some(measure.high, Sort::Number);
        self.some(measure.unit, Sort::Unit);
        self.some(measure.of, Sort::MaterialOrClass);
        if let Some(per) = measure.per {
            self.some(per.number, Sort::Number);
            self.put(per.unit, Sort::Unit);
        }
        self.all(&measure.on, on);
        self.some(measure.from, Sort::Date);
    }

    fn portion(&mut self, portion: &Portion, name: Sort) {
        self.put(portion.name, name);
        self.measure(&portion.measure, Sort::Crop);
    }

    fn moment(&mut self, moment: &Moment) {
        self.some(moment.date, Sort::Date);
        self.put(moment.clock, Sort::Clock);
    }

    fn value(&mut self, field: &Field) {
        const MATERIAL: Sort = Sort::Used(NameSort::Material);
        const PERSON: Sort = Sort::Used(NameSort::Person);
        match &field.value {
            Value::Names(names) => self.all(names, names_of(field.word).unwrap_or(Sort::Word)),
            Value::Text(text) => self.put(*text, Sort::Text),
            Value::Note(lines) => self.all(lines, Sort::Note),
            Value::Measure(measure) => self.measure(measure, Sort::Crop),
            Value::Limit { class, most } => {
                self.some(*class, Sort::MaterialOrClass);
                self.measure(most, Sort::Crop);
            }
            Value::Portion { portion, lot } => {
                self.portion(portion, MATERIAL);
                self.some(*lot, Sort::Text);
            }
            Value::MixUse { mix, volume, .. } => {
                self.put(*mix, Sort::Used(NameSort::Mix));
                volume.iter().for_each(|volume| self.measure(volume, Sort::Crop));
            }
            Value::Contents(portions) => portions.iter().for_each(|portion| self.portion(portion, Sort::Word)),
            Value::Reading { clock, items } => {
                self.some(*clock, Sort::Clock);
                for item in items {
                    match item {
                        ReadingItem::Measured { name, measure, compass } => {
                            self.some(*name, Sort::Word);
                            self.measure(measure, Sort::Crop);
                            self.some(*compass, Sort::Word);
                        }
                        ReadingItem::Remark(words) => self.put(*words, Sort::Text),
                    }
                }
            }
            Value::Load { count, volume, portions } => {
                self.some(*count, Sort::Number);
                self.measure(volume, Sort::Crop);
                portions.iter().for_each(|portion| self.portion(portion, MATERIAL));
            }
            Value::Layout { rows, items } => {
                for run in rows {
                    self.put(run.first, Sort::Number);
                    self.some(run.last, Sort::Number);
                }
                items.iter().for_each(|LayoutItem { measure, .. }| self.measure(measure, Sort::Crop));
            }
            Value::Times { start, end } => {
                self.moment(start);
                end.iter().for_each(|end| self.moment(end));
            }
            Value::Day(day) | Value::StartDay(day) => self.put(*day, Sort::Date),
            Value::StartStage(words) => self.put(*words, Sort::Text),
            Value::StartBbch(code) => self.put(*code, Sort::Number),
            Value::StartSight { what, percent, .. } => {
                self.put(*what, Sort::Word);
                self.put(*percent, Sort::Number);
            }
            Value::Rounds { fewest, most, every } => {
                self.some(*fewest, Sort::Number);
                self.some(*most, Sort::Number);
                every.iter().for_each(|every| self.measure(every, Sort::Crop));
            }
            Value::Leftover { left, rows, text } => {
                self.measure(left, Sort::Used(NameSort::Block));
                self.rows(rows.as_ref());
                self.some(*text, Sort::Text);
            }
            Value::Entered { date, clock, by } => {
                self.put(*date, Sort::Date);
                self.some(*clock, Sort::Clock);
                self.all(by, PERSON);
            }
            Value::Signed { by, date, clock } => {
                self.all(by, PERSON);
                self.put(*date, Sort::Date);
                self.some(*clock, Sort::Clock);
            }
            Value::Incidence { what, count } => {
                self.put(*what, Sort::Word);
                self.count(count);
            }
            Value::Count(count) => self.count(count),
            Value::Severity { what, percent, text } => {
                self.put(*what, Sort::Word);
                self.put(*percent, Sort::Number);
                self.some(*text, Sort::Text);
            }
            Value::Sample { number, unit, of, what, clock } => {
                self.put(*number, Sort::Number);
                self.some(*unit, Sort::Unit);
                self.some(*of, Sort::Number);
                self.some(*what, Sort::Word);
                self.some(*clock, Sort::Clock);
            }
            Value::Apart { what, number, unit, from } => {
                self.some(*what, Sort::MaterialOrClass);
                self.put(*number, Sort::Number);
                self.put(*unit, Sort::Unit);
                self.all(from, Sort::MaterialOrClass);
            }
            Value::Never { what, with } => {
                self.some(*what, Sort::MaterialOrClass);
                self.all(with, Sort::MaterialOrClass);
            }
            Value::Posting { what, at } => {
                self.all(what, Sort::Word);
                at.iter().for_each(|at| self.moment(at));
            }
            Value::Accept { code, reason } => {
                self.put(*code, Sort::Code);
                self.put(*reason, Sort::Text);
            }
            Value::Licence { number, until } => {
                self.put(*number, Sort::Text);
                self.some(*until, Sort::Date);
            }
            Value::Rulebooks { names, from, until } => {
                self.all(names, Sort::Rulebook);
                self.some(*from, Sort::Date);
                self.some(*until, Sort::Date);
            }
            Value::Years(years) | Value::Fold(years) | Value::Whole(years) => self.put(*years, Sort::Number),
            Value::History { from } => self.some(*from, Sort::Date),
            Value::Days { first, last } => {
                self.put(*first, Sort::Date);
                self.some(*last, Sort::Date);
            }
            Value::Canopy { from, .. } => {
                measures(&field.value).into_iter().for_each(|measure| self.measure(measure, Sort::Crop));
                self.some(*from, Sort::Date);
            }
            Value::AfterRain { number, unit } => {
                self.put(*number, Sort::Number);
                self.put(*unit, Sort::Unit);
            }
            Value::Window { low, high } => {
                self.put(*low, Sort::Number);
                self.put(*high, Sort::Number);
            }
            Value::Amounts(_)
            | Value::Every(_)
            | Value::Drive { .. }
            | Value::Plot { .. }
            | Value::Caught { .. }
            | Value::Rated { .. } => {
                measures(&field.value).into_iter().for_each(|measure| self.measure(measure, Sort::Crop));
            }
        }
    }

    fn count(&mut self, count: &crate::syntax::Count) {
        self.put(count.found, Sort::Number);
        self.put(count.of, Sort::Number);
        self.some(count.text, Sort::Text);
    }
}
