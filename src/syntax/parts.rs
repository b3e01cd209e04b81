//! Every span of an entry with what sort of words it covers: so that a tree can be compared without its places, and laid
//! out anew without knowing each value.

use super::tree::*;
use crate::text::Span;

/// What sort of words a span covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// Words that hold other parts: said again by those.
    Whole,
    /// A word of the language: its case says nothing.
    Keyword,
    /// A name, a number, a day, a time: as typed, but for the blanks inside.
    Word,
    /// Words to the end of a line: as typed, to the last blank.
    Text,
    /// A unit, and the number in front of it.
    Unit(Option<Span>),
}

/// What is told of every span of an entry.
pub(super) trait Visit: FnMut(Part, &mut Span) {}
impl<F: FnMut(Part, &mut Span)> Visit for F {}

/// Goes over every span of an entry, in a fixed order.
pub(super) fn each_part(entry: &mut Entry, visit: &mut impl Visit) {
    let Entry { kind, span, head, fields, strays, comments } = entry;
    visit(Part::Whole, span);
    let Head { line, word, names, of, rows, date, weekday, title } = head;
    visit(Part::Whole, line);
    visit(if kind.is_some() { Part::Keyword } else { Part::Word }, word);
    words(names, visit);
    words(of, visit);
    rows.iter_mut().for_each(|rows| row_pick(rows, visit));
    words(date, visit);
    words(weekday, visit);
    texts(title, visit);
    for Field { word: _, at, value: said, span } in fields {
        visit(Part::Keyword, at);
        visit(Part::Whole, span);
        value(said, visit);
    }
    strays.iter_mut().for_each(|Stray { line, head: _ }| visit(Part::Text, line));
    texts(comments, visit);
}

fn words<'s>(spans: impl IntoIterator<Item = &'s mut Span>, visit: &mut impl Visit) {
    spans.into_iter().for_each(|span| visit(Part::Word, span));
}

fn texts<'s>(spans: impl IntoIterator<Item = &'s mut Span>, visit: &mut impl Visit) {
    spans.into_iter().for_each(|span| visit(Part::Text, span));
}

/// Goes over the spans of a value; `tests/syntax` holds that none is forgotten.
fn value(value: &mut Value, visit: &mut impl Visit) {
    match value {
        Value::Names(names) => words(names, visit),
        Value::Text(text) | Value::StartStage(text) => texts([text], visit),
        Value::Note(lines) => texts(lines, visit),
        Value::Measure(one) | Value::Every(one) => measure(one, visit),
        Value::Limit { class, most } => {
            words(class, visit);
            measure(most, visit);
        }
        Value::Portion { portion: one, lot } => {
            portion(one, visit);
            texts(lot, visit);
        }
        Value::MixUse { mix, into_water: _, volume } => {
            words([mix], visit);
            volume.iter_mut().for_each(|volume| measure(volume, visit));
        }
        Value::Contents(portions) => portions.iter_mut().for_each(|one| portion(one, visit)),
        Value::Reading { clock, items } => {
            words(clock, visit);
            items.iter_mut().for_each(|item| reading_item(item, visit));
        }
        Value::Load { count, volume, portions } => {
            words(count, visit);
            measure(volume, visit);
            portions.iter_mut().for_each(|one| portion(one, visit));
        }
        Value::Layout { rows, items } => {
            rows.iter_mut().for_each(|run| row_run(run, visit));
            items.iter_mut().for_each(|LayoutItem { measure: one, kind: _ }| measure(one, visit));
        }
        Value::Times { start, end } => std::iter::once(start).chain(end).for_each(|time| moment(time, visit)),
        Value::Day(one) | Value::StartDay(one) | Value::StartBbch(one) | Value::Years(one) => words([one], visit),
        Value::Fold(one) | Value::Whole(one) => words([one], visit),
        Value::StartSight { severity: _, what, percent } => words([what, percent], visit),
        Value::Rounds { fewest, most, every } => {
            words(fewest.iter_mut().chain(most), visit);
            every.iter_mut().for_each(|every| measure(every, visit));
        }
        Value::Leftover { left, rows, text } => {
            measure(left, visit);
            rows.iter_mut().for_each(|rows| row_pick(rows, visit));
            texts(text, visit);
        }
        Value::Entered { date, clock, by } => words(std::iter::once(date).chain(clock).chain(by), visit),
        Value::Signed { by, date, clock } => words(by.iter_mut().chain([date]).chain(clock), visit),
        Value::Incidence { what, count: one } => {
            words([what], visit);
            count(one, visit);
        }
        Value::Count(one) => count(one, visit),
        Value::Severity { what, percent, text } => {
            words([what, percent], visit);
            texts(text, visit);
        }
        Value::Sample { number, unit, of, what, clock } => {
            let counted = Some(*number);
            words([number], visit);
            unit.iter_mut().for_each(|unit| visit(Part::Unit(counted), unit));
            words(of.iter_mut().chain(what).chain(clock), visit);
        }
        Value::Apart { what, number, unit, from } => {
            words(what, visit);
            let counted = Some(*number);
            words([number], visit);
            visit(Part::Unit(counted), unit);
            words(from, visit);
        }
        Value::Never { what, with } => words(what.iter_mut().chain(with), visit),
        Value::Posting { what, at } => {
            words(what, visit);
            at.iter_mut().for_each(|at| moment(at, visit));
        }
        Value::Accept { code, reason } => {
            words([code], visit);
            texts([reason], visit);
        }
        Value::Licence { number, until } => {
            texts([number], visit);
            words(until, visit);
        }
        Value::Rulebooks { names, from, until } => words(names.iter_mut().chain(from).chain(until), visit),
        Value::History { from } => words(from, visit),
        Value::Days { first, last } => words(std::iter::once(first).chain(last), visit),
        Value::Canopy { height, width, from } => {
            measure(height, visit);
            measure(width, visit);
            words(from, visit);
        }
        Value::Amounts(all) => all.iter_mut().for_each(|one| measure(one, visit)),
        Value::AfterRain { number, unit } => {
            let counted = Some(*number);
            words([number], visit);
            visit(Part::Unit(counted), unit);
        }
        Value::Window { low, high } => words([low, high], visit),
        Value::Drive { length, time } => [length].into_iter().chain(time).for_each(|one| measure(one, visit)),
        Value::Plot { side, other, time } => {
            [side].into_iter().chain(other).chain(time).for_each(|one| measure(one, visit));
        }
        Value::Caught { amounts, time } => {
            amounts.iter_mut().chain(time.as_deref_mut()).for_each(|one| measure(one, visit));
        }
        Value::Rated { amount, time, pressure } => {
            [amount, time].into_iter().chain(pressure).for_each(|one| measure(one, visit));
        }
    }
}

fn measure(measure: &mut Measure, visit: &mut impl Visit) {
    let Measure { span, none_stated: _, bound: _, number, one_in: _, high, unit, of, per, on, from } = measure;
    visit(Part::Whole, span);
    let counted = high.or(Some(*number));
    words(std::iter::once(number).chain(high), visit);
    unit.iter_mut().for_each(|unit| visit(Part::Unit(counted), unit));
    words(of, visit);
    if let Some(Per { number, unit }) = per {
        let counted = *number;
        words(number, visit);
        visit(Part::Unit(counted), unit);
    }
    words(on.iter_mut().chain(from), visit);
}

fn portion(Portion { name, measure: one }: &mut Portion, visit: &mut impl Visit) {
    words([name], visit);
    measure(one, visit);
}

fn reading_item(item: &mut ReadingItem, visit: &mut impl Visit) {
    match item {
        ReadingItem::Measured { name, measure: one, compass } => {
            words(name, visit);
            measure(one, visit);
            words(compass, visit);
        }
        ReadingItem::Remark(words) => texts([words], visit),
    }
}

fn count(Count { found, of, text }: &mut Count, visit: &mut impl Visit) {
    words([found, of], visit);
    texts(text, visit);
}

fn moment(Moment { span, date, clock, next_day: _, which: _ }: &mut Moment, visit: &mut impl Visit) {
    visit(Part::Whole, span);
    words(date.iter_mut().chain([clock]), visit);
}

fn row_pick(RowPick { span, rows }: &mut RowPick, visit: &mut impl Visit) {
    visit(Part::Whole, span);
    match rows {
        Rows::Listed(runs) => runs.iter_mut().for_each(|run| row_run(run, visit)),
        Rows::Alternate | Rows::Odd | Rows::Even => {}
    }
}

fn row_run(RowRun { first, last }: &mut RowRun, visit: &mut impl Visit) {
    words(std::iter::once(first).chain(last), visit);
}
