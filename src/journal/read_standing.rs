//! Standing entries, understood.

use super::lower::Lowering;
use super::measures::is_plain;
use super::trouble::{NameSort, Trouble};
use super::*;
use crate::quantity::{Amount, Dimension, Exact, System, Unit};
use crate::syntax::{Bound, Entry, EntryWord, Field, FieldWord, Measure, Portion, Value};
use crate::text::Span;

const VOLUME: &[Dimension] = &[Dimension::Volume];
const LENGTH: &[Dimension] = &[Dimension::Length];

impl Lowering<'_> {
    pub(super) fn named(&self, entry: &Entry, notes: Vec<Span>) -> Named {
        let span = entry.head.names.first().copied().unwrap_or(entry.head.line);
        let title = entry.head.title.map(|title| self.words(title).trim()).filter(|title| !title.is_empty());
        Named { name: self.lower(span), title: title.map(Into::into), span, entry: entry.span, notes }
    }

    pub(super) fn farm(&mut self, entry: &Entry) -> Farm {
        let (fields, notes) = self.survey(entry, EntryWord::Farm);
        self.head_has_only(entry, EntryWord::Farm, 1, false, false, false);
        let mut farm = Farm {
            named: self.named(entry, notes),
            units: System::Us,
            zone: None,
            address: None,
            owner: None,
            contact: None,
            uses: Vec::new(),
            needs: Needs::default(),
            permit: None,
            rulebooks: Vec::new(),
            keep: None,
            history: None,
            pantry: None,
            currency: None,
            measures: Vec::new(),
        };
        for field in fields {
            match field.word {
                FieldWord::Units => {
                    let systems = [System::Us, System::Imperial, System::Metric];
                    if let Some(units) = self.choice(field, &["US", "imperial", "metric"], &systems) {
                        farm.units = units.value;
                    }
                }
                FieldWord::Timezone => farm.zone = self.zone(field.span),
                FieldWord::Address => farm.address = text(field),
                FieldWord::Owner => farm.owner = text(field),
                FieldWord::Contact => farm.contact = text(field),
                FieldWord::Uses => farm.uses.extend(text(field)),
                FieldWord::Needs => self.needs(field, &mut farm.needs),
                FieldWord::Permit => farm.permit = text(field),
                FieldWord::Rulebook => farm.rulebooks.extend(self.adopted(field)),
                FieldWord::Keep => farm.keep = self.years(field),
                FieldWord::History => farm.history = self.history(field),
                FieldWord::Pantry => farm.pantry = self.yes_or_no(field),
                FieldWord::Currency => farm.currency = text(field),
                FieldWord::Measures => self.measuring_tools(field, &mut farm.measures),
                FieldWord::JournalVersion => self.version(field),
                _ => {}
            }
        }
        farm
    }

    fn zone(&mut self, at: Span) -> Option<Written<chrono_tz::Tz>> {
        let words = self.words(at);
        let mut zones = chrono_tz::TZ_VARIANTS.iter();
        if let Some(&zone) = zones.find(|zone| zone.name().eq_ignore_ascii_case(words)) {
            return Some(Written::new(zone, at));
        }
        let near = super::names::nearest(words, chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name()));
        self.trouble(Trouble::UnknownZone { at, nearest: near });
        None
    }

    fn version(&mut self, field: &Field) {
        let Value::Measure(measure) = &field.value else { return };
        if self.words(measure.span) != "1" {
            self.trouble(Trouble::UnknownChoice { at: field.span, field: field.word, allowed: &["1"] });
        }
    }

    /// A field that takes one name.
    pub(super) fn one_name(&mut self, field: &Field) -> Option<Written<Box<str>>> {
        let Value::Names(names) = &field.value else { return None };
        if names.len() > 1 {
            self.trouble(Trouble::WrongShape { at: field.span, field: field.word });
            return None;
        }
        names.first().map(|&name| Written::new(self.lower(name), name))
    }

    pub(super) fn dated_amount(&mut self, field: &Field, wanted: &'static [Dimension]) -> Option<Dated<Amount>> {
        let Value::Measure(measure) = &field.value else { return None };
        let plain = Measure { from: None, ..measure.clone() };
        let value = self.amount(field.word, &plain, wanted)?;
        let from = self.from(measure)?;
        Some(Dated { value, from, span: measure.span })
    }

    /// The day behind `from`; nothing where the day could not be read.
    pub(super) fn from(&mut self, measure: &Measure) -> Option<Option<chrono::NaiveDate>> {
        match measure.from {
            Some(from) => self.date(from).map(Some),
            None => Some(None),
        }
    }

    pub(super) fn person(&mut self, entry: &Entry) -> Person {
        let (fields, notes) = self.survey(entry, EntryWord::Person);
        self.head_has_only(entry, EntryWord::Person, 1, false, false, false);
        let mut person = Person {
            named: self.named(entry, notes),
            licence: None,
            role: None,
            family: None,
            address: None,
            contact: None,
        };
        for field in fields {
            match field.word {
                FieldWord::Licence => person.licence = self.licence(field),
                FieldWord::Family => person.family = self.yes_or_no(field),
                FieldWord::Role => person.role = text(field),
                FieldWord::Address => person.address = text(field),
                FieldWord::Contact => person.contact = text(field),
                _ => {}
            }
        }
        person
    }

    pub(super) fn rig(&mut self, entry: &Entry) -> Rig {
        let (fields, notes) = self.survey(entry, EntryWord::Rig);
        self.head_has_only(entry, EntryWord::Rig, 1, false, false, false);
        let mut rig = Rig {
            named: self.named(entry, notes),
            tank: None,
            method: None,
            nozzles: None,
            droplets: None,
            height: None,
            recalibrate: None,
        };
        for field in fields {
            match field.word {
                FieldWord::Tank => rig.tank = self.amount_field(field, VOLUME),
                FieldWord::Method => rig.method = text(field),
                FieldWord::Nozzles => rig.nozzles = text(field),
                FieldWord::Droplets => rig.droplets = text(field),
                FieldWord::Height => rig.height = self.amount_field(field, LENGTH),
                FieldWord::Recalibrate => rig.recalibrate = self.every(field),
                _ => {}
            }
        }
        rig
    }

    pub(super) fn water(&mut self, entry: &Entry) -> Water {
        let (fields, notes) = self.survey(entry, EntryWord::Water);
        self.head_has_only(entry, EntryWord::Water, 1, false, false, false);
        let mut water =
            Water { named: self.named(entry, notes), source: None, kind: None, ph: Vec::new(), hardness: Vec::new() };
        for field in fields {
            match field.word {
                FieldWord::Source => water.source = text(field),
                FieldWord::Kind => water.kind = self.choice(field, WaterKind::WORDS, WaterKind::ALL),
                FieldWord::Ph => {
                    if let Value::Measure(measure) = &field.value
                        && let Some(value) = self.ph(measure)
                        && let Some(from) = self.from(measure)
                    {
                        water.ph.push(Dated { value, from, span: measure.span });
                    }
                }
                FieldWord::Hardness => {
                    // As mg/L: a share by weight in volume, or grains per gallon.
                    if let Some(amount) = self.dated_amount(field, &[Dimension::Share])
                        && let Some(ppm) = amount.value.in_unit(Unit::PPM)
                    {
                        water.hardness.push(Dated { value: ppm.value, from: amount.from, span: amount.span });
                    }
                }
                _ => {}
            }
        }
        water
    }

    /// A pH: a number without a unit.
    pub(super) fn ph(&mut self, measure: &Measure) -> Option<Exact> {
        let bare = Measure { from: None, ..measure.clone() };
        if !is_plain(&bare) || measure.unit.is_some() || measure.bound.is_some() {
            self.trouble(Trouble::WrongShape { at: measure.span, field: FieldWord::Ph });
            return None;
        }
        self.number(measure.number)
    }

    pub(super) fn mix(&mut self, entry: &Entry) -> Mix {
        let (fields, notes) = self.survey(entry, EntryWord::Mix);
        self.head_has_only(entry, EntryWord::Mix, 1, false, false, false);
        let mut mix = Mix {
            named: self.named(entry, notes),
            base: None,
            puts: Vec::new(),
            total: None,
            order: Vec::new(),
            source: None,
        };
        for field in fields {
            match field.word {
                FieldWord::In | FieldWord::Into | FieldWord::Make => {
                    let Some(measure) = measure(field) else { continue };
                    let plain = Measure { bound: None, ..measure.clone() };
                    // `make up to 4 gal` is the only bound that means a volume.
                    let up_to = measure.bound == Some(Bound::UpTo);
                    if up_to != (field.word == FieldWord::Make) || measure.bound.is_some() && !up_to {
                        self.trouble(Trouble::WrongShape { at: measure.span, field: field.word });
                        continue;
                    }
                    if let Some(first) = mix.base {
                        self.trouble(Trouble::RepeatedField { first: first.span, again: field.at, word: field.word });
                        continue;
                    }
                    if let Some(volume) = self.amount(field.word, &plain, VOLUME) {
                        mix.base = Some(MixBase { volume, water: field.word == FieldWord::Into, span: field.span });
                    }
                }
                FieldWord::Put => {
                    if let Value::Portion { portion, lot: Some(lot) } = &field.value {
                        // A recipe is for every lot.
                        let at = Span::new(portion.measure.span.end, lot.end);
                        self.trouble(Trouble::WrongShape { at, field: field.word });
                    }
                    mix.puts.extend(self.put(field).map(|put| Put { lot: None, ..put }));
                }
                FieldWord::Order => mix.order = self.order(field),
                FieldWord::Total => {
                    if let Value::Limit { class, most } = &field.value {
                        if let Some(at) = class {
                            self.trouble(Trouble::WrongShape { at: *at, field: field.word });
                            continue;
                        }
                        mix.total = self.total_range(field.word, most);
                    }
                }
                FieldWord::Source => mix.source = text(field),
                _ => {}
            }
        }
        mix
    }

    pub(super) fn put(&mut self, field: &Field) -> Option<Put> {
        let Value::Portion { portion: Portion { name, measure }, lot } = &field.value else { return None };
        let material = self.refer(*name, NameSort::Material, MaterialId);
        let dose = self.dose(field.word, measure, material);
        Some(Put { material, dose, lot: *lot, span: measure.span })
    }

    fn dose(&mut self, field: FieldWord, measure: &Measure, material: Ref<MaterialId>) -> Option<PutDose> {
        let unit = measure.unit.map(|unit| self.words(unit));
        let shared = unit.and_then(Unit::named).is_some_and(|unit| unit.dimension() == Dimension::Share);
        let compound = unit.is_some_and(|unit| unit.contains('/') && Unit::named(unit).is_none());
        if measure.per.is_some() || measure.one_in || shared || compound {
            let only_rate = !measure.none_stated
                && measure.high.is_none()
                && measure.bound.is_none()
                && measure.on.is_empty()
                && measure.of.is_none();
            if !only_rate {
                self.trouble(Trouble::WrongShape { at: measure.span, field });
                return None;
            }
            let rate = self.rate(field, measure.number, measure)?;
            return self.settled_rate(rate, material, measure.span).map(PutDose::Rate);
        }
        let amount = self.amount(field, measure, &[Dimension::Mass, Dimension::Volume, Dimension::Ounce])?;
        self.settled(amount, material, measure.span).map(PutDose::Amount)
    }

    /// The order of addition: names and classes, each once.
    fn order(&mut self, field: &Field) -> Vec<Written<Box<str>>> {
        let Value::Names(names) = &field.value else { return Vec::new() };
        self.once_each(names).into_iter().map(|at| Written::new(self.class(at), at)).collect()
    }

    pub(super) fn limits(&mut self, entry: &Entry) -> Limits {
        let (fields, notes) = self.survey(entry, EntryWord::Limits);
        self.head_has_only(entry, EntryWord::Limits, 1, false, false, false);
        let mut limits = Limits {
            named: self.named(entry, notes),
            totals: Vec::new(),
            season: Vec::new(),
            apart: Vec::new(),
            never: Vec::new(),
            within: Vec::new(),
            order: Vec::new(),
            stops: Vec::new(),
            halve: None,
            renew: None,
            source: None,
        };
        for field in fields {
            match field.word {
                FieldWord::Total => {
                    if let Value::Limit { class, most } = &field.value
                        && let Some(range) = self.total_range(field.word, most)
                    {
                        // `total everything at most ...` says in a word what no class says.
                        let class = class.map(|class| self.class(class)).filter(|class| **class != *"everything");
                        limits.totals.push(TotalLimit { class, range });
                    }
                }
                FieldWord::Season => limits.season.extend(measure(field).and_then(|m| self.cap(field.word, m))),
                FieldWord::Apart => limits.apart.extend(self.apart(field)),
                FieldWord::Never => limits.never.extend(self.never(field)),
                FieldWord::Within => self.within(field, &mut limits.within),
                FieldWord::Order => limits.order = self.order(field),
                FieldWord::Stop => limits.stops.extend(text(field)),
                FieldWord::Halve => limits.halve = self.after_rain(field),
                FieldWord::Renew => limits.renew = self.after_rain(field),
                FieldWord::Source => limits.source = text(field),
                _ => {}
            }
        }
        for apart in limits.apart.iter().filter(|apart| apart.what.is_none()) {
            self.troubles.push(Trouble::WrongShape { at: apart.span, field: FieldWord::Apart });
        }
        for never in limits.never.iter().filter(|never| never.what.is_none()) {
            self.troubles.push(Trouble::WrongShape { at: never.span, field: FieldWord::Never });
        }
        limits
    }
}

pub(super) fn text(field: &Field) -> Option<Span> {
    match field.value {
        Value::Text(span) => Some(span),
        _ => None,
    }
}

pub(super) fn measure(field: &Field) -> Option<&Measure> {
    match &field.value {
        Value::Measure(measure) => Some(measure),
        _ => None,
    }
}
