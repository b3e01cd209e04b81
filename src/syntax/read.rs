//! Walks what the grammar matched and builds the tree. Reading never fails: what the grammar cannot place is a
//! [`Stray`] with its span.

use std::ops::Range;

use pest::Parser;
use pest::iterators::{Pair, Pairs};

use super::grammar::{Journal, Rule};
use super::split::note_tails;
use super::tree::*;
use super::words::{EntryWord, FieldWord};
use crate::text::Span;

/// Reads one entry: `text` is the whole entry, `base` where it starts in the shared address space.
pub fn read_entry(text: &str, base: u32) -> Entry {
    let first = text.as_bytes().first().copied().unwrap_or(b' ');
    // The first byte decides which rule can match, so that the others are not tried for every entry.
    let rules: &[Rule] = if first.is_ascii_digit() {
        &[Rule::day, Rule::lost_entry]
    } else if matches!(first, b' ' | b'\t' | b'#' | b'\r' | b'\n') {
        &[Rule::opening]
    } else {
        &[Rule::entry, Rule::lost_entry]
    };
    let reader = Reader { text, base };
    let mut tails = note_tails(text).into_iter();
    let mut tail = tails.next();
    let first_part = tail.as_ref().map_or(text.len(), |tail| tail.start);
    for &rule in rules {
        let Some(mut entry) = reader.part(rule, 0..first_part) else { continue };
        while let Some(range) = tail {
            // Lines that turn out to belong to no note are read like any other.
            let after = if reader.note_tail(range.clone(), &mut entry) { range.end } else { range.start };
            tail = tails.next();
            let until = tail.as_ref().map_or(text.len(), |tail| tail.start);
            if let Some(more) = reader.part(Rule::opening, after..until) {
                entry.fields.extend(more.fields);
                entry.strays.extend(more.strays);
                entry.comments.extend(more.comments);
            }
        }
        return entry;
    }
    // Unreachable with a grammar whose last rule takes any line; kept as a plain loss rather than a panic.
    let whole = Span::new(base, base + text.len() as u32);
    Entry {
        kind: None,
        span: whole,
        head: Head { line: whole, ..Head::default() },
        fields: Vec::new(),
        strays: vec![Stray { line: whole, head: true }],
        comments: Vec::new(),
    }
}

struct Reader<'t> {
    text: &'t str,
    base: u32,
}

type P<'t> = Pair<'t, Rule>;

impl<'t> Reader<'t> {
    fn span(&self, pair: &P<'t>) -> Span {
        let span = pair.as_span();
        Span::new(self.base + span.start() as u32, self.base + span.end() as u32)
    }

    fn words(&self, span: Span) -> &'t str {
        &self.text[(span.start - self.base) as usize..(span.end - self.base) as usize]
    }

    /// Reads a stretch of the entry by a rule; `None` where the rule does not fit.
    fn part(&self, rule: Rule, range: Range<usize>) -> Option<Entry> {
        let part = Reader { text: &self.text[range.clone()], base: self.base + range.start as u32 };
        let pair = Journal::parse(rule, part.text).ok()?.next()?;
        let mut entry = part.entry(pair);
        entry.span = Span::new(self.base, self.base + self.text.len() as u32);
        Some(entry)
    }

    fn entry(&self, pair: P<'t>) -> Entry {
        let rule = pair.as_rule();
        let mut entry = Entry {
            kind: None,
            span: Span::new(self.base, self.base + self.text.len() as u32),
            head: Head::default(),
            fields: Vec::with_capacity(8),
            strays: Vec::new(),
            comments: Vec::new(),
        };
        let first_line = self.text.find('\n').unwrap_or(self.text.len());
        entry.head.line = self.trimmed(Span::new(self.base, self.base + first_line as u32));
        if rule == Rule::day {
            entry.kind = Some(EntryWord::Day);
        }
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::head => self.head(part, &mut entry),
                Rule::date => entry.head.date = Some(self.span(&part)),
                Rule::weekday => entry.head.weekday = Some(self.span(&part)),
                Rule::field => self.field(part, &mut entry),
                Rule::note => self.note(part, &mut entry),
                Rule::comment => {
                    let comment = self.trimmed(self.span(&part));
                    entry.comments.push(comment);
                }
                Rule::lost => {
                    let line = self.without_comment(self.span(&part), &mut entry);
                    entry.strays.push(Stray { line, head: true });
                }
                Rule::stray => {
                    for lost in part.into_inner() {
                        let line = self.without_comment(self.span(&lost), &mut entry);
                        entry.strays.push(Stray { line, head: false });
                    }
                }
                _ => {}
            }
        }
        if rule == Rule::lost_entry {
            // The word still tells what was meant, so that the fields below are judged by it.
            let word = first_word(self.words(entry.head.line));
            entry.head.word = Span::new(self.base, self.base + word as u32);
            entry.kind = EntryWord::named(&self.text[..word]);
        }
        entry
    }

    fn head(&self, pair: P<'t>, entry: &mut Entry) {
        for part in pair.into_inner() {
            let span = self.span(&part);
            match part.as_rule() {
                Rule::word => {
                    entry.head.word = span;
                    entry.kind = EntryWord::named(self.words(span));
                }
                Rule::names => entry.head.names = self.spans(part),
                Rule::of => entry.head.of = self.first(part),
                Rule::row_pick => entry.head.rows = self.row_pick(part),
                Rule::date => entry.head.date = Some(span),
                Rule::title => entry.head.title = Some(Span::new(span.start + 1, span.end - 1)),
                _ => {}
            }
        }
    }

    fn field(&self, pair: P<'t>, entry: &mut Entry) {
        let whole = self.span(&pair);
        let length = first_word(self.words(whole)) as u32;
        let at = Span::new(whole.start, whole.start + length);
        let Some(word) = FieldWord::named(self.words(at)) else {
            // A word that the grammar knows and the table does not: the test of the schema forbids it.
            entry.strays.push(Stray { line: whole, head: false });
            return;
        };
        let mut parts = pair.into_inner();
        let Some(value) = parts.next() else { return };
        let mut span = self.span(&value);
        let value = if value.as_rule() == Rule::text {
            span = self.without_comment(span, entry);
            Value::Text(span)
        } else {
            match self.value(value, entry) {
                Some(value) => value,
                None => {
                    entry.strays.push(Stray { line: self.trimmed(whole), head: false });
                    return;
                }
            }
        };
        for comment in parts.filter(|part| part.as_rule() == Rule::comment) {
            let comment = self.trimmed(self.span(&comment));
            entry.comments.push(comment);
        }
        entry.fields.push(Field { word, at, value, span });
    }

    fn note(&self, pair: P<'t>, entry: &mut Entry) {
        let whole = self.span(&pair);
        // The grammar takes the word itself before the note.
        let at = Span::new(whole.start - "note".len() as u32, whole.start);
        let lines: Vec<Span> = pair.into_inner().map(|part| self.trimmed(self.span(&part))).collect();
        let span = lines.first().copied().unwrap_or(at);
        entry.fields.push(Field { word: FieldWord::Note, at, value: Value::Note(lines), span });
    }

    /// Adds the lines that a note goes on over; false where no note stands before them.
    fn note_tail(&self, tail: Range<usize>, entry: &mut Entry) -> bool {
        let Some(Field { at, value: Value::Note(lines), span, .. }) = entry.fields.last_mut() else { return false };
        let mut start = tail.start;
        for line in self.text[tail].split_inclusive('\n') {
            let indent = line.len() - line.trim_start().len();
            let words = Span::new(self.base + (start + indent) as u32, self.base + (start + line.len()) as u32);
            if indent < line.len() {
                lines.push(self.trimmed(words));
            }
            start += line.len();
        }
        *span = match (lines.first(), lines.last()) {
            (Some(first), Some(last)) => first.to(*last),
            _ => *at,
        };
        true
    }

    fn value(&self, pair: P<'t>, entry: &mut Entry) -> Option<Value> {
        let rule = pair.as_rule();
        let whole = self.span(&pair);
        Some(match rule {
            Rule::names => Value::Names(self.spans(pair)),
            Rule::measure => Value::Measure(self.measure(pair)),
            Rule::portion => Value::Portion(self.portion(pair)?),
            Rule::times => {
                let mut moments = pair.into_inner().filter_map(|part| self.moment(part));
                Value::Times { start: moments.next()?, end: moments.next() }
            }
            Rule::reading => {
                let mut clock = None;
                let mut items = Vec::new();
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::clock => clock = Some(self.span(&part)),
                        _ => items.extend(self.reading_item(part)),
                    }
                }
                Value::Reading { clock, items }
            }
            Rule::mix_use => {
                let (mut mix, mut into_water, mut volume) = (None, false, None);
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::name => mix = Some(self.span(&part)),
                        Rule::into_water => {
                            into_water = true;
                            volume = part.into_inner().next().map(|measure| self.measure(measure));
                        }
                        _ => volume = Some(self.measure(part)),
                    }
                }
                Value::MixUse { mix: mix?, into_water, volume }
            }
            Rule::limit => {
                let (mut class, mut most) = (None, None);
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::name => class = Some(self.span(&part)),
                        _ => most = Some(self.measure(part)),
                    }
                }
                Value::Limit { class, most: most? }
            }
            Rule::contents => Value::Contents(pair.into_inner().filter_map(|part| self.portion(part)).collect()),
            Rule::load => {
                let (mut count, mut volume, mut portions) = (None, None, Vec::new());
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::whole => count = Some(self.span(&part)),
                        Rule::measure => volume = Some(self.measure(part)),
                        _ => portions.extend(self.portion(part)),
                    }
                }
                Value::Load { count, volume: volume?, portions }
            }
            Rule::layout => {
                let (mut rows, mut items) = (Vec::new(), Vec::new());
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::row_list => rows = self.row_list(part),
                        _ => items.extend(self.layout_item(part)),
                    }
                }
                Value::Layout { rows, items }
            }
            Rule::day_of => Value::Day(whole),
            Rule::start => match pair.into_inner().next() {
                Some(part) if part.as_rule() == Rule::date => Value::StartDay(self.span(&part)),
                Some(part) => Value::StartStage(self.without_comment(self.span(&part), entry)),
                None => return None,
            },
            Rule::rounds => self.rounds(pair),
            Rule::leftover => {
                let (mut left, mut rows, mut text) = (None, None, None);
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::measure => left = Some(self.measure(part)),
                        Rule::row_pick => rows = self.row_pick(part),
                        _ => text = Some(self.without_comment(self.span(&part), entry)),
                    }
                }
                Value::Leftover { left: left?, rows, text }
            }
            Rule::entered => {
                let (mut date, mut clock, mut by) = (None, None, Vec::new());
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::date => date = Some(self.span(&part)),
                        Rule::clock => clock = Some(self.span(&part)),
                        _ => by = self.spans(part),
                    }
                }
                Value::Entered { date: date?, clock, by }
            }
            Rule::incidence => {
                let mut parts = pair.into_inner();
                let what = self.span(&parts.next()?);
                Value::Incidence { what, count: self.count(parts.next()?, entry)? }
            }
            Rule::count => Value::Count(self.count(pair, entry)?),
            Rule::severity => {
                let mut parts = pair.into_inner();
                let what = self.span(&parts.next()?);
                let percent = self.span(&parts.next()?);
                let text = parts.next().map(|part| self.without_comment(self.span(&part), entry));
                Value::Severity { what, percent, text }
            }
            Rule::sample => {
                let (mut number, mut unit, mut of, mut what, mut clock) = (None, None, None, None, None);
                for part in pair.into_inner() {
                    let span = Some(self.span(&part));
                    match part.as_rule() {
                        Rule::number => number = span,
                        Rule::unit => unit = span,
                        Rule::whole => of = span,
                        Rule::name => what = span,
                        _ => clock = span,
                    }
                }
                Value::Sample { number: number?, unit, of, what, clock }
            }
            Rule::apart => {
                let (mut what, mut number, mut unit, mut from) = (None, None, None, Vec::new());
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::name => what = Some(self.span(&part)),
                        Rule::number => number = Some(self.span(&part)),
                        Rule::unit => unit = Some(self.span(&part)),
                        _ => from = self.spans(part),
                    }
                }
                Value::Apart { what, number: number?, unit: unit?, from }
            }
            Rule::never => {
                let (mut what, mut with) = (None, Vec::new());
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::name => what = Some(self.span(&part)),
                        _ => with = self.spans(part),
                    }
                }
                Value::Never { what, with }
            }
            Rule::posting => {
                let (mut what, mut at) = (Vec::new(), None);
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::names => what = self.spans(part),
                        _ => at = self.moment(part),
                    }
                }
                Value::Posting { what, at }
            }
            Rule::accept => {
                let mut parts = pair.into_inner();
                let code = self.span(&parts.next()?);
                let reason = self.without_comment(self.span(&parts.next()?), entry);
                Value::Accept { code, reason }
            }
            _ => return None,
        })
    }

    fn measure(&self, pair: P<'t>) -> Measure {
        let mut measure = Measure { span: self.span(&pair), ..Measure::default() };
        for part in pair.into_inner() {
            let span = self.span(&part);
            match part.as_rule() {
                Rule::none => {
                    measure.none_stated = true;
                    for on in part.into_inner() {
                        measure.on = self.nested_names(on);
                    }
                }
                Rule::bound => {
                    measure.bound = part.into_inner().next().map(|bound| match bound.as_rule() {
                        Rule::at_least => Bound::AtLeast,
                        Rule::up_to => Bound::UpTo,
                        _ => Bound::AtMost,
                    });
                }
                Rule::number => measure.number = span,
                Rule::one_in => {
                    // `1:500`: the number in front stays part of the span, so that only a 1 is read as one in so many.
                    measure.number = measure.number.to(span);
                    measure.one_in = true;
                }
                Rule::high => measure.high = Some(span),
                Rule::unit => measure.unit = Some(span),
                Rule::of => measure.of = self.first(part),
                Rule::per => {
                    let (mut number, mut unit) = (None, span);
                    for inner in part.into_inner() {
                        match inner.as_rule() {
                            Rule::number => number = Some(self.span(&inner)),
                            _ => unit = self.span(&inner),
                        }
                    }
                    measure.per = Some(Per { number, unit });
                }
                Rule::on => measure.on = self.nested_names(part),
                Rule::from => measure.from = self.first(part),
                _ => {}
            }
        }
        measure
    }

    fn portion(&self, pair: P<'t>) -> Option<Portion> {
        let mut parts = pair.into_inner();
        let name = self.span(&parts.next()?);
        Some(Portion { name, measure: self.measure(parts.next()?) })
    }

    fn reading_item(&self, pair: P<'t>) -> Option<ReadingItem> {
        let (mut name, mut measure, mut compass) = (None, None, None);
        for part in pair.into_inner() {
            let span = self.span(&part);
            match part.as_rule() {
                Rule::name => name = Some(span),
                Rule::compass => compass = Some(span),
                Rule::remark => return Some(ReadingItem::Remark(self.trimmed(span))),
                _ => measure = Some(self.measure(part)),
            }
        }
        Some(ReadingItem::Measured { name, measure: measure?, compass })
    }

    fn layout_item(&self, pair: P<'t>) -> Option<LayoutItem> {
        let (mut measure, mut trees, mut long) = (None, false, false);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::measure => measure = Some(self.measure(part)),
                Rule::trees => trees = true,
                Rule::long_word => long = true,
                _ => {}
            }
        }
        let kind = match (trees, long) {
            (true, _) => LayoutKind::TreesApart,
            (_, true) => LayoutKind::RowLength,
            _ => LayoutKind::RowsApart,
        };
        Some(LayoutItem { measure: measure?, kind })
    }

    fn rounds(&self, pair: P<'t>) -> Value {
        let (mut fewest, mut most, mut every) = (None, None, None);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::round_count => {
                    let mut counts = part.into_inner();
                    fewest = counts.next().map(|count| self.span(&count));
                    most = counts.next().map(|count| self.span(&count));
                }
                _ => every = part.into_inner().next().map(|measure| self.measure(measure)),
            }
        }
        Value::Rounds { fewest, most, every }
    }

    fn count(&self, pair: P<'t>, entry: &mut Entry) -> Option<Count> {
        let mut parts = pair.into_inner();
        let found = self.span(&parts.next()?);
        let of = self.span(&parts.next()?);
        let text = parts.next().map(|part| self.without_comment(self.span(&part), entry));
        Some(Count { found, of, text })
    }

    fn moment(&self, pair: P<'t>) -> Option<Moment> {
        let span = self.span(&pair);
        let (mut date, mut clock, mut next_day, mut which) = (None, None, false, None);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::date => date = Some(self.span(&part)),
                Rule::clock => clock = Some(self.span(&part)),
                Rule::next_day => next_day = true,
                _ => {
                    let first = self.words(self.span(&part)).eq_ignore_ascii_case("first");
                    which = Some(if first { Which::First } else { Which::Second });
                }
            }
        }
        Some(Moment { span, date, clock: clock?, next_day, which })
    }

    fn row_pick(&self, pair: P<'t>) -> Option<RowPick> {
        let span = self.span(&pair);
        let part = pair.into_inner().next()?;
        let rows = match part.as_rule() {
            Rule::row_list => Rows::Listed(self.row_list(part)),
            _ => match self.words(self.span(&part)).as_bytes().first().map(u8::to_ascii_lowercase) {
                Some(b'o') => Rows::Odd,
                Some(b'e') => Rows::Even,
                _ => Rows::Alternate,
            },
        };
        Some(RowPick { span, rows })
    }

    fn row_list(&self, pair: P<'t>) -> Vec<RowRun> {
        pair.into_inner()
            .filter_map(|run| {
                let mut ends = run.into_inner();
                let first = self.span(&ends.next()?);
                Some(RowRun { first, last: ends.next().map(|last| self.span(&last)) })
            })
            .collect()
    }

    fn spans(&self, pair: P<'t>) -> Vec<Span> {
        self.each(pair.into_inner())
    }

    fn each(&self, pairs: Pairs<'t, Rule>) -> Vec<Span> {
        pairs.map(|part| self.span(&part)).collect()
    }

    fn first(&self, pair: P<'t>) -> Option<Span> {
        pair.into_inner().next().map(|part| self.span(&part))
    }

    fn nested_names(&self, pair: P<'t>) -> Vec<Span> {
        pair.into_inner().next().map(|names| self.spans(names)).unwrap_or_default()
    }

    /// The span without blanks and carriage returns at its end.
    fn trimmed(&self, span: Span) -> Span {
        let kept = self.words(span).trim_end_matches([' ', '\t', '\r', '\n']).len();
        Span::new(span.start, span.start + kept as u32)
    }

    /// The words before a remark; the remark is kept in the entry.
    fn without_comment(&self, span: Span, entry: &mut Entry) -> Span {
        let words = self.words(span);
        let bytes = words.as_bytes();
        let remark =
            (0..bytes.len()).find(|&at| bytes[at] == b'#' && (at == 0 || matches!(bytes[at - 1], b' ' | b'\t')));
        match remark {
            Some(at) => {
                let middle = span.start + at as u32;
                entry.comments.push(self.trimmed(Span::new(middle, span.end)));
                self.trimmed(Span::new(span.start, middle))
            }
            None => self.trimmed(span),
        }
    }
}

/// Length of the word a line starts with.
pub(crate) fn first_word(line: &str) -> usize {
    line.find(|character: char| !(character.is_alphanumeric() || character == '-' || character == '_'))
        .unwrap_or(line.len())
}
