//! Quantities of fields, read by what each field measures.

use super::lower::Lowering;
use super::trouble::Trouble;
use super::*;
use crate::quantity::{Amount, Basis, Dimension, Exact, Form, NumberTrouble, Per, QuantityTrouble, Rate, Unit};
use crate::syntax::{Bound, Field, FieldWord, Measure, Value};
use crate::text::Span;

impl Lowering<'_> {
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
    pub(super) fn unit(&mut self, at: Span, field: FieldWord, wanted: &'static [Dimension]) -> Option<Unit> {
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

    /// The most that a tank may hold. A limit that no tank can be held to is refused rather than never looked at.
    pub(super) fn total_range(&mut self, field: FieldWord, measure: &Measure) -> Option<RateRange> {
        let range = self.rate_range(field, measure)?;
        let why = match range.most {
            None => "it sets no most",
            Some(most) if most.basis() != Basis::FinishedVolume => {
                "a tank is counted by its finished spray; what goes on the ground in a year is a `season` limit"
            }
            Some(_) => return Some(range),
        };
        self.trouble(Trouble::Impossible { at: measure.span, field, why });
        None
    }

    /// Measuring tools: weights and volumes above nothing.
    pub(super) fn measuring_tools(&mut self, field: &Field, tools: &mut Vec<Written<Amount>>) {
        let Value::Amounts(measures) = &field.value else { return };
        for measure in measures {
            let tool = self.amount(field.word, measure, &[Dimension::Mass, Dimension::Volume]);
            tools.extend(tool.map(|tool| Written::new(tool, measure.span)));
        }
    }

    /// Money: a number without a unit.
    pub(super) fn money(&mut self, field: FieldWord, measure: &Measure) -> Option<Exact> {
        if !is_plain(measure) || measure.unit.is_some() || measure.bound.is_some() {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        let money = self.number(measure.number)?;
        if money.is_negative() {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        Some(money)
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
    matches!(
        field,
        F::Area
            | F::Over
            | F::Volume
            | F::Tank
            | F::In
            | F::Into
            | F::Make
            | F::Mix
            | F::Put
            | F::Load
            | F::Measures
            | F::Canopy
            | F::Halve
            | F::Renew
            | F::Recalibrate
            | F::Course
            | F::Plot
            | F::Width
            | F::Rated
            | F::Used
    )
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
