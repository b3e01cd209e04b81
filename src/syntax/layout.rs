//! The canonical layout: what `foliary tidy` writes and an editor formats to. Only blanks, empty lines and ends of lines
//! change, the case of the language's own words, and the spelling of units; where that would change what is read, an
//! entry stays as it is.

use super::parts::{Part, each_part};
use super::read::read_entry;
use super::same::{evened, note_indents, same_entries};
use super::split::split_entries;
use super::tree::{Entry, Field, Value};
use crate::quantity::{Exact, Unit};
use crate::text::Span;

/// How deep a field stands.
const FIELD: &str = "    ";
/// How deep the further lines of a note stand, at least.
const NOTE: usize = 8;
/// How wide a field's word is made, so that what it says stands in one column; a longer word takes its own width.
const WORD: usize = 10;
/// Blanks before a remark at the end of a line, at least.
const GAP: usize = 3;
/// A mark that some editors put in front of a text, and that says nothing.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// The text in the canonical layout: fields four blanks deep, what they say in one column, one empty line between
/// entries, remarks at line ends in one column, no blanks at line ends. All lines end as most editors end them, or with
/// the carriage return of Windows where all of them did; the last one ends, too.
///
/// The result is its own layout, and [`same_entries`] as the text.
pub fn laid_out(text: &str) -> String {
    let rest = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text);
    // The second of two marks would become the first, and no longer be reported.
    if rest.starts_with(BYTE_ORDER_MARK) {
        return text.to_string();
    }
    let lines = split_entries(rest).into_iter().flat_map(|range| lines_of(&rest[range])).collect();
    joined(&set_off(lines), if ends_in_carriage_returns(rest) { "\r\n" } else { "\n" })
}

/// One entry in the canonical layout, for an editor that lays out a part of a file: the text from the entry's first line
/// to the next entry. Empty lines at its end become one.
pub fn laid_out_entry(entry: &str) -> String {
    let mut laid = laid_out(entry);
    let ending = if ends_in_carriage_returns(entry) { "\r\n" } else { "\n" };
    let last = entry.strip_suffix('\n').unwrap_or_default();
    if last.trim_end_matches([' ', '\t', '\r']).ends_with('\n') && !laid.is_empty() {
        laid.push_str(ending);
    }
    laid
}

/// Whether every line of a text ends in a carriage return and a line feed.
fn ends_in_carriage_returns(text: &str) -> bool {
    text.contains('\n') && text.matches('\n').count() == text.matches("\r\n").count()
}

/// One line, laid out.
#[derive(Debug)]
struct Line {
    sort: Sort,
    /// All but the remark at its end.
    words: String,
    /// The remark at its end.
    remark: Option<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    /// Nothing on it.
    Empty,
    /// Begins an entry.
    Head,
    /// A remark at the margin.
    Remark,
    /// Anything else that belongs to an entry, an empty line of a note included.
    Inside,
}

impl Line {
    fn new(sort: Sort, words: impl Into<String>) -> Self {
        Self { sort, words: words.into(), remark: None }
    }
}

/// The lines of an entry laid out; as they are where laying them out would change what is read.
fn lines_of(text: &str) -> Vec<Line> {
    let laid = Page::new(text).lines();
    let changed: String = laid.iter().flat_map(|line| [&line.words, gap(line), line.remark(), "\n"]).collect();
    if same_entries(text, &changed) {
        return laid;
    }
    text.lines().enumerate().map(|(at, line)| Line::new(sort_of(line, at), line)).collect()
}

impl Line {
    fn remark(&self) -> &str {
        self.remark.as_deref().unwrap_or_default()
    }
}

fn gap(line: &Line) -> &'static str {
    if line.remark.is_some() { " " } else { "" }
}

/// What sort of line it is, by its first byte.
fn sort_of(line: &str, at: usize) -> Sort {
    match line.as_bytes().first() {
        _ if line.trim_matches([' ', '\t', '\r']).is_empty() => Sort::Empty,
        Some(b'#') => Sort::Remark,
        Some(b' ' | b'\t' | b'\r') => Sort::Inside,
        _ if at == 0 => Sort::Head,
        _ => Sort::Inside,
    }
}

/// An entry while it is laid out. Everything is in the order of the text, so that each line finds its own at once.
struct Page<'t> {
    text: &'t str,
    entry: Entry,
    /// Words that are not evened out: those copied to the last blank, and units in their own spelling.
    fixed: Vec<Fixed<'t>>,
    tails: Vec<Tail>,
}

/// Words that are not evened out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Fixed<'t> {
    at: Span,
    words: &'t str,
    unit: bool,
}

impl<'t> Page<'t> {
    fn new(text: &'t str) -> Self {
        let mut entry = read_entry(text, 0);
        let tails = entry.fields.iter().filter_map(|field| Tail::of(text, field)).collect();
        let mut fixed = Vec::new();
        each_part(&mut entry, &mut |part, at: &mut Span| match part {
            Part::Text if !at.is_empty() => fixed.push(Fixed { at: *at, words: slice(text, *at), unit: false }),
            Part::Unit(number) => {
                fixed.extend(unit(text, *at, number).map(|words| Fixed { at: *at, words, unit: true }));
            }
            Part::Text | Part::Whole | Part::Keyword | Part::Word => {}
        });
        fixed.sort_unstable();
        entry.comments.sort_unstable();
        Self { text, entry, fixed, tails }
    }

    fn lines(&self) -> Vec<Line> {
        let mut lines = Vec::new();
        let mut start = 0;
        for (at, whole) in self.text.split_inclusive('\n').enumerate() {
            let words = whole.trim_end_matches(['\n', '\r', ' ', '\t']);
            let begin = start + words.len() - words.trim_start_matches([' ', '\t']).len();
            let stop = start + words.len();
            let sort = sort_of(words, at);
            let tail = self.tails.get(self.tails.partition_point(|tail| tail.to <= start));
            lines.push(match tail.filter(|tail| tail.from <= start) {
                Some(tail) => Line::new(Sort::Inside, tail.line(begin, &self.text[begin..stop])),
                None if sort == Sort::Empty || sort == Sort::Remark => Line::new(sort, words),
                None => self.line(sort, Span::new(begin as u32, stop as u32)),
            });
            start += whole.len();
        }
        lines
    }

    /// A line that is no further line of a note.
    fn line(&self, sort: Sort, line: Span) -> Line {
        let comments = &self.entry.comments;
        let next = comments.get(comments.partition_point(|comment| comment.start < line.start));
        let remark = next.copied().filter(|comment| line.covers(*comment));
        let said = self.trimmed(Span::new(line.start, remark.map_or(line.end, |remark| remark.start)));
        let fields = &self.entry.fields;
        let next = fields.get(fields.partition_point(|field| field.at.start < line.start));
        let words = match next.filter(|field| line.covers(field.at)) {
            _ if sort == Sort::Head => self.head(said),
            Some(field) => {
                let (word, value) = (field.word.word(), self.evened(said, field.at.end));
                if value.is_empty() { format!("{FIELD}{word}") } else { format!("{FIELD}{word:<WORD$} {value}") }
            }
            None => format!("{FIELD}{}", slice(self.text, said)),
        };
        match remark {
            // Alone on its line, it is all of it.
            Some(remark) if said.is_empty() => Line::new(sort, format!("{FIELD}{}", slice(self.text, remark))),
            remark => Line { sort, words, remark: remark.map(|remark| slice(self.text, remark).to_string()) },
        }
    }

    /// The first line of an entry.
    fn head(&self, said: Span) -> String {
        let head = &self.entry.head;
        if self.entry.strays.iter().any(|stray| stray.head) {
            return slice(self.text, said).to_string();
        }
        match self.entry.kind {
            Some(kind) if !head.word.is_empty() => {
                format!("{} {}", kind.word(), self.evened(said, head.word.end)).trim_end().to_string()
            }
            _ => self.evened(said, said.start),
        }
    }

    /// The words of a line from some place on, with one blank between them and commas as in print.
    fn evened(&self, line: Span, from: u32) -> String {
        let mut out = String::with_capacity((line.end - line.start) as usize);
        let mut from = from.min(line.end);
        let first = self.fixed.partition_point(|fixed| fixed.at.start < from);
        for fixed in self.fixed[first..].iter().take_while(|fixed| fixed.at.end <= line.end) {
            push_evened(&mut out, slice(self.text, Span::new(from, fixed.at.start.max(from))));
            // `60gal`
            if fixed.unit && out.ends_with(|before: char| before.is_ascii_digit()) {
                out.push(' ');
            }
            out.push_str(fixed.words);
            from = fixed.at.end;
        }
        push_evened(&mut out, slice(self.text, Span::new(from, line.end)));
        out
    }

    fn trimmed(&self, span: Span) -> Span {
        let kept = slice(self.text, span).trim_end_matches([' ', '\t', '\r']).len();
        Span::new(span.start, span.start + kept as u32)
    }
}

fn slice(text: &str, span: Span) -> &str {
    &text[span.start as usize..span.end as usize]
}

/// How a unit is written behind its number; nothing where it is not known.
fn unit(text: &str, span: Span, number: Option<Span>) -> Option<&'static str> {
    let unit = Unit::named(slice(text, span))?;
    let number = number.and_then(|number| Exact::parse(slice(text, number)).ok());
    Some(number.map_or(unit.word(), |number| unit.word_after(number)))
}

/// Adds words with one blank between them, none before a comma and one behind.
fn push_evened(out: &mut String, words: &str) {
    for (at, part) in words.split(',').enumerate() {
        if at > 0 {
            out.truncate(out.trim_end_matches(' ').len());
            out.push_str(", ");
        }
        let part = evened(part);
        let joined = out.is_empty() || out.ends_with(' ');
        out.push_str(if joined { part.trim_start_matches(' ') } else { &part });
    }
}

/// The further lines of a note.
struct Tail {
    /// The first byte of the first of them.
    from: usize,
    /// The byte after the last of them.
    to: usize,
    /// Where the words of each line begin, and how much deeper it stands than the least deep.
    lines: Vec<(usize, usize)>,
}

impl Tail {
    fn of(text: &str, field: &Field) -> Option<Self> {
        let Value::Note(lines) = &field.value else { return None };
        let first = field.at.start as usize;
        let from = text[first..].find('\n').map(|newline| first + newline + 1)?;
        let further: Vec<Span> = lines.iter().copied().filter(|line| line.start as usize >= from).collect();
        let to = further.last()?.end as usize;
        let indents = note_indents(text, &further);
        let starts = further.iter().map(|line| line.start as usize);
        Some(Self { from, to, lines: starts.zip(indents).collect() })
    }

    fn line(&self, begin: usize, words: &str) -> String {
        let known = self.lines.binary_search_by_key(&begin, |(start, _)| *start);
        let deeper = known.map_or(0, |at| self.lines[at].1);
        if words.is_empty() { String::new() } else { format!("{:width$}{words}", "", width = NOTE + deeper) }
    }
}

/// The lines with one empty line before each entry and the remarks that stand right above it, and no more than one
/// anywhere but in a note.
fn set_off(lines: Vec<Line>) -> Vec<Line> {
    let begins: Vec<bool> = (0..lines.len())
        .map(|at| {
            let above = at.checked_sub(1).map(|above| lines[above].sort);
            match lines[at].sort {
                Sort::Head => above != Some(Sort::Remark),
                Sort::Remark if above == Some(Sort::Remark) => false,
                Sort::Remark => lines[at..].iter().find(|line| line.sort != Sort::Remark).is_some_and(is_head),
                Sort::Empty | Sort::Inside => false,
            }
        })
        .collect();
    let mut out: Vec<Line> = Vec::with_capacity(lines.len() + 16);
    let mut empty = false;
    for (line, begins) in lines.into_iter().zip(begins) {
        if line.sort == Sort::Empty {
            empty = true;
            continue;
        }
        if (empty || begins) && !out.is_empty() {
            out.push(Line::new(Sort::Empty, ""));
        }
        empty = false;
        out.push(line);
    }
    out
}

fn is_head(line: &Line) -> bool {
    line.sort == Sort::Head
}

/// The lines as one text, the remarks of lines that follow each other in one column.
fn joined(lines: &[Line], ending: &str) -> String {
    let mut out = String::new();
    let mut rest = lines;
    while let Some(first) = rest.first() {
        let with_remarks = rest.iter().take_while(|line| line.remark.is_some()).count();
        let (run, after) = rest.split_at(with_remarks.max(1));
        let widest = run.iter().map(|line| width(&line.words)).max().unwrap_or_default();
        for line in run {
            out.push_str(&line.words);
            if first.remark.is_some() {
                out.extend(std::iter::repeat_n(' ', widest - width(&line.words) + GAP));
                out.push_str(line.remark());
            }
            out.push_str(ending);
        }
        rest = after;
    }
    out
}

fn width(words: &str) -> usize {
    unicode_width::UnicodeWidthStr::width(words)
}
