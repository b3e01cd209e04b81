//! What every entry's reader needs: the words behind a span, the troubles found, names looked up, days, times and rows.

use chrono::NaiveDate;
use rustc_hash::FxHashMap;

use super::names::{Names, lower};
use super::trouble::{DateTrouble, NameSort, Trouble};
use super::words::{clock_of, date_of};
use super::*;
use crate::quantity::Form;
use crate::syntax::{self, Entry, EntryWord, Field, FieldWord, Moment, RowRun, Rows, Value, entry_rule};
use crate::text::Span;

/// What a material is, as far as reading quantities of it needs to know.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    pub(super) form: Option<Form>,
    pub(super) bridged: bool,
}

impl Shape {
    /// Whether quantities are read alike by both.
    pub(super) fn reads_like(&self, other: &Shape) -> bool {
        self.form == other.form && self.bridged == other.bridged
    }
}

/// Reads one entry after another.
pub(super) struct Lowering<'j> {
    /// The text of the file being read and where it starts, so that words are found without a search.
    pub(super) text: &'j str,
    pub(super) base: u32,
    pub(super) names: &'j Names,
    /// Form and measured weights of every material, by number; empty while materials themselves are read.
    pub(super) shapes: &'j [Shape],
    pub(super) troubles: Vec<Trouble>,
    pub(super) accepts: Vec<Accept>,
}

impl<'j> Lowering<'j> {
    /// The words at a span of the file being read.
    pub(super) fn words(&self, span: Span) -> &'j str {
        &self.text[(span.start - self.base) as usize..(span.end - self.base) as usize]
    }

    /// The words in lower case, as names are compared.
    pub(super) fn lower(&self, span: Span) -> Box<str> {
        lower(self.words(span)).into()
    }

    pub(super) fn lower_all(&self, spans: &[Span]) -> Vec<Box<str>> {
        spans.iter().map(|&span| self.lower(span)).collect()
    }

    pub(super) fn trouble(&mut self, trouble: Trouble) {
        self.troubles.push(trouble);
    }

    /// Looks over what any entry may get wrong (unreadable lines, fields that are not its own, that stand twice or are
    /// missing) and hands on the fields that may be read, notes and accepts apart.
    pub(super) fn survey<'e>(&mut self, entry: &'e Entry, kind: EntryWord) -> (Vec<&'e Field>, Vec<Span>) {
        let rule = entry_rule(kind);
        let mut fields = Vec::with_capacity(entry.fields.len());
        let mut notes = Vec::new();
        let mut first_of = [None; FieldWord::ALL.len()];
        for field in &entry.fields {
            let Some(field_rule) = rule.field(field.word) else {
                self.trouble(Trouble::MisplacedField { at: field.at, word: field.word, entry: kind });
                continue;
            };
            match &mut first_of[field.word as usize] {
                Some(first) if !field_rule.repeats => {
                    self.trouble(Trouble::RepeatedField { first: *first, again: field.at, word: field.word });
                    continue;
                }
                first => first.get_or_insert(field.at),
            };
            match &field.value {
                Value::Note(_) => notes.push(field.span),
                Value::Accept { code, reason } => {
                    self.accepts.push(Accept { code: *code, reason: *reason, entry: entry.span });
                }
                _ => fields.push(field),
            }
        }
        self.strays(entry, Some(kind));
        // A field that is there but unreadable is not missing as well.
        if entry.strays.is_empty() {
            let missing: Vec<FieldWord> = rule
                .fields
                .iter()
                .filter(|field| field.required && first_of[field.word as usize].is_none())
                .map(|field| field.word)
                .collect();
            if !missing.is_empty() {
                self.trouble(Trouble::MissingFields { line: entry.head.line, entry: kind, words: missing });
            }
        }
        (fields, notes)
    }

    /// What an entry accepts, where nothing else of it can be used.
    pub(super) fn accepts_of(&mut self, entry: &Entry) {
        for field in &entry.fields {
            if let Value::Accept { code, reason } = field.value {
                self.accepts.push(Accept { code, reason, entry: entry.span });
            }
        }
    }

    pub(super) fn strays(&mut self, entry: &Entry, kind: Option<EntryWord>) {
        for stray in &entry.strays {
            self.trouble(Trouble::UnreadableLine { line: stray.line, entry: kind, head: stray.head });
        }
    }

    /// Says so where an entry's first line holds more than the entry can use.
    pub(super) fn head_has_only(
        &mut self,
        entry: &Entry,
        kind: EntryWord,
        names: usize,
        of: bool,
        rows: bool,
        date: bool,
    ) {
        let head = &entry.head;
        let extra = head.names.get(names).copied();
        let of = head.of.filter(|_| !of);
        let rows = head.rows.as_ref().filter(|_| !rows).map(|rows| rows.span);
        let date = head.date.filter(|_| !date);
        for at in [extra, of, rows, date].into_iter().flatten() {
            self.trouble(Trouble::StrayHead { at, entry: kind });
        }
    }

    /// A declared thing, by name.
    pub(super) fn find(&mut self, span: Span, sort: NameSort) -> Option<u32> {
        let name = self.words(span);
        let found = self.names.table(sort).find(name);
        if found.is_none() {
            self.trouble(Trouble::UnknownName { at: span, sort });
        }
        found
    }

    pub(super) fn refer<Id>(&mut self, span: Span, sort: NameSort, id: fn(u32) -> Id) -> Ref<Id> {
        Ref { id: self.find(span, sort).map(id), span }
    }

    /// Declared things, each once: a name that stands twice is reported and counts once.
    pub(super) fn refer_all<Id>(&mut self, spans: &[Span], sort: NameSort, id: fn(u32) -> Id) -> Vec<Ref<Id>> {
        let mut seen: FxHashMap<u32, Span> = FxHashMap::default();
        let mut all = Vec::with_capacity(spans.len());
        for &span in spans {
            let number = self.find(span, sort);
            // One name alone, the commonest list, needs no memory.
            if spans.len() > 1
                && let Some(number) = number
                && let Some(first) = seen.insert(number, span)
            {
                seen.insert(number, first);
                self.trouble(Trouble::NamedTwice { first, again: span });
                continue;
            }
            all.push(Ref { id: number.map(id), span });
        }
        all
    }

    pub(super) fn people(&mut self, field: &Field) -> Vec<Ref<PersonId>> {
        match &field.value {
            Value::Names(names) => self.refer_all(names, NameSort::Person, PersonId),
            _ => Vec::new(),
        }
    }

    /// One of a few words.
    pub(super) fn choice<T: Copy>(
        &mut self,
        field: &Field,
        allowed: &'static [&'static str],
        values: &[T],
    ) -> Option<Written<T>> {
        let Value::Names(names) = &field.value else { return None };
        let &[at] = names.as_slice() else {
            let at = names.get(1).copied().unwrap_or(field.span);
            self.trouble(Trouble::UnknownChoice { at, field: field.word, allowed });
            return None;
        };
        let word = self.words(at);
        match allowed.iter().position(|allowed| allowed.eq_ignore_ascii_case(word)) {
            Some(place) => Some(Written::new(values[place], at)),
            None => {
                self.trouble(Trouble::UnknownChoice { at, field: field.word, allowed });
                None
            }
        }
    }

    pub(super) fn yes_or_no(&mut self, field: &Field) -> Option<Written<bool>> {
        self.choice(field, &["yes", "no"], &[true, false])
    }

    pub(super) fn needs(&mut self, field: &Field, needs: &mut Needs) {
        let Value::Names(names) = &field.value else { return };
        for &at in names {
            match self.words(at).to_ascii_lowercase().as_str() {
                "sheet" => needs.sheet = Some(at),
                "signs" => needs.signs = Some(at),
                _ => self.trouble(Trouble::UnknownChoice { at, field: field.word, allowed: &["sheet", "signs"] }),
            }
        }
    }

    /// A day.
    pub(super) fn date(&mut self, span: Span) -> Option<NaiveDate> {
        match date_of(self.words(span)) {
            Ok(date) => Some(date),
            Err(why) => {
                self.trouble(Trouble::UnreadableDate { at: span, why });
                None
            }
        }
    }

    pub(super) fn clocked(&mut self, moment: &Moment, day: NaiveDate) -> Option<Clocked> {
        let mut day = match moment.date {
            Some(date) => self.date(date)?,
            None => day,
        };
        if moment.next_day {
            day = day.succ_opt()?;
        }
        let clock = self.clock(moment.clock)?;
        Some(Clocked { local: day.and_time(clock), which: moment.which, span: moment.span })
    }

    pub(super) fn clock(&mut self, span: Span) -> Option<chrono::NaiveTime> {
        let clock = clock_of(self.words(span));
        if clock.is_none() {
            self.trouble(Trouble::UnreadableDate { at: span, why: DateTrouble::NoSuchTime });
        }
        clock
    }

    pub(super) fn clock_on(&mut self, span: Span, day: NaiveDate) -> Option<Clocked> {
        let clock = self.clock(span)?;
        Some(Clocked { local: day.and_time(clock), which: None, span })
    }

    pub(super) fn session(&mut self, field: &Field, day: NaiveDate) -> Option<Session> {
        let Value::Times { start, end } = &field.value else { return None };
        let start = self.clocked(start, day)?;
        let end = match end {
            // An end without a day of its own is on the day that the session began.
            Some(end) => Some(self.clocked(end, start.local.date())?),
            None => None,
        };
        Some(Session { start, end, span: field.span })
    }

    pub(super) fn runs(&mut self, field: FieldWord, runs: &[RowRun]) -> Vec<(u32, u32)> {
        let mut read = Vec::with_capacity(runs.len());
        for run in runs {
            let Some(first) = self.whole(run.first) else { continue };
            let last = match run.last {
                Some(last) => match self.whole(last) {
                    Some(last) => last,
                    None => continue,
                },
                None => first,
            };
            if last < first {
                let at = run.last.map_or(run.first, |last| run.first.to(last));
                self.trouble(Trouble::Impossible { at, field, why: "the last row comes before the first" });
                continue;
            }
            read.push((first, last));
        }
        read
    }

    pub(super) fn picked(&mut self, rows: Option<&syntax::RowPick>) -> Option<Picked> {
        let pick = rows?;
        let rows = match &pick.rows {
            Rows::Listed(runs) => {
                let runs = self.runs(FieldWord::Rows, runs);
                // Rows that could not be read are not all of them: say nothing of which.
                if runs.is_empty() {
                    return None;
                }
                PickedRows::Listed(runs)
            }
            Rows::Alternate => PickedRows::Alternate,
            Rows::Odd => PickedRows::Odd,
            Rows::Even => PickedRows::Even,
        };
        Some(Picked { rows, span: pick.span })
    }
}
