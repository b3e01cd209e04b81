//! What the grammar tells apart: a letter for each character of a text, from the tree.

use foliary::quantity::Unit;
use foliary::syntax::*;
use foliary::text::Span;

use super::pattern::Kind;

/// Nothing of the language, or a word between two things.
const OPEN: char = '.';
/// Words of the writer: nothing of the language.
const OWN: char = '_';
/// Not judged: what the tree does not say.
const FREE: char = '?';

/// The letter of a kind.
pub fn letter(kind: Kind) -> char {
    match kind {
        Kind::Entry => 'E',
        Kind::Field => 'F',
        Kind::Name => 'N',
        Kind::Number => '0',
        Kind::Unit => 'U',
        Kind::Date => 'D',
        Kind::Joiner => 'j',
        Kind::Title => 'T',
        Kind::Remark => '#',
        Kind::Note => 'M',
    }
}

/// Whether what an editor showed is what the tree says.
pub fn agrees(told: char, shown: char) -> bool {
    match told {
        FREE => true,
        OPEN => shown == OPEN || shown == letter(Kind::Joiner),
        OWN => shown == OPEN,
        told => told == shown,
    }
}

struct Told<'t> {
    text: &'t str,
    letters: Vec<char>,
}

/// The letters of a text, line by line.
pub fn told(text: &str) -> Vec<String> {
    let mut told = Told { text, letters: vec![OPEN; text.len()] };
    for range in split_entries(text) {
        told.entry(&read_entry(&text[range.clone()], range.start as u32));
    }
    let mut lines = vec![String::new()];
    for (at, character) in text.char_indices() {
        match character {
            '\n' => lines.push(String::new()),
            // Blanks have no colour.
            ' ' | '\t' | '\r' => lines.last_mut().unwrap().push(FREE),
            _ => lines.last_mut().unwrap().push(told.letters[at]),
        }
    }
    if lines.last().is_some_and(String::is_empty) {
        lines.pop();
    }
    lines
}

impl Told<'_> {
    fn mark(&mut self, span: Span, letter: char) {
        self.letters[span.start as usize..span.end as usize].fill(letter);
    }

    fn kind(&mut self, span: Span, kind: Kind) {
        self.mark(span, letter(kind));
    }

    fn each<'s>(&mut self, spans: impl IntoIterator<Item = &'s Span>, kind: Kind) {
        for span in spans {
            self.kind(*span, kind);
        }
    }

    fn words(&self, span: Span) -> &str {
        &self.text[span.start as usize..span.end as usize]
    }

    fn entry(&mut self, entry: &Entry) {
        let known = matches!(entry.kind, Some(kind) if kind != EntryWord::Day);
        // Without a word and a date these are the lines before the first entry.
        let begins = entry.head.word.start < entry.head.word.end || entry.head.date.is_some();
        match entry.kind {
            Some(_) if begins => self.head(&entry.head, known),
            None if begins => self.mark(entry.head.line, OWN),
            _ => {}
        }
        for field in &entry.fields {
            self.kind(field.at, Kind::Field);
            self.value(&field.value);
        }
        for stray in &entry.strays {
            self.stray(*stray, known);
        }
        self.each(&entry.comments, Kind::Remark);
    }

    /// An unknown word and what follows it is nobody's; behind a known one anything may be shown.
    fn stray(&mut self, stray: Stray, known: bool) {
        let words = self.words(stray.line);
        let first = words.split([' ', '\t']).next().unwrap_or("");
        let begins = match stray.head {
            true => known || first.starts_with(|c: char| c.is_ascii_digit()),
            false => FieldWord::named(first).is_some(),
        };
        self.mark(stray.line, if begins { FREE } else { OWN });
    }

    fn head(&mut self, head: &Head, known: bool) {
        if known {
            self.kind(head.word, Kind::Entry);
            self.each(&head.names, Kind::Name);
            self.each(&head.of, Kind::Name);
            self.rows(head.rows.as_ref());
        } else if head.date.is_none() {
            self.mark(head.line, OWN);
        }
        self.each(&head.date, Kind::Date);
        if let Some(weekday) = head.weekday {
            let letter = if weekday_named(self.words(weekday)).is_some() { letter(Kind::Date) } else { OWN };
            self.mark(weekday, letter);
        }
        if let Some(title) = head.title {
            self.kind(Span::new(title.start - 1, title.end + 1), Kind::Title);
        }
    }

    fn rows(&mut self, pick: Option<&RowPick>) {
        if let Some(RowPick { rows: Rows::Listed(runs), .. }) = pick {
            self.runs(runs);
        }
    }

    fn runs(&mut self, runs: &[RowRun]) {
        for run in runs {
            self.kind(run.first, Kind::Number);
            self.each(&run.last, Kind::Number);
        }
    }

    fn unit(&mut self, span: Span) {
        let words = self.words(span).to_owned();
        if Unit::named(&words).is_some() {
            self.kind(span, Kind::Unit);
        } else if let Some((unit, per)) = words.split_once('/') {
            let middle = span.start + unit.len() as u32;
            self.mark(span, FREE);
            for (words, part) in [(unit, Span::new(span.start, middle)), (per, Span::new(middle + 1, span.end))] {
                self.mark(part, if Unit::named(words).is_some() { letter(Kind::Unit) } else { OWN });
            }
        } else {
            self.mark(span, OWN);
        }
    }

    fn measure(&mut self, measure: &Measure) {
        self.kind(measure.number, Kind::Number);
        self.each(&measure.high, Kind::Number);
        if let Some(unit) = measure.unit {
            self.unit(unit);
        }
        self.each(&measure.of, Kind::Name);
        if let Some(per) = measure.per {
            self.each(&per.number, Kind::Number);
            self.unit(per.unit);
        }
        self.each(&measure.on, Kind::Name);
        self.each(&measure.from, Kind::Date);
    }

    fn measures<'s>(&mut self, measures: impl IntoIterator<Item = &'s Measure>) {
        for measure in measures {
            self.measure(measure);
        }
    }

    fn portions(&mut self, portions: &[Portion]) {
        for portion in portions {
            self.kind(portion.name, Kind::Name);
            self.measure(&portion.measure);
        }
    }

    fn own<'s>(&mut self, texts: impl IntoIterator<Item = &'s Span>) {
        for text in texts {
            self.mark(*text, OWN);
        }
    }

    fn moment(&mut self, moment: &Moment) {
        self.each(&moment.date, Kind::Date);
        self.kind(moment.clock, Kind::Date);
    }

    fn count(&mut self, count: &Count) {
        self.kind(count.found, Kind::Number);
        self.kind(count.of, Kind::Number);
        self.own(&count.text);
    }

    /// A number with a `%` behind it.
    fn percent(&mut self, number: Span) {
        self.kind(number, Kind::Number);
        if let Some(at) = self.text[number.end as usize..].find('%') {
            self.letters[number.end as usize + at] = letter(Kind::Unit);
        }
    }

    fn value(&mut self, value: &Value) {
        match value {
            Value::Names(names) => self.each(names, Kind::Name),
            Value::Text(text) | Value::StartStage(text) => self.mark(*text, OWN),
            Value::Note(lines) => self.each(lines, Kind::Note),
            Value::Measure(measure) | Value::Every(measure) => self.measure(measure),
            Value::Limit { class, most } => {
                self.each(class, Kind::Name);
                self.measure(most);
            }
            Value::Portion { portion, lot } => {
                self.portions(std::slice::from_ref(portion));
                self.own(lot);
            }
            Value::MixUse { mix, volume, .. } => {
                self.kind(*mix, Kind::Name);
                self.measures(volume);
            }
            Value::Contents(portions) => self.portions(portions),
            Value::Reading { clock, items } => {
                self.each(clock, Kind::Date);
                for item in items {
                    match item {
                        ReadingItem::Measured { name, measure, .. } => {
                            self.each(name, Kind::Name);
                            self.measure(measure);
                        }
                        ReadingItem::Remark(words) => self.mark(*words, OWN),
                    }
                }
            }
            Value::Load { count, volume, portions } => {
                self.each(count, Kind::Number);
                self.measure(volume);
                self.portions(portions);
            }
            Value::Layout { rows, items } => {
                self.runs(rows);
                self.measures(items.iter().map(|item| &item.measure));
            }
            Value::Times { start, end } => {
                self.moment(start);
                end.iter().for_each(|end| self.moment(end));
            }
            Value::Day(day) | Value::StartDay(day) => self.kind(*day, Kind::Date),
            Value::StartBbch(number) | Value::Years(number) | Value::Fold(number) | Value::Whole(number) => {
                self.kind(*number, Kind::Number);
            }
            Value::StartSight { what, percent, .. } => {
                self.kind(*what, Kind::Name);
                self.percent(*percent);
            }
            Value::Rounds { fewest, most, every } => {
                self.each(fewest.iter().chain(most), Kind::Number);
                self.measures(every);
            }
            Value::Leftover { left, rows, text } => {
                self.measure(left);
                self.rows(rows.as_ref());
                self.own(text);
            }
            Value::Entered { date, clock, by } => {
                self.each([date].into_iter().chain(clock), Kind::Date);
                self.each(by, Kind::Name);
            }
            Value::Signed { by, date, clock } => {
                self.each(by, Kind::Name);
                self.each([date].into_iter().chain(clock), Kind::Date);
            }
            Value::Incidence { what, count } => {
                self.kind(*what, Kind::Name);
                self.count(count);
            }
            Value::Count(count) => self.count(count),
            Value::Severity { what, percent, text } => {
                self.kind(*what, Kind::Name);
                self.percent(*percent);
                self.own(text);
            }
            Value::Sample { number, unit, of, what, clock } => {
                self.each([number].into_iter().chain(of), Kind::Number);
                unit.iter().for_each(|unit| self.unit(*unit));
                self.each(what, Kind::Name);
                self.each(clock, Kind::Date);
            }
            Value::Apart { what, number, unit, from } => {
                self.each(what.iter().chain(from), Kind::Name);
                self.kind(*number, Kind::Number);
                self.unit(*unit);
            }
            Value::Never { what, with } => self.each(what.iter().chain(with), Kind::Name),
            Value::Posting { what, at } => {
                self.each(what, Kind::Name);
                at.iter().for_each(|at| self.moment(at));
            }
            Value::Accept { code, reason } => {
                self.kind(*code, Kind::Name);
                self.mark(*reason, OWN);
            }
            Value::Licence { number, until } => {
                self.mark(*number, OWN);
                self.each(until, Kind::Date);
            }
            Value::Rulebooks { names, from, until } => {
                self.each(names, Kind::Name);
                self.each(from.iter().chain(until), Kind::Date);
            }
            Value::History { from } => self.each(from, Kind::Date),
            Value::Days { first, last } => self.each([first].into_iter().chain(last), Kind::Date),
            Value::Canopy { height, width, from } => {
                self.measures([&**height, &**width]);
                self.each(from, Kind::Date);
            }
            Value::Amounts(amounts) => self.measures(amounts),
            Value::AfterRain { number, unit } => {
                self.kind(*number, Kind::Number);
                self.unit(*unit);
            }
            Value::Window { low, high } => self.each([low, high], Kind::Number),
            Value::Drive { length, time } => self.measures([&**length].into_iter().chain(time.as_deref())),
            Value::Plot { side, other, time } => {
                self.measures([&**side].into_iter().chain(other.as_deref()).chain(time.as_deref()));
            }
            Value::Caught { amounts, time } => self.measures(amounts.iter().chain(time.as_deref())),
            Value::Rated { amount, time, pressure } => {
                self.measures([&**amount, &**time].into_iter().chain(pressure.as_deref()));
            }
        }
    }
}
