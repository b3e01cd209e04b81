//! Sprayers measured and cleaned, understood.

use super::lower::Lowering;
use super::read_standing::{measure, text};
use super::trouble::{NameSort, Trouble};
use super::*;
use crate::quantity::{Amount, Dimension, NumberTrouble, Unit};
use crate::syntax::{Entry, EntryWord, Field, FieldWord, Measure, Value};

const AREA: &[Dimension] = &[Dimension::Area];
const VOLUME: &[Dimension] = &[Dimension::Volume];
const LENGTH: &[Dimension] = &[Dimension::Length];

impl Lowering<'_> {
    pub(super) fn calibration(&mut self, entry: &Entry, at: At) -> Option<Calibration> {
        let (fields, _) = self.survey(entry, EntryWord::Calibrate);
        self.head_has_only(entry, EntryWord::Calibrate, 1, false, false, false);
        let rig = self.refer(*entry.head.names.first()?, NameSort::Rig, RigId);
        let mut calibration = Calibration {
            at,
            rig,
            output: None,
            speed: None,
            pressure: None,
            driving: None,
            course: None,
            plot: None,
            width: None,
            open: None,
            catches: Vec::new(),
            rated: None,
            used: None,
            setup: None,
            by: Vec::new(),
        };
        for field in fields {
            match field.word {
                FieldWord::Output => {
                    calibration.output = measure(field)
                        .and_then(|m| Some(Written::new(self.amount_per(field.word, m, VOLUME, AREA)?, m.span)));
                }
                FieldWord::Speed => calibration.speed = self.amount_field(field, &[Dimension::Speed]),
                FieldWord::Pressure => calibration.pressure = self.amount_field(field, &[Dimension::Pressure]),
                FieldWord::Driving => calibration.driving = self.choice(field, Driving::WORDS, Driving::ALL),
                FieldWord::Course => calibration.course = self.drive(field),
                FieldWord::Plot => calibration.plot = self.plot(field),
                FieldWord::Width => calibration.width = self.amount_field(field, LENGTH),
                FieldWord::Open => calibration.open = self.open(field),
                FieldWord::Caught => calibration.catches.extend(self.caught(field)),
                FieldWord::Rated => calibration.rated = self.rated(field),
                FieldWord::Used => calibration.used = self.amount_field(field, VOLUME),
                FieldWord::Setup => calibration.setup = text(field),
                FieldWord::By => calibration.by = self.people(field),
                _ => {}
            }
        }
        Some(calibration)
    }

    pub(super) fn cleaning(&mut self, entry: &Entry, at: At) -> Option<Cleaning> {
        let (fields, _) = self.survey(entry, EntryWord::Clean);
        self.head_has_only(entry, EntryWord::Clean, 1, false, false, false);
        let rig = self.refer(*entry.head.names.first()?, NameSort::Rig, RigId);
        let mut cleaning = Cleaning { at, rig, method: None, sessions: Vec::new(), rinse: None, by: Vec::new() };
        for field in fields {
            match field.word {
                FieldWord::Method => cleaning.method = text(field),
                FieldWord::Time => cleaning.sessions.extend(self.session(field, at.day)),
                FieldWord::Rinse => cleaning.rinse = self.leftover(field).map(Box::new),
                FieldWord::By => cleaning.by = self.people(field),
                _ => {}
            }
        }
        Some(cleaning)
    }

    /// A distance driven; in `train` the same word names what was taught.
    fn drive(&mut self, field: &Field) -> Option<Written<Drive>> {
        let Value::Drive { length, time } = &field.value else {
            self.trouble(Trouble::WrongShape { at: field.span, field: field.word });
            return None;
        };
        let (length, time) = (self.amount(field.word, length, LENGTH), self.taking(field.word, time.as_deref()));
        Some(Written::new(Drive { length: length?, time: time? }, field.span))
    }

    fn plot(&mut self, field: &Field) -> Option<Written<Plot>> {
        let Value::Plot { side, other, time } = &field.value else { return None };
        let area = match other {
            Some(other) => {
                let (side, other) = (self.amount(field.word, side, LENGTH), self.amount(field.word, other, LENGTH));
                let square = side?.base().zip(other?.base()).and_then(|(side, other)| side.mul(other));
                if square.is_none() {
                    let why = NumberTrouble::TooLarge;
                    self.trouble(Trouble::UnreadableNumber { at: field.span, why });
                }
                square.map(|square| Amount::new(square, Unit::SQ_METRE))
            }
            None => self.amount(field.word, side, AREA),
        };
        let time = self.taking(field.word, time.as_deref());
        Some(Written::new(Plot { area: area?, time: time? }, field.span))
    }

    fn caught(&mut self, field: &Field) -> Option<Catch> {
        let Value::Caught { amounts, time } = &field.value else { return None };
        let count = amounts.len();
        let amounts: Vec<Amount> =
            amounts.iter().filter_map(|measure| self.amount(field.word, measure, VOLUME)).collect();
        let time = self.taking(field.word, time.as_deref())?;
        // With one of them unread the others would be taken for all of the nozzles.
        (amounts.len() == count).then_some(Catch { amounts, time, span: field.span })
    }

    fn rated(&mut self, field: &Field) -> Option<Written<Rated>> {
        let Value::Rated { amount, time, pressure } = &field.value else { return None };
        let amount = self.amount(field.word, amount, VOLUME);
        let time = self.taking(field.word, Some(time))?;
        let pressure = match pressure {
            Some(pressure) => Some(self.amount(field.word, pressure, &[Dimension::Pressure])?),
            None => None,
        };
        Some(Written::new(Rated { amount: amount?, time: time?, pressure }, field.span))
    }

    /// How long it took, above nothing; the outer `None` where it is written and could not be read.
    fn taking(&mut self, field: FieldWord, time: Option<&Measure>) -> Option<Option<Amount>> {
        let Some(written) = time else { return Some(None) };
        let time = self.amount(field, written, &[Dimension::Time])?;
        if time.value.is_zero() {
            self.trouble(Trouble::Impossible { at: written.span, field, why: "it took no time" });
            return None;
        }
        Some(Some(time))
    }

    fn open(&mut self, field: &Field) -> Option<Written<u32>> {
        let Value::Whole(number) = field.value else { return None };
        let open = self.whole(number)?;
        if open == 0 {
            self.trouble(Trouble::Impossible { at: field.span, field: field.word, why: "it is nothing" });
            return None;
        }
        Some(Written::new(open, field.span))
    }
}
