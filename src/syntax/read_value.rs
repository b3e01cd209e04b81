//! What stands behind a field's word, from what the grammar matched.

use super::grammar::Rule;
use super::read::{P, Reader};
use super::tree::*;

impl<'t> Reader<'t> {
    pub(super) fn value(&self, pair: P<'t>, entry: &mut Entry) -> Option<Value> {
        let rule = pair.as_rule();
        let whole = self.span(&pair);
        Some(match rule {
            Rule::names => Value::Names(self.spans(pair)),
            Rule::measure => Value::Measure(self.measure(pair)),
            Rule::portion => Value::Portion { portion: self.portion(pair)?, lot: None },
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
            Rule::start => self.start(pair, entry)?,
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
            Rule::signed => {
                let (mut by, mut date, mut clock) = (Vec::new(), None, None);
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::date => date = Some(self.span(&part)),
                        Rule::clock => clock = Some(self.span(&part)),
                        _ => by = self.spans(part),
                    }
                }
                Value::Signed { by, date: date?, clock }
            }
            Rule::licence => {
                let mut parts = pair.into_inner();
                let number = self.trimmed(self.span(&parts.next()?));
                Value::Licence { number, until: parts.next().map(|until| self.span(&until)) }
            }
            Rule::rulebook => {
                let (mut names, mut from, mut until) = (Vec::new(), None, None);
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::from => from = Some(self.span(&part)),
                        Rule::until => until = Some(self.span(&part)),
                        _ => names = self.spans(part),
                    }
                }
                Value::Rulebooks { names, from, until }
            }
            Rule::keep => Value::Years(self.first(pair)?),
            Rule::history => {
                let part = pair.into_inner().next()?;
                Value::History { from: (part.as_rule() == Rule::from).then(|| self.span(&part)) }
            }
            Rule::accept => {
                let mut parts = pair.into_inner();
                let code = self.span(&parts.next()?);
                let reason = self.without_comment(self.span(&parts.next()?), entry);
                Value::Accept { code, reason }
            }
            _ => return self.planned_value(pair),
        })
    }

    pub(super) fn measure(&self, pair: P<'t>) -> Measure {
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

    pub(super) fn row_pick(&self, pair: P<'t>) -> Option<RowPick> {
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
}
