//! Standing entries, understood.

use super::lower::Lowering;
use super::measures::is_plain;
use super::trouble::{NameSort, Trouble};
use super::*;
use crate::quantity::{Amount, Density, Dimension, Exact, Form, System, Unit};
use crate::syntax::{Bound, Entry, EntryWord, Field, FieldWord, LayoutKind, Measure, Portion, Value};
use crate::text::Span;

const AREA: &[Dimension] = &[Dimension::Area];
const VOLUME: &[Dimension] = &[Dimension::Volume];
const MASS: &[Dimension] = &[Dimension::Mass];
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
        let mut person =
            Person { named: self.named(entry, notes), licence: None, role: None, address: None, contact: None };
        for field in fields {
            match field.word {
                FieldWord::Licence => person.licence = text(field),
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
        let mut rig = Rig { named: self.named(entry, notes), tank: None, method: None, nozzles: None, droplets: None };
        for field in fields {
            match field.word {
                FieldWord::Tank => rig.tank = self.amount_field(field, VOLUME),
                FieldWord::Method => rig.method = text(field),
                FieldWord::Nozzles => rig.nozzles = text(field),
                FieldWord::Droplets => rig.droplets = text(field),
                _ => {}
            }
        }
        rig
    }

    pub(super) fn water(&mut self, entry: &Entry) -> Water {
        let (fields, notes) = self.survey(entry, EntryWord::Water);
        self.head_has_only(entry, EntryWord::Water, 1, false, false, false);
        let mut water = Water { named: self.named(entry, notes), source: None, ph: Vec::new(), hardness: Vec::new() };
        for field in fields {
            match field.word {
                FieldWord::Source => water.source = text(field),
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
            rates: Vec::new(),
            reentry: None,
            preharvest: Vec::new(),
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
            source: None,
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
                FieldWord::Rate => material.rates.extend(measure(field).and_then(|m| self.rate_range(field.word, m))),
                FieldWord::Reentry => {
                    material.reentry =
                        measure(field).and_then(|m| Some(Written::new(self.stated(field.word, m)?, m.span)));
                }
                FieldWord::Preharvest => {
                    material.preharvest.extend(measure(field).and_then(|m| self.interval(field.word, m)));
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
                FieldWord::Source => material.source = text(field),
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

    fn apart(&mut self, field: &Field) -> Option<Apart> {
        let Value::Apart { what, number, unit, from } = &field.value else { return None };
        let measure = Measure { span: number.to(*unit), number: *number, unit: Some(*unit), ..Measure::default() };
        let time = self.amount(field.word, &measure, &[Dimension::Time])?.base()?;
        Some(Apart { what: what.map(|what| self.class(what)), from: self.classes(from), time, span: field.span })
    }

    fn never(&mut self, field: &Field) -> Option<Never> {
        let Value::Never { what, with } = &field.value else { return None };
        Some(Never { what: what.map(|what| self.class(what)), with: self.classes(with), span: field.span })
    }

    fn within(&mut self, field: &Field, limits: &mut Vec<WeatherLimit>) {
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
