//! Dated entries, understood.

use super::lower::Lowering;
use super::read_standing::{measure, text};
use super::trouble::{NameSort, Trouble};
use super::*;
use crate::quantity::{Amount, Dimension, Exact, Unit};
use crate::syntax::{Count, Entry, EntryWord, Field, FieldWord, Portion, ReadingItem, Value};

const AREA: &[Dimension] = &[Dimension::Area];
const VOLUME: &[Dimension] = &[Dimension::Volume];
const LENGTH: &[Dimension] = &[Dimension::Length];
const TEMPERATURE: &[Dimension] = &[Dimension::Temperature];
const GOODS: &[Dimension] = &[Dimension::Mass, Dimension::Volume, Dimension::Ounce, Dimension::Count];

impl Lowering<'_> {
    /// Blocks and rows of an entry's first line.
    pub(super) fn ground(&mut self, entry: &Entry) -> Ground {
        let blocks = self.refer_all(&entry.head.names, NameSort::Block, BlockId);
        Ground { blocks, rows: self.picked(entry.head.rows.as_ref()) }
    }

    fn head(&mut self, entry: &Entry, kind: EntryWord) {
        self.head_has_only(entry, kind, usize::MAX, false, true, false);
    }

    pub(super) fn spray(&mut self, entry: &Entry, at: At) -> Spray {
        let (fields, notes) = self.survey(entry, EntryWord::Spray);
        self.head(entry, EntryWord::Spray);
        let mut spray = Spray {
            at,
            ground: self.ground(entry),
            mix: None,
            puts: room(&fields, FieldWord::Put),
            volume: None,
            measured: room(&fields, FieldWord::Measured),
            loads: room(&fields, FieldWord::Load),
            batches: Vec::new(),
            over: None,
            sessions: room(&fields, FieldWord::Time),
            time_lost: false,
            by: Vec::new(),
            authorised: Vec::new(),
            rig: None,
            setup: None,
            water: None,
            ph: None,
            concentrate: None,
            weather: room(&fields, FieldWord::Weather),
            stage: None,
            reason: None,
            target: None,
            use_: None,
            stopped: None,
            leftover: None,
            entered: None,
            signed: Vec::new(),
            evidence: None,
            notes,
        };
        // Any line that could not be read may have been the time.
        spray.time_lost = !entry.strays.is_empty();
        for field in fields {
            match field.word {
                FieldWord::Mix => spray.mix = self.mix_use(field),
                FieldWord::Put => spray.puts.extend(self.put(field)),
                FieldWord::Volume => spray.volume = self.amount_field(field, VOLUME),
                FieldWord::Measured => {
                    if let Value::Portion { portion, lot } = &field.value {
                        let measured = self.measured(field.word, portion);
                        spray.measured.push(Measured { lot: *lot, ..measured });
                    }
                }
                FieldWord::Load => spray.loads.extend(self.load(field)),
                FieldWord::Batch => {
                    if let Value::Names(names) = &field.value {
                        spray.batches = self.refer_all(names, NameSort::Brew, BrewId);
                    }
                }
                FieldWord::Over => spray.over = self.amount_field(field, AREA),
                FieldWord::Time => match self.session(field, at.day) {
                    Some(session) => spray.sessions.push(session),
                    None => spray.time_lost = true,
                },
                FieldWord::By => spray.by = self.people(field),
                FieldWord::Authorised => spray.authorised = self.people(field),
                FieldWord::Rig => spray.rig = self.one(field, NameSort::Rig, RigId),
                FieldWord::Setup => spray.setup = text(field),
                FieldWord::Water => spray.water = self.one(field, NameSort::Water, WaterId),
                FieldWord::Ph => spray.ph = measure(field).and_then(|m| Some(Written::new(self.ph(m)?, m.span))),
                FieldWord::Concentrate => spray.concentrate = self.concentrate(field),
                FieldWord::Weather => spray.weather.extend(self.reading(field, at.day)),
                FieldWord::Stage => spray.stage = text(field),
                FieldWord::Reason => spray.reason = text(field),
                FieldWord::Target => spray.target = text(field),
                FieldWord::Use => spray.use_ = text(field),
                FieldWord::Stopped => spray.stopped = text(field),
                FieldWord::Leftover => spray.leftover = self.leftover(field).map(Box::new),
                FieldWord::Entered => spray.entered = self.entered(field),
                FieldWord::Signed => spray.signed.extend(self.signed(field)),
                FieldWord::Evidence => spray.evidence = text(field),
                _ => {}
            }
        }
        spray
    }

    /// A field that takes one declared name.
    pub(super) fn one<Id>(&mut self, field: &Field, sort: NameSort, id: fn(u32) -> Id) -> Option<Ref<Id>> {
        let Value::Names(names) = &field.value else { return None };
        if names.len() > 1 {
            self.trouble(Trouble::WrongShape { at: field.span, field: field.word });
            return None;
        }
        names.first().map(|&name| self.refer(name, sort, id))
    }

    fn mix_use(&mut self, field: &Field) -> Option<MixUse> {
        let Value::MixUse { mix, into_water, volume } = &field.value else { return None };
        let mix = self.refer(*mix, NameSort::Mix, MixId);
        let volume = volume.as_ref().and_then(|measure| {
            let plain = crate::syntax::Measure { bound: None, ..measure.clone() };
            if measure.bound.is_some_and(|bound| bound != crate::syntax::Bound::UpTo) {
                self.trouble(Trouble::WrongShape { at: measure.span, field: field.word });
                return None;
            }
            self.amount(field.word, &plain, VOLUME).map(|amount| Written::new(amount, measure.span))
        });
        Some(MixUse { mix, volume, water: *into_water })
    }

    fn measured(&mut self, field: FieldWord, portion: &Portion) -> Measured {
        let material = self.refer(portion.name, NameSort::Material, MaterialId);
        let amount = self
            .amount(field, &portion.measure, &[Dimension::Mass, Dimension::Volume, Dimension::Ounce])
            .and_then(|amount| self.settled(amount, material, portion.measure.span));
        Measured { material, amount, lot: None, span: portion.measure.span }
    }

    fn load(&mut self, field: &Field) -> Option<Load> {
        let Value::Load { count, volume, portions } = &field.value else { return None };
        let count = match count {
            Some(count) => self.whole(*count)?,
            None => 1,
        };
        let amount = self.amount(field.word, volume, VOLUME);
        let portions = portions.iter().map(|portion| self.measured(field.word, portion)).collect();
        Some(Load { count, volume: amount, volume_span: volume.span, portions, span: field.span })
    }

    pub(super) fn leftover(&mut self, field: &Field) -> Option<Leftover> {
        let Value::Leftover { left, rows, text } = &field.value else { return None };
        let plain = crate::syntax::Measure { on: Vec::new(), ..left.clone() };
        let volume = self.amount(field.word, &plain, VOLUME);
        let blocks = self.refer_all(&left.on, NameSort::Block, BlockId);
        let ground = Ground { blocks, rows: self.picked(rows.as_ref()) };
        Some(Leftover { volume, ground, text: *text, span: field.span })
    }

    fn entered(&mut self, field: &Field) -> Option<Box<Entered>> {
        let Value::Entered { date, clock, by } = &field.value else { return None };
        let day = self.date(*date)?;
        let clock = clock.and_then(|clock| self.clock_on(clock, day));
        Some(Box::new(Entered { day, clock, by: self.refer_all(by, NameSort::Person, PersonId), span: field.span }))
    }

    fn reading(&mut self, field: &Field, day: chrono::NaiveDate) -> Option<Reading> {
        let Value::Reading { clock, items } = &field.value else { return None };
        let clock = clock.and_then(|clock| self.clock_on(clock, day));
        let mut reading = Reading { clock, span: field.span, ..Reading::default() };
        for item in items {
            match item {
                ReadingItem::Remark(words) => {
                    // `calm` is a wind of nothing, said in the trade's word.
                    if matches!(self.words(*words), "calm" | "wind calm") {
                        reading.wind = Some(Written::new(Amount::of(0, Unit::MPH), *words));
                    }
                    reading.remarks.push(*words);
                }
                ReadingItem::Measured { name, measure, compass } => {
                    let word = name.map_or("temperature".into(), |name| self.lower(name));
                    match &*word {
                        "temperature" => {
                            reading.temperature = self.weather_amount(field.word, measure, TEMPERATURE);
                        }
                        "wind" if measure.unit.is_some_and(|unit| is_compass(self.words(unit))) => {
                            // `wind 3 NW`: the unit was forgotten, and the compass stands in its place.
                            let wanted = &[Dimension::Speed];
                            self.trouble(Trouble::NoUnit { at: measure.number, field: field.word, wanted });
                        }
                        "wind" => {
                            reading.wind = self.weather_amount(field.word, measure, &[Dimension::Speed]);
                            reading.wind_from = *compass;
                        }
                        "humidity" => reading.humidity = self.percent(field.word, measure),
                        "rain" => reading.rain = self.weather_amount(field.word, measure, LENGTH),
                        _ => {
                            let at = name.unwrap_or(measure.span);
                            let allowed = &["temperature", "wind", "humidity", "rain"];
                            self.trouble(Trouble::UnknownChoice { at, field: field.word, allowed });
                        }
                    }
                }
            }
        }
        Some(reading)
    }

    fn weather_amount(
        &mut self,
        field: FieldWord,
        measure: &crate::syntax::Measure,
        wanted: &'static [Dimension],
    ) -> Option<Written<Amount>> {
        Some(Written::new(self.amount(field, measure, wanted)?, measure.span))
    }

    /// A percentage of a whole, as a number of percent from 0 to 100.
    fn percent(&mut self, field: FieldWord, measure: &crate::syntax::Measure) -> Option<Written<Exact>> {
        let amount = self.amount(field, measure, &[Dimension::Share])?;
        let percent = amount.in_unit(Unit::PERCENT)?.value;
        if percent > Exact::int(100) {
            self.trouble(Trouble::WrongShape { at: measure.span, field });
            return None;
        }
        Some(Written::new(percent, measure.span))
    }

    pub(super) fn observation(&mut self, entry: &Entry, at: At) -> Observation {
        let (fields, notes) = self.survey(entry, EntryWord::Observe);
        self.head(entry, EntryWord::Observe);
        let mut seen = Observation {
            at,
            ground: self.ground(entry),
            time: None,
            by: Vec::new(),
            stage: None,
            bloom: None,
            incidence: room(&fields, FieldWord::Incidence),
            severity: room(&fields, FieldWord::Severity),
            brix: room(&fields, FieldWord::Brix),
            growth: room(&fields, FieldWord::Growth),
            fruit_set: None,
            photos: Vec::new(),
            entered: None,
            signed: Vec::new(),
            notes,
        };
        for field in fields {
            match field.word {
                FieldWord::Time => seen.time = self.session(field, at.day),
                FieldWord::By => seen.by = self.people(field),
                FieldWord::Stage => seen.stage = text(field),
                FieldWord::Bloom => seen.bloom = measure(field).and_then(|m| self.percent(field.word, m)),
                FieldWord::Incidence => {
                    if let Value::Incidence { what, count } = &field.value {
                        seen.incidence.extend(self.incidence(field.word, *what, count, field.span));
                    }
                }
                FieldWord::FruitSet => {
                    if let Value::Count(count) = &field.value {
                        seen.fruit_set = self.incidence(field.word, field.at, count, field.span);
                    }
                }
                FieldWord::Severity => {
                    if let Value::Severity { what, percent, text } = &field.value
                        && let Some(percent) = self.number(*percent)
                    {
                        if percent > Exact::int(100) || percent.is_negative() {
                            self.trouble(Trouble::WrongShape { at: field.span, field: field.word });
                        } else {
                            seen.severity.push(Severity { what: *what, percent, text: *text, span: field.span });
                        }
                    }
                }
                FieldWord::Brix => {
                    let brix = self.sample(field, at.day, |this, number, unit| match unit {
                        Some(unit) if !this.words(unit).eq_ignore_ascii_case("brix") && this.words(unit) != "%" => {
                            this.trouble(Trouble::WrongShape { at: unit, field: FieldWord::Brix });
                            None
                        }
                        _ => this.number(number),
                    });
                    seen.brix.extend(brix);
                }
                FieldWord::Growth => {
                    let growth = self.sample(field, at.day, |this, number, unit| {
                        let span = unit.map_or(number, |unit| number.to(unit));
                        let measure = crate::syntax::Measure { span, number, unit, ..Default::default() };
                        this.amount(FieldWord::Growth, &measure, LENGTH)
                    });
                    seen.growth.extend(growth);
                }
                FieldWord::Photo => seen.photos.extend(text(field)),
                FieldWord::Entered => seen.entered = self.entered(field),
                FieldWord::Signed => seen.signed.extend(self.signed(field)),
                _ => {}
            }
        }
        seen
    }

    fn incidence(&mut self, field: FieldWord, what: Span, count: &Count, span: Span) -> Option<Incidence> {
        let found = self.whole(count.found)?;
        let of = self.whole(count.of)?;
        // More affected than examined, or nothing examined, is no count.
        if found > of || of == 0 {
            self.trouble(Trouble::WrongShape { at: count.found.to(count.of), field });
            return None;
        }
        Some(Incidence { what, found, of, text: count.text, span })
    }

    fn sample<T>(
        &mut self,
        field: &Field,
        day: chrono::NaiveDate,
        read: impl Fn(&mut Self, Span, Option<Span>) -> Option<T>,
    ) -> Option<Sample<T>> {
        let Value::Sample { number, unit, of, what, clock } = &field.value else { return None };
        let value = read(self, *number, *unit)?;
        let of = of.and_then(|of| self.whole(of));
        let clock = clock.and_then(|clock| self.clock_on(clock, day));
        Some(Sample { value, of, what: *what, clock, span: field.span })
    }

    /// The weather as it was, or as it was foretold.
    pub(super) fn weather_day(&mut self, entry: &Entry, kind: EntryWord, at: At) -> WeatherDay {
        let (fields, notes) = self.survey(entry, kind);
        self.head(entry, kind);
        let ground = self.ground(entry);
        let mut day = WeatherDay {
            at,
            ground,
            readings: room(&fields, FieldWord::Reading),
            high: None,
            low: None,
            rain: None,
            source: None,
            notes,
        };
        for field in fields {
            match field.word {
                FieldWord::Reading => day.readings.extend(self.reading(field, at.day)),
                FieldWord::High => day.high = self.amount_field(field, TEMPERATURE),
                FieldWord::Low => day.low = self.amount_field(field, TEMPERATURE),
                FieldWord::Rain => day.rain = self.amount_field(field, LENGTH),
                FieldWord::Source => day.source = text(field),
                _ => {}
            }
        }
        day
    }

    pub(super) fn harvest(&mut self, entry: &Entry, at: At) -> Harvest {
        let (fields, notes) = self.survey(entry, EntryWord::Harvest);
        self.head(entry, EntryWord::Harvest);
        let mut harvest = Harvest {
            at,
            ground: self.ground(entry),
            sessions: room(&fields, FieldWord::Time),
            amount: None,
            lot: None,
            by: Vec::new(),
            crew: None,
            entered: None,
            signed: Vec::new(),
            notes,
        };
        for field in fields {
            match field.word {
                FieldWord::Time => harvest.sessions.extend(self.session(field, at.day)),
                FieldWord::Amount => harvest.amount = self.amount_field(field, GOODS),
                FieldWord::Lot => harvest.lot = text(field),
                FieldWord::By => harvest.by = self.people(field),
                FieldWord::Crew => harvest.crew = text(field),
                FieldWord::Entered => harvest.entered = self.entered(field),
                FieldWord::Signed => harvest.signed.extend(self.signed(field)),
                _ => {}
            }
        }
        harvest
    }

    pub(super) fn work(&mut self, entry: &Entry, at: At) -> Work {
        let (fields, notes) = self.survey(entry, EntryWord::Work);
        self.head(entry, EntryWord::Work);
        let mut work = Work {
            at,
            ground: self.ground(entry),
            sessions: room(&fields, FieldWord::Time),
            task: None,
            by: Vec::new(),
            crew: None,
            entered: None,
            signed: Vec::new(),
            notes,
        };
        for field in fields {
            match field.word {
                FieldWord::Time => work.sessions.extend(self.session(field, at.day)),
                FieldWord::Task => work.task = text(field),
                FieldWord::By => work.by = self.people(field),
                FieldWord::Crew => work.crew = text(field),
                FieldWord::Entered => work.entered = self.entered(field),
                FieldWord::Signed => work.signed.extend(self.signed(field)),
                _ => {}
            }
        }
        work
    }

    pub(super) fn posting(&mut self, entry: &Entry, at: At) -> Posting {
        let (fields, _) = self.survey(entry, EntryWord::Post);
        self.head_has_only(entry, EntryWord::Post, usize::MAX, false, false, false);
        let mut posting = Posting { at, ground: self.ground(entry), up: Vec::new(), down: Vec::new(), by: Vec::new() };
        for field in fields {
            match field.word {
                FieldWord::Up => posting.up.extend(self.posted(field, at.day)),
                FieldWord::Down => posting.down.extend(self.posted(field, at.day)),
                FieldWord::By => posting.by = self.people(field),
                _ => {}
            }
        }
        posting
    }

    fn posted(&mut self, field: &Field, day: chrono::NaiveDate) -> Vec<Posted> {
        let Value::Posting { what, at } = &field.value else { return Vec::new() };
        let clock = at.as_ref().and_then(|moment| self.clocked(moment, day));
        let mut posted = Vec::with_capacity(what.len());
        for &name in what {
            let what = match self.words(name).to_ascii_lowercase().as_str() {
                "sheet" => Notice::Sheet,
                "signs" => Notice::Signs,
                _ => {
                    let allowed = &["sheet", "signs"];
                    self.trouble(Trouble::UnknownChoice { at: name, field: field.word, allowed });
                    continue;
                }
            };
            posted.push(Posted { what, clock, span: field.span });
        }
        posted
    }

    pub(super) fn brew(&mut self, entry: &Entry, at: At) -> Brew {
        let (fields, notes) = self.survey(entry, EntryWord::Brew);
        self.head_has_only(entry, EntryWord::Brew, 1, true, false, false);
        let material = entry.head.of.map(|of| self.refer(of, NameSort::Material, MaterialId));
        if material.is_none() {
            self.trouble(Trouble::NamelessEntry { line: entry.head.line, entry: EntryWord::Brew });
        }
        let mut brew = Brew {
            named: self.named(entry, notes),
            at,
            material,
            puts: Vec::new(),
            amount: None,
            ready: None,
            use_by: None,
            ph: None,
            water: None,
            by: Vec::new(),
        };
        for field in fields {
            match field.word {
                FieldWord::Put => brew.puts.extend(self.put(field)),
                FieldWord::Amount => brew.amount = self.amount_field(field, GOODS),
                FieldWord::Ready => brew.ready = self.day_field(field),
                FieldWord::UseBy => brew.use_by = self.day_field(field),
                FieldWord::Ph => {
                    brew.ph = measure(field).and_then(|m| Some(Written::new(self.ph(m)?, m.span)));
                }
                FieldWord::Water => brew.water = self.one(field, NameSort::Water, WaterId),
                FieldWord::By => brew.by = self.people(field),
                _ => {}
            }
        }
        brew
    }

    pub(super) fn day_field(&mut self, field: &Field) -> Option<Written<chrono::NaiveDate>> {
        let Value::Day(day) = field.value else { return None };
        self.date(day).map(|date| Written::new(date, day))
    }

    pub(super) fn amendment(&mut self, entry: &Entry, at: At) -> Option<Amendment> {
        let (fields, _) = self.survey(entry, EntryWord::Amend);
        self.head_has_only(entry, EntryWord::Amend, 1, true, false, true);
        let kind_span = *entry.head.names.first()?;
        use EntryWord::{Forecast, Harvest, Observe, Post, Skip, Spray, Weather, Work};
        let kind = EntryWord::named(self.words(kind_span));
        let kind =
            kind.filter(|kind| matches!(kind, Spray | Skip | Observe | Weather | Forecast | Harvest | Work | Post));
        if kind.is_none() {
            self.trouble(Trouble::UnknownRecord { at: kind_span });
            return None;
        }
        let (Some(of), Some(_)) = (entry.head.of, entry.head.date) else {
            self.trouble(Trouble::NamelessEntry { line: entry.head.line, entry: EntryWord::Amend });
            return None;
        };
        let block = self.refer(of, NameSort::Block, BlockId);
        let day = entry.head.date.and_then(|date| Some(Written::new(self.date(date)?, date)));
        let mut amendment = Amendment { at, kind, block, day, was: None, now: None, reason: None, by: Vec::new() };
        for field in fields {
            match field.word {
                FieldWord::Was => amendment.was = text(field),
                FieldWord::Now => amendment.now = text(field),
                FieldWord::Reason => amendment.reason = text(field),
                FieldWord::By => amendment.by = self.people(field),
                _ => {}
            }
        }
        Some(amendment)
    }
}

/// A list with exactly the room that a field's lines need: a journal holds very many short ones.
fn room<T>(fields: &[&Field], word: FieldWord) -> Vec<T> {
    Vec::with_capacity(fields.iter().filter(|field| field.word == word).count())
}

/// Whether words are a direction of the compass.
fn is_compass(words: &str) -> bool {
    (1..=3).contains(&words.len())
        && words.bytes().all(|letter| matches!(letter.to_ascii_uppercase(), b'N' | b'E' | b'S' | b'W'))
}
