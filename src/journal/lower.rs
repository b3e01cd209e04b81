//! What every entry's reader needs: the words behind a span, the troubles found, names looked up, and the quantities of
//! a field read by what the field measures.

use chrono::NaiveDate;
use rustc_hash::FxHashMap;

use super::names::{Names, lower};
use super::trouble::{DateTrouble, NameSort, Trouble};
use super::words::{clock_of, date_of};
use super::*;
use crate::quantity::{Amount, Dimension, Exact, Form, NumberTrouble, Per, QuantityTrouble, Rate, Unit};
use crate::syntax::{
    self, Bound, Entry, EntryWord, Field, FieldWord, Measure, Moment, RowRun, Rows, Value, entry_rule,
};
use crate::text::Span;

/// What a material is, as far as reading quantities of it needs to know.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    pub(super) form: Option<Form>,
    pub(super) bridged: bool,
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
        let mut seen = 0u128;
        let mut first_of = [None; FieldWord::ALL.len()];
        for field in &entry.fields {
            let Some(field_rule) = rule.field(field.word) else {
                self.trouble(Trouble::MisplacedField { at: field.at, word: field.word, entry: kind });
                continue;
            };
            let bit = 1u128 << field.word as u32;
            if seen & bit != 0 && !field_rule.repeats {
                let first = first_of[field.word as usize].unwrap_or(field.at);
                self.trouble(Trouble::RepeatedField { first, again: field.at, word: field.word });
                continue;
            }
            seen |= bit;
            first_of[field.word as usize].get_or_insert(field.at);
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
                .filter(|field| field.required && seen & (1u128 << field.word as u32) == 0)
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

    pub(super) fn number(&mut self, span: Span) -> Option<Exact> {
        match Exact::parse(self.words(span)) {
            Ok(number) => Some(number),
            Err(why) => {
                self.trouble(Trouble::UnreadableNumber { at: span, why });
                None
            }
        }
    }

    pub(super) fn whole(&mut self, span: Span) -> Option<u32> {
        match self.words(span).parse() {
            Ok(number) => Some(number),
            Err(_) => {
                self.trouble(Trouble::UnreadableNumber { at: span, why: NumberTrouble::TooLarge });
                None
            }
        }
    }

    /// A unit that measures one of the wanted dimensions.
    fn unit(&mut self, at: Span, field: FieldWord, wanted: &'static [Dimension]) -> Option<Unit> {
        let Some(unit) = Unit::named(self.words(at)) else {
            self.trouble(Trouble::UnknownUnit { at });
            return None;
        };
        if wanted.contains(&unit.dimension()) {
            return Some(unit);
        }
        self.trouble(Trouble::WrongDimension { at, field, found: unit.dimension(), wanted });
        None
    }

    /// Number and unit of a measure, whatever else it says.
    pub(super) fn amount_part(
        &mut self,
        number: Span,
        measure: &Measure,
        field: FieldWord,
        wanted: &'static [Dimension],
    ) -> Option<Amount> {
        let Some(unit) = measure.unit else {
            self.trouble(Trouble::NoUnit { at: measure.span, field, wanted });
            return None;
        };
        let value = self.number(number)?;
        // A journal's quantities are never below zero, but a temperature may be.
        if value.is_negative() && !wanted.contains(&Dimension::Temperature) {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        Some(Amount::new(value, self.unit(unit, field, wanted)?))
    }

    /// A plain amount: one number and one unit, nothing else.
    pub(super) fn amount(
        &mut self,
        field: FieldWord,
        measure: &Measure,
        wanted: &'static [Dimension],
    ) -> Option<Amount> {
        if !is_plain(measure) || measure.bound.is_some() {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        let amount = self.amount_part(measure.number, measure, field, wanted)?;
        if amount.value.is_zero() && never_nothing(field) {
            self.trouble(Trouble::Impossible { at: measure.span, field, why: "it is nothing" });
            return None;
        }
        Some(amount)
    }

    /// The amount of a field whose value is a plain amount.
    pub(super) fn amount_field(&mut self, field: &Field, wanted: &'static [Dimension]) -> Option<Written<Amount>> {
        let Value::Measure(measure) = &field.value else { return None };
        Some(Written::new(self.amount(field.word, measure, wanted)?, measure.span))
    }

    /// An amount per something: `75 gal per acre`, `14 g per tbsp`, `10.59 lb/gal`.
    pub(super) fn amount_per(
        &mut self,
        field: FieldWord,
        measure: &Measure,
        of: &'static [Dimension],
        per: &'static [Dimension],
    ) -> Option<(Amount, Amount)> {
        let plain = !measure.none_stated && !measure.one_in && measure.high.is_none() && measure.bound.is_none();
        if !plain {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        let (amount, basis) = self.over_basis(measure.number, measure, field, of, per)?;
        match basis {
            Some(basis) => Some((amount, basis)),
            None => {
                self.trouble(Trouble::WrongShape { at: measure.span, field });
                None
            }
        }
    }

    /// Splits `lb/gal` written as one unit, or takes the `per` behind the unit.
    fn over_basis(
        &mut self,
        number: Span,
        measure: &Measure,
        field: FieldWord,
        of: &'static [Dimension],
        per: &'static [Dimension],
    ) -> Option<(Amount, Option<Amount>)> {
        let Some(unit_span) = measure.unit else {
            self.trouble(Trouble::NoUnit { at: measure.span, field, wanted: of });
            return None;
        };
        let written = self.words(unit_span);
        let (top_span, under) = match written.find('/') {
            Some(slash) if Unit::named(written).is_none() => {
                let middle = unit_span.start + slash as u32;
                (Span::new(unit_span.start, middle), Some((None, Span::new(middle + 1, unit_span.end))))
            }
            _ => (unit_span, measure.per.map(|per| (per.number, per.unit))),
        };
        let value = self.number(number)?;
        if value.is_negative() {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        let unit = self.unit(top_span, field, of)?;
        let basis = match under {
            Some((count, unit)) => {
                let count = match count {
                    Some(count) => self.number(count)?,
                    None => Exact::ONE,
                };
                if !count.is_positive() {
                    self.trouble(Trouble::WrongShape { at: measure.span, field });
                    return None;
                }
                // `per 100 ft row`: the tail says what is meant, the length is the unit.
                let words = self.words(unit).trim_end_matches(" row").trim_end();
                let unit = Span::new(unit.start, unit.start + words.len() as u32);
                Some(Amount::new(count, self.unit(unit, field, per)?))
            }
            None => None,
        };
        Some((Amount::new(value, unit), basis))
    }

    /// A rate by any basis: per volume, area, row or tree, a share, or one in so many.
    pub(super) fn rate(&mut self, field: FieldWord, number: Span, measure: &Measure) -> Option<Rate> {
        const PART: &[Dimension] = &[Dimension::Mass, Dimension::Volume, Dimension::Ounce, Dimension::Share];
        const BASIS: &[Dimension] = &[Dimension::Volume, Dimension::Area, Dimension::Length, Dimension::Count];
        let rate = if measure.one_in {
            let words = self.words(number);
            let (one, parts) = words.split_once(':').unwrap_or_default();
            if one.trim() != "1" {
                self.trouble(Trouble::WrongShape { at: measure.span, field });
                return None;
            }
            let parts = match Exact::parse(parts.trim()) {
                Ok(parts) => parts,
                Err(why) => {
                    self.trouble(Trouble::UnreadableNumber { at: number, why });
                    return None;
                }
            };
            Rate::one_in(parts)
        } else {
            let (amount, basis) = self.over_basis(number, measure, field, PART, BASIS)?;
            match basis {
                Some(basis) => Per::counted(basis).map(|per| Rate::Of { amount, per }),
                None => Rate::share(amount),
            }
        };
        match rate {
            Ok(rate) => Some(rate),
            Err(QuantityTrouble::Number(why)) => {
                self.trouble(Trouble::UnreadableNumber { at: measure.span, why });
                None
            }
            Err(_) => {
                self.trouble(Trouble::WrongShape { at: measure.span, field });
                None
            }
        }
    }

    /// A rate with its limits. `at most` leaves the least open, `at least` the most; a single number allows itself as
    /// the most.
    pub(super) fn rate_range(&mut self, field: FieldWord, measure: &Measure) -> Option<RateRange> {
        if measure.none_stated || measure.from.is_some() || measure.bound == Some(Bound::UpTo) {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        let first = self.rate(field, measure.number, measure)?;
        let (least, most) = match (measure.high, measure.bound) {
            (Some(high), None) => {
                let second = self.rate(field, high, measure)?;
                if second.compare(first, None, None) == Some(std::cmp::Ordering::Less) {
                    let why = "the second number is less than the first";
                    self.trouble(Trouble::Impossible { at: measure.span, field, why });
                    return None;
                }
                (Some(first), Some(second))
            }
            (Some(_), Some(_)) => {
                self.trouble(Trouble::WrongShape { at: measure.span, field });
                return None;
            }
            (None, Some(Bound::AtLeast)) => (Some(first), None),
            _ => (None, Some(first)),
        };
        Some(RateRange { least, most, crops: self.lower_all(&measure.on), span: measure.span })
    }

    /// A time in seconds, or `none stated`.
    pub(super) fn stated(&mut self, field: FieldWord, measure: &Measure) -> Option<Stated> {
        if measure.none_stated {
            return Some(Stated::NoneStated);
        }
        if measure.high.is_some() || measure.one_in || measure.per.is_some() || measure.bound.is_some() {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        let amount = self.amount_part(measure.number, measure, field, &[Dimension::Time])?;
        if amount.base().is_none_or(|seconds| seconds > LONGEST_INTERVAL) {
            self.trouble(Trouble::Impossible { at: measure.span, field, why: "it is more than ten years" });
            return None;
        }
        Some(Stated::For(amount))
    }

    pub(super) fn interval(&mut self, field: FieldWord, measure: &Measure) -> Option<Interval> {
        Some(Interval { time: self.stated(field, measure)?, crops: self.lower_all(&measure.on), span: measure.span })
    }

    pub(super) fn cap(&mut self, field: FieldWord, measure: &Measure) -> Option<Cap> {
        const COUNTED: &[Dimension] = &[Dimension::Mass, Dimension::Volume, Dimension::Count];
        let plain = !measure.none_stated && !measure.one_in && measure.high.is_none();
        if !plain || measure.bound != Some(Bound::AtMost) {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        let (amount, basis) = self.over_basis(measure.number, measure, field, COUNTED, &[Dimension::Area])?;
        let most = match basis {
            None if amount.unit == Unit::SPRAY && amount.value.is_integer() => {
                let count = u32::try_from(amount.value.floor()).ok();
                CapAmount::Sprays(count.unwrap_or(u32::MAX))
            }
            Some(area) if amount.dimension() != Dimension::Count => CapAmount::PerArea(amount, area),
            _ => {
                self.trouble(Trouble::WrongShape { at: measure.span, field });
                return None;
            }
        };
        let of = measure.of.map(|of| Written::new(self.class(of), of));
        Some(Cap { most, of, crops: self.lower_all(&measure.on), span: measure.span })
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

    /// A quantity of a material: settles a bare ounce by the material's form, and refuses a spoon of powder that
    /// nobody has weighed, or a weight of a liquid of unknown density.
    pub(super) fn settled(&mut self, amount: Amount, material: Ref<MaterialId>, at: Span) -> Option<Amount> {
        let id = material.id?;
        let Some(shape) = self.shapes.get(id.index()).copied() else { return Some(amount) };
        match amount.dimension() {
            Dimension::Ounce => match amount.settle(shape.form) {
                Ok(amount) => Some(amount),
                Err(_) => {
                    self.trouble(Trouble::UnsettledOunce { at, material: material.span });
                    None
                }
            },
            Dimension::Volume if shape.form == Some(Form::Dry) && !shape.bridged => {
                self.trouble(Trouble::WrongForm { at, material: material.span, dry_by_volume: true });
                None
            }
            Dimension::Mass if shape.form == Some(Form::Liquid) && !shape.bridged => {
                self.trouble(Trouble::WrongForm { at, material: material.span, dry_by_volume: false });
                None
            }
            _ => Some(amount),
        }
    }

    /// A rate of a material, settled the same way.
    pub(super) fn settled_rate(&mut self, rate: Rate, material: Ref<MaterialId>, at: Span) -> Option<Rate> {
        match rate {
            Rate::Of { amount, per } => Some(Rate::Of { amount: self.settled(amount, material, at)?, per }),
            share => Some(share),
        }
    }
}

/// The longest interval that a label can mean, in seconds: ten years.
const LONGEST_INTERVAL: Exact = Exact::int(3_660 * 86_400);

/// Whether nothing is no answer to a field: a block has some area, a tank holds something.
fn never_nothing(field: FieldWord) -> bool {
    use FieldWord as F;
    matches!(field, F::Area | F::Over | F::Volume | F::Tank | F::In | F::Into | F::Make | F::Mix | F::Put | F::Load)
}

/// One number and one unit, nothing else but a bound.
pub(super) fn is_plain(measure: &Measure) -> bool {
    !measure.none_stated
        && !measure.one_in
        && measure.high.is_none()
        && measure.of.is_none()
        && measure.per.is_none()
        && measure.on.is_empty()
        && measure.from.is_none()
}
