//! Walks what the grammar matched and builds the tree; [`super::read_value`] what stands behind a field's word. Reading never fails: what the grammar cannot place is a
//! [`Stray`] with its span.

use std::ops::Range;

use pest::Parser;
use pest::iterators::Pair;

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

pub(super) struct Reader<'t> {
    text: &'t str,
    base: u32,
}

pub(super) type P<'t> = Pair<'t, Rule>;

impl<'t> Reader<'t> {
    pub(super) fn span(&self, pair: &P<'t>) -> Span {
        let span = pair.as_span();
        Span::new(self.base + span.start() as u32, self.base + span.end() as u32)
    }

    pub(super) fn words(&self, span: Span) -> &'t str {
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
        let mut value = value;
        for part in parts {
            match (part.as_rule(), &mut value) {
                (Rule::comment, _) => {
                    let comment = self.trimmed(self.span(&part));
                    entry.comments.push(comment);
                }
                (Rule::text, Value::Portion { lot, .. }) => {
                    let words = self.without_comment(self.span(&part), entry);
                    span = span.to(words);
                    *lot = Some(words);
                }
                _ => {}
            }
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
            let indent = line.len() - line.trim_start_matches([' ', '\t', '\r', '\n']).len();
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

    pub(super) fn spans(&self, pair: P<'t>) -> Vec<Span> {
        pair.into_inner().map(|part| self.span(&part)).collect()
    }

    pub(super) fn first(&self, pair: P<'t>) -> Option<Span> {
        pair.into_inner().next().map(|part| self.span(&part))
    }

    pub(super) fn nested_names(&self, pair: P<'t>) -> Vec<Span> {
        pair.into_inner().next().map(|names| self.spans(names)).unwrap_or_default()
    }

    /// The span without blanks and carriage returns at its end.
    pub(super) fn trimmed(&self, span: Span) -> Span {
        let kept = self.words(span).trim_end_matches([' ', '\t', '\r', '\n']).len();
        Span::new(span.start, span.start + kept as u32)
    }

    /// The words before a remark; the remark is kept in the entry.
    pub(super) fn without_comment(&self, span: Span, entry: &mut Entry) -> Span {
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
