//! What stands behind the words of plans and of measuring a sprayer.

use super::grammar::Rule;
use super::read::{P, Reader};
use super::tree::*;

impl<'t> Reader<'t> {
    /// When a program begins.
    pub(super) fn start(&self, pair: P<'t>, entry: &mut Entry) -> Option<Value> {
        let mut parts = pair.into_inner();
        let first = parts.next()?;
        let span = self.span(&first);
        Some(match first.as_rule() {
            Rule::date => Value::StartDay(span),
            Rule::whole => Value::StartBbch(span),
            Rule::seen => Value::StartSight {
                severity: self.words(span).eq_ignore_ascii_case("severity"),
                what: self.span(&parts.next()?),
                percent: self.span(&parts.next()?),
            },
            _ => Value::StartStage(self.without_comment(span, entry)),
        })
    }

    pub(super) fn planned_value(&self, pair: P<'t>) -> Option<Value> {
        let rule = pair.as_rule();
        let mut parts = pair.into_inner();
        Some(match rule {
            Rule::days => {
                Value::Days { first: self.span(&parts.next()?), last: parts.next().map(|last| self.span(&last)) }
            }
            Rule::canopy => {
                let (mut height, mut width, mut from) = (None, None, None);
                for part in parts {
                    match part.as_rule() {
                        Rule::high_side => height = self.inner_measure(part),
                        Rule::wide_side => width = self.inner_measure(part),
                        _ => from = self.first(part),
                    }
                }
                Value::Canopy { height: height?, width: width?, from }
            }
            Rule::amounts => Value::Amounts(parts.map(|part| self.measure(part)).collect()),
            Rule::after_rain => Value::AfterRain { number: self.span(&parts.next()?), unit: self.span(&parts.next()?) },
            Rule::every => Value::Every(self.measure(parts.next()?)),
            Rule::window => Value::Window { low: self.span(&parts.next()?), high: self.span(&parts.next()?) },
            Rule::fold => Value::Fold(self.span(&parts.next()?)),
            Rule::nozzle_count => Value::Whole(self.span(&parts.next()?)),
            Rule::drive => {
                let length = Box::new(self.measure(parts.next()?));
                Value::Drive { length, time: parts.next().and_then(|part| self.inner_measure(part)) }
            }
            Rule::plot => {
                let side = Box::new(self.measure(parts.next()?));
                let (mut other, mut time) = (None, None);
                for part in parts {
                    match part.as_rule() {
                        Rule::taking => time = self.inner_measure(part),
                        _ => other = Some(Box::new(self.measure(part))),
                    }
                }
                Value::Plot { side, other, time }
            }
            Rule::caught => {
                let amounts = parts.next()?.into_inner().map(|part| self.measure(part)).collect();
                Value::Caught { amounts, time: parts.next().and_then(|part| self.inner_measure(part)) }
            }
            Rule::rated => Value::Rated {
                amount: Box::new(self.measure(parts.next()?)),
                time: self.inner_measure(parts.next()?)?,
                pressure: parts.next().map(|part| Box::new(self.measure(part))),
            },
            _ => return None,
        })
    }

    /// The one quantity inside a part.
    fn inner_measure(&self, pair: P<'t>) -> Option<Box<Measure>> {
        pair.into_inner().next().map(|measure| Box::new(self.measure(measure)))
    }
}
