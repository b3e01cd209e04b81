//! Materials, understood.

use super::lower::Lowering;
use super::measures::is_plain;
use super::read_standing::{measure, text};
use super::trouble::Trouble;
use super::*;
use crate::quantity::{Amount, Density, Dimension, Exact, Form, Unit};
use crate::syntax::{Bound, Entry, EntryWord, Field, FieldWord, Measure, Portion, Value, entry_rule};
use crate::text::Span;

const VOLUME: &[Dimension] = &[Dimension::Volume];
const MASS: &[Dimension] = &[Dimension::Mass];

impl Lowering<'_> {
    pub(super) fn material(&mut self, entry: &Entry) -> Material {
        let (fields, notes) = self.survey(entry, EntryWord::Material);
        self.head_has_only(entry, EntryWord::Material, 1, false, false, false);
        let mut material = Material {
            named: self.named(entry, notes),
            form: None,
            density: None,
            weighs: None,
            contents: Vec::new(),
            actives: Vec::new(),
            classes: Vec::new(),
            registration: None,
            status: None,
            origin: None,
            purposes: Vec::new(),
            label_limits: LabelLimits::default(),
            rates: Vec::new(),
            published: Vec::new(),
            reentry: None,
            preharvest: Vec::new(),
            preharvest_lost: false,
            spacing: Vec::new(),
            season: Vec::new(),
            group: None,
            apart: Vec::new(),
            never: Vec::new(),
            in_bloom: None,
            within: Vec::new(),
            needs: Needs::default(),
            home_made: None,
            protection: None,
            label: None,
            sds: None,
            prices: Vec::new(),
            tank_ph: None,
            measures: Vec::new(),
            source: None,
            fact_sources: Vec::new(),
        };
        for field in fields {
            match field.word {
                FieldWord::Form => material.form = self.choice(field, &["liquid", "dry"], &[Form::Liquid, Form::Dry]),
                FieldWord::Density => material.density = self.density(field),
                FieldWord::Weighs => material.weighs = self.density(field),
                FieldWord::Contains => material.contents = self.contents(field, false),
                FieldWord::Active => material.actives = self.contents(field, true),
                FieldWord::Class => {
                    if let Value::Names(names) = &field.value {
                        let classes = names.iter().map(|&name| Written::new(self.class(name), name));
                        material.classes = classes.collect();
                    }
                }
                FieldWord::Registration => material.registration = text(field),
                FieldWord::Status => material.status = self.choice(field, Status::WORDS, Status::ALL),
                FieldWord::Origin => material.origin = self.choice(field, Origin::WORDS, Origin::ALL),
                FieldWord::Purpose => material.purposes = self.choices(field, Purpose::WORDS, Purpose::ALL),
                FieldWord::LabelLimits => material.label_limits = self.label_limits(field),
                FieldWord::Rate => material.rates.extend(measure(field).and_then(|m| self.rate_range(field.word, m))),
                FieldWord::Published => {
                    material.published.extend(measure(field).and_then(|m| self.rate_range(field.word, m)));
                }
                FieldWord::Reentry => {
                    material.reentry =
                        measure(field).and_then(|m| Some(Written::new(self.stated(field.word, m)?, m.span)));
                }
                FieldWord::Preharvest => {
                    let interval = measure(field).and_then(|m| self.interval(field.word, m));
                    material.preharvest_lost |= interval.is_none();
                    material.preharvest.extend(interval);
                }
                FieldWord::Spacing => {
                    material.spacing.extend(measure(field).and_then(|m| self.interval(field.word, m)));
                }
                FieldWord::Season => material.season.extend(measure(field).and_then(|m| self.cap(field.word, m))),
                FieldWord::Group => material.group = text(field),
                FieldWord::Apart => material.apart.extend(self.apart(field)),
                FieldWord::Never => material.never.extend(self.never(field)),
                FieldWord::InBloom => material.in_bloom = self.yes_or_no(field),
                FieldWord::Within => self.within(field, &mut material.within),
                FieldWord::Needs => self.needs(field, &mut material.needs),
                FieldWord::HomeMade => material.home_made = self.yes_or_no(field),
                FieldWord::Protection => material.protection = text(field),
                FieldWord::Label => material.label = text(field),
                FieldWord::Sds => material.sds = text(field),
                FieldWord::Price => material.prices.extend(self.price(field)),
                FieldWord::TankPh => material.tank_ph = self.tank_ph(field),
                FieldWord::Measures => self.measuring_tools(field, &mut material.measures),
                FieldWord::Source => self.source(field, &mut material),
                _ => {}
            }
        }
        material
    }

    /// A class in lower case and in one spelling.
    pub(super) fn class(&self, span: Span) -> Box<str> {
        one_spelling(self.lower(span))
    }

    fn classes(&self, spans: &[Span]) -> Vec<Box<str>> {
        spans.iter().map(|&span| self.class(span)).collect()
    }

    fn density(&mut self, field: &Field) -> Option<Written<Density>> {
        let measure = measure(field)?;
        let (mass, volume) = self.amount_per(field.word, measure, MASS, VOLUME)?;
        match Density::new(mass, volume) {
            Some(density) => Some(Written::new(density, measure.span)),
            None => {
                self.trouble(Trouble::WrongShape { at: measure.span, field: field.word });
                None
            }
        }
    }

    fn contents(&mut self, field: &Field, in_words: bool) -> Vec<Content> {
        let Value::Contents(portions) = &field.value else { return Vec::new() };
        let mut contents = Vec::new();
        for Portion { name, measure } in portions {
            let substance = if in_words { self.lower(*name) } else { self.words(*name).into() };
            let written = measure.unit.map(|unit| self.words(unit));
            let compound = written.is_some_and(|unit| unit.contains('/') && Unit::named(unit).is_none());
            let share = if compound || measure.per.is_some() {
                self.amount_per(field.word, measure, MASS, VOLUME)
                    .and_then(|(mass, volume)| Density::new(mass, volume))
                    .map(ContentShare::PerVolume)
            } else {
                self.amount(field.word, measure, &[Dimension::Share]).and_then(Amount::base).map(ContentShare::ByWeight)
            };
            if matches!(share, Some(ContentShare::ByWeight(share)) if share > Exact::ONE) {
                let why = "it is more than all of it";
                self.trouble(Trouble::Impossible { at: measure.span, field: field.word, why });
            } else if let Some(share) = share {
                contents.push(Content { substance, share, span: name.to(measure.span) });
            }
        }
        contents
    }

    /// What it costs, and per how much of it.
    fn price(&mut self, field: &Field) -> Option<Dated<Price>> {
        let written = measure(field)?;
        let from = self.from(written)?;
        let Some(per) = written.per else {
            self.trouble(Trouble::WrongShape { at: written.span, field: field.word });
            return None;
        };
        let money = self.money(field.word, &Measure { from: None, per: None, ..written.clone() })?;
        let count = match per.number {
            Some(count) => self.number(count)?,
            None => Exact::ONE,
        };
        let unit = self.unit(per.unit, field.word, &[Dimension::Mass, Dimension::Volume, Dimension::Count])?;
        let counted_otherwise = unit.dimension() == Dimension::Count && unit != Unit::EACH;
        if !count.is_positive() || counted_otherwise {
            self.trouble(Trouble::WrongShape { at: written.span, field: field.word });
            return None;
        }
        Some(Dated { value: Price { money, per: Amount::new(count, unit) }, from, span: written.span })
    }

    fn tank_ph(&mut self, field: &Field) -> Option<Written<PhRange>> {
        let written = measure(field)?;
        let bare = Measure { high: None, ..written.clone() };
        if !is_plain(&bare) || written.unit.is_some() {
            self.trouble(Trouble::WrongShape { at: written.span, field: field.word });
            return None;
        }
        let first = self.number(written.number)?;
        let range = match (written.high, written.bound) {
            (Some(high), None) => PhRange { least: Some(first), most: Some(self.number(high)?) },
            (None, Some(Bound::AtLeast)) => PhRange { least: Some(first), most: None },
            (None, Some(Bound::AtMost)) => PhRange { least: None, most: Some(first) },
            _ => {
                self.trouble(Trouble::WrongShape { at: written.span, field: field.word });
                return None;
            }
        };
        let outside = |ph: Exact| ph.is_negative() || ph > Exact::int(14);
        let why = match (range.least, range.most) {
            (least, most) if least.into_iter().chain(most).any(outside) => "a pH is from 0 to 14",
            (Some(least), Some(most)) if most < least => "the second number is less than the first",
            _ => return Some(Written::new(range, written.span)),
        };
        self.trouble(Trouble::Impossible { at: written.span, field: field.word, why });
        None
    }

    /// Where the facts come from, or, behind a field's word and a colon, where one of them does.
    fn source(&mut self, field: &Field, material: &mut Material) {
        let Some(span) = text(field) else { return };
        let words = self.words(span);
        let named = words.split_once(':').and_then(|(before, behind)| {
            let word = FieldWord::named(before.trim_end())?;
            let stated = !matches!(word, FieldWord::Note | FieldWord::Accept | FieldWord::Source);
            (stated && entry_rule(EntryWord::Material).field(word).is_some()).then_some((word, behind))
        });
        let Some((word, behind)) = named else {
            match material.source {
                // Only what is known of single facts has a line for each.
                Some(first) => self.trouble(Trouble::RepeatedField { first, again: field.at, word: field.word }),
                None => material.source = Some(span),
            }
            return;
        };
        let last = behind.rsplit_once(';').and_then(|(before, last)| {
            let place = Known::WORDS.iter().position(|known| known.eq_ignore_ascii_case(last.trim()))?;
            Some((before, Known::ALL[place]))
        });
        let (said, known) = last.map_or((behind, None), |(before, known)| (before, Some(known)));
        let start = span.end - (behind.len() - (said.len() - said.trim_start().len())) as u32;
        let words = Span::new(start, start + said.trim().len() as u32);
        if words.is_empty() {
            self.trouble(Trouble::WrongShape { at: span, field: field.word });
            return;
        }
        material.fact_sources.push(FactSource { field: word, words, known });
    }

    pub(super) fn apart(&mut self, field: &Field) -> Option<Apart> {
        let Value::Apart { what, number, unit, from } = &field.value else { return None };
        let measure = Measure { span: number.to(*unit), number: *number, unit: Some(*unit), ..Measure::default() };
        let time = self.amount(field.word, &measure, &[Dimension::Time])?.base()?;
        Some(Apart { what: what.map(|what| self.class(what)), from: self.classes(from), time, span: field.span })
    }

    pub(super) fn never(&mut self, field: &Field) -> Option<Never> {
        let Value::Never { what, with } = &field.value else { return None };
        Some(Never { what: what.map(|what| self.class(what)), with: self.classes(with), span: field.span })
    }

    pub(super) fn within(&mut self, field: &Field, limits: &mut Vec<WeatherLimit>) {
        let Value::Contents(portions) = &field.value else { return };
        const KINDS: &[&str] = &["temperature", "wind", "humidity"];
        for Portion { name, measure } in portions {
            let (kind, wanted): (_, &'static [Dimension]) = match self.words(*name).to_ascii_lowercase().as_str() {
                "temperature" => (WeatherKind::Temperature, &[Dimension::Temperature]),
                "wind" => (WeatherKind::Wind, &[Dimension::Speed]),
                "humidity" => (WeatherKind::Humidity, &[Dimension::Share]),
                _ => {
                    self.trouble(Trouble::UnknownChoice { at: *name, field: field.word, allowed: KINDS });
                    continue;
                }
            };
            let Some(first) = self.amount_part(measure.number, measure, field.word, wanted) else { continue };
            let (least, most) = match (measure.high, measure.bound) {
                (Some(high), None) => {
                    let Some(high) = self.amount_part(high, measure, field.word, wanted) else { continue };
                    (Some(first), Some(high))
                }
                (None, Some(Bound::AtLeast)) => (Some(first), None),
                (None, Some(Bound::AtMost)) => (None, Some(first)),
                _ => {
                    self.trouble(Trouble::WrongShape { at: measure.span, field: field.word });
                    continue;
                }
            };
            limits.push(WeatherLimit { kind, least, most, span: name.to(measure.span) });
        }
    }
}

/// Classes that have two spellings, in one.
fn one_spelling(class: Box<str>) -> Box<str> {
    match &*class {
        "sulphur" => "sulfur".into(),
        "lime-sulphur" => "lime-sulfur".into(),
        "oxidizer" => "oxidiser".into(),
        "oils" => "oil".into(),
        "acids" => "acid".into(),
        "soaps" => "soap".into(),
        "coppers" => "copper".into(),
        _ => class,
    }
}
