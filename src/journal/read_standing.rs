//! Standing entries, understood.

use super::lower::Lowering;
use super::measures::is_plain;
use super::trouble::{NameSort, Trouble};
use super::*;
use crate::quantity::{Amount, Dimension, Exact, System, Unit};
use crate::syntax::{Bound, Entry, EntryWord, Field, FieldWord, LayoutKind, Measure, Portion, Value};
use crate::text::Span;

const AREA: &[Dimension] = &[Dimension::Area];
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

    pub(super) fn block(&mut self, entry: &Entry) -> Block {
        let (fields, notes) = self.survey(entry, EntryWord::Block);
        self.head_has_only(entry, EntryWord::Block, 1, false, false, false);
        let mut block = Block {
            named: self.named(entry, notes),
            crop: None,
            cultivar: None,
            areas: Vec::new(),
            layout: None,
            parcel: None,
            location: None,
            certified: None,
            eppo: None,
            workers: None,
            site: None,
            survey: None,
            map: None,
            enclosed: None,
            soil_contact: None,
        };
        for field in fields {
            match field.word {
                FieldWord::Crop => block.crop = self.one_name(field),
                FieldWord::Cultivar => block.cultivar = text(field),
                FieldWord::Area => block.areas.extend(self.dated_amount(field, AREA)),
                FieldWord::Rows => block.layout = self.layout(field),
                FieldWord::Parcel => block.parcel = text(field),
                FieldWord::Location => block.location = text(field),
                FieldWord::Certified => block.certified = text(field),
                FieldWord::Eppo => block.eppo = text(field),
                FieldWord::Workers => block.workers = self.yes_or_no(field),
                FieldWord::Site => block.site = text(field),
                FieldWord::Survey => block.survey = text(field),
                FieldWord::Map => block.map = text(field),
                FieldWord::Enclosed => block.enclosed = self.yes_or_no(field),
                FieldWord::SoilContact => block.soil_contact = self.yes_or_no(field),
                _ => {}
            }
        }
        block
    }

    /// A field that takes one name.
    fn one_name(&mut self, field: &Field) -> Option<Written<Box<str>>> {
        let Value::Names(names) = &field.value else { return None };
        if names.len() > 1 {
            self.trouble(Trouble::WrongShape { at: field.span, field: field.word });
            return None;
        }
        names.first().map(|&name| Written::new(self.lower(name), name))
    }

    fn dated_amount(&mut self, field: &Field, wanted: &'static [Dimension]) -> Option<Dated<Amount>> {
        let Value::Measure(measure) = &field.value else { return None };
        let plain = Measure { from: None, ..measure.clone() };
        let value = self.amount(field.word, &plain, wanted)?;
        let from = self.from(measure)?;
        Some(Dated { value, from, span: measure.span })
    }

    /// The day behind `from`; nothing where the day could not be read.
    fn from(&mut self, measure: &Measure) -> Option<Option<chrono::NaiveDate>> {
        match measure.from {
            Some(from) => self.date(from).map(Some),
            None => Some(None),
        }
    }

    fn layout(&mut self, field: &Field) -> Option<Layout> {
        let Value::Layout { rows, items } = &field.value else { return None };
        let rows = self.runs(field.word, rows);
        if rows.is_empty() {
            return None;
        }
        let mut layout = Layout { rows, spacing: None, trees: None, length: None, span: field.span };
        for item in items {
            let amount = self.amount(field.word, &item.measure, LENGTH);
            match item.kind {
                LayoutKind::RowsApart => layout.spacing = amount,
                LayoutKind::TreesApart => layout.trees = amount,
                LayoutKind::RowLength => layout.length = amount,
            }
        }
        Some(layout)
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
        };
        for field in fields {
            match field.word {
                FieldWord::Tank => rig.tank = self.amount_field(field, VOLUME),
                FieldWord::Method => rig.method = text(field),
                FieldWord::Nozzles => rig.nozzles = text(field),
                FieldWord::Droplets => rig.droplets = text(field),
                FieldWord::Height => rig.height = self.amount_field(field, LENGTH),
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
        let mut mix = Mix { named: self.named(entry, notes), base: None, puts: Vec::new(), total: None, source: None };
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
                FieldWord::Put => mix.puts.extend(self.put(field)),
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
        let Value::Portion(Portion { name, measure }) = &field.value else { return None };
        let material = self.refer(*name, NameSort::Material, MaterialId);
        let dose = self.dose(field.word, measure, material);
        Some(Put { material, dose, span: measure.span })
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

    pub(super) fn program(&mut self, entry: &Entry) -> Program {
        let (fields, notes) = self.survey(entry, EntryWord::Program);
        self.head_has_only(entry, EntryWord::Program, 1, false, false, false);
        let mut program = Program {
            named: self.named(entry, notes),
            mix: None,
            blocks: Vec::new(),
            start: None,
            rounds: None,
            every: None,
            source: None,
        };
        for field in fields {
            match &field.value {
                Value::MixUse { mix, volume, .. } => {
                    if let Some(volume) = volume {
                        self.trouble(Trouble::WrongShape { at: volume.span, field: field.word });
                    }
                    program.mix = Some(self.refer(*mix, NameSort::Mix, MixId));
                }
                Value::Names(names) => program.blocks = self.refer_all(names, NameSort::Block, BlockId),
                Value::StartDay(day) => {
                    program.start = self.date(*day).map(|day| Written::new(ProgramStart::Day(day), field.span));
                }
                Value::StartStage(stage) => {
                    let stage = stage_words(self.words(*stage));
                    program.start = Some(Written::new(ProgramStart::Stage(stage.into()), field.span));
                }
                Value::Rounds { fewest, most, every } => {
                    self.rounds(field, *fewest, *most, every.as_ref(), &mut program);
                }
                Value::Text(source) => program.source = Some(*source),
                _ => {}
            }
        }
        program
    }

    fn rounds(
        &mut self,
        field: &Field,
        fewest: Option<Span>,
        most: Option<Span>,
        every: Option<&Measure>,
        program: &mut Program,
    ) {
        if let Some(fewest) = fewest.and_then(|span| self.whole(span)) {
            let most = match most {
                Some(most) => self.whole(most).unwrap_or(fewest),
                None => fewest,
            };
            program.rounds = Some(Written::new((fewest.min(most), fewest.max(most)), field.span));
        }
        let Some(every) = every else { return };
        let Some(shortest) = self.amount_part(every.number, every, field.word, &[Dimension::Time]) else { return };
        let longest = match every.high {
            Some(high) => self.amount_part(high, every, field.word, &[Dimension::Time]),
            None => Some(shortest),
        };
        if let (Some(shortest), Some(longest)) = (shortest.base(), longest.and_then(Amount::base)) {
            program.every = Some(Written::new((shortest.min(longest), shortest.max(longest)), every.span));
        }
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

/// A growth stage as it is compared: lower case, hyphens as spaces, one space between words, up to the first comma.
pub fn stage_words(stage: &str) -> String {
    let first = stage.split(',').next().unwrap_or_default().to_lowercase().replace(['-', '_'], " ");
    first.split_whitespace().collect::<Vec<_>>().join(" ")
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
