//! Programs and what they say of rounds, understood.

use super::lower::Lowering;
use super::read_standing::{measure, text};
use super::trouble::{NameSort, Trouble};
use super::*;
use crate::quantity::{Amount, Dimension, Exact, Per, Rate};
use crate::syntax::{Entry, EntryWord, Field, FieldWord, Measure, Value};

const VOLUME: &[Dimension] = &[Dimension::Volume];
/// The last code of the BBCH scale.
const LAST_STAGE: u8 = 99;

impl Lowering<'_> {
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
            window: None,
            until: None,
            halve: None,
            renew: None,
            volume: None,
            rig: None,
            water: None,
            reason: None,
            target: None,
            concentrate: None,
            source: None,
        };
        for field in fields {
            match field.word {
                FieldWord::Mix => {
                    if let Value::MixUse { mix, volume, .. } = &field.value {
                        if let Some(volume) = volume {
                            self.trouble(Trouble::WrongShape { at: volume.span, field: field.word });
                        }
                        program.mix = Some(self.refer(*mix, NameSort::Mix, MixId));
                    }
                }
                FieldWord::Blocks => {
                    if let Value::Names(names) = &field.value {
                        program.blocks = self.refer_all(names, NameSort::Block, BlockId);
                    }
                }
                FieldWord::Start => {
                    program.start = self.program_start(field).map(|start| Written::new(start, field.span));
                }
                FieldWord::Rounds => {
                    if let Value::Rounds { fewest, most, every } = &field.value {
                        self.rounds(field, *fewest, *most, every.as_ref(), &mut program);
                    }
                }
                FieldWord::Window => program.window = self.window(field),
                FieldWord::Until => program.until = self.day_field(field),
                FieldWord::Halve => program.halve = self.after_rain(field),
                FieldWord::Renew => program.renew = self.after_rain(field),
                FieldWord::Volume => program.volume = self.planned_volume(field),
                FieldWord::Rig => program.rig = self.one(field, NameSort::Rig, RigId),
                FieldWord::Water => program.water = self.one(field, NameSort::Water, WaterId),
                FieldWord::Reason => program.reason = text(field),
                FieldWord::Target => program.target = text(field),
                FieldWord::Concentrate => program.concentrate = self.concentrate(field),
                FieldWord::Source => program.source = text(field),
                _ => {}
            }
        }
        program
    }

    fn program_start(&mut self, field: &Field) -> Option<ProgramStart> {
        Some(match field.value {
            Value::StartDay(day) => ProgramStart::Day(self.date(day)?),
            Value::StartStage(stage) => ProgramStart::Stage(stage_words(self.words(stage)).into()),
            Value::StartBbch(code) => ProgramStart::Bbch(self.bbch(field.word, code)?),
            Value::StartSight { severity, what, percent } => {
                let over = self.number(percent)?;
                if over.is_negative() || over > Exact::int(100) {
                    let why = "a share is from 0 to 100 %";
                    self.trouble(Trouble::Impossible { at: percent, field: field.word, why });
                    return None;
                }
                ProgramStart::Seen(Sight { severity, what: self.lower(what), over })
            }
            _ => return None,
        })
    }

    /// The code of a growth stage, 0 to 99: ten principal stages of ten each (BBCH Monograph, the BBCH scale).
    fn bbch(&mut self, field: FieldWord, at: Span) -> Option<u8> {
        let code = self.words(at).parse().ok().filter(|&code: &u8| code <= LAST_STAGE);
        if code.is_none() {
            self.trouble(Trouble::Impossible { at, field, why: "BBCH codes go from 0 to 99" });
        }
        code
    }

    fn window(&mut self, field: &Field) -> Option<Written<(u8, u8)>> {
        let Value::Window { low, high } = field.value else { return None };
        let (first, last) = (self.bbch(field.word, low), self.bbch(field.word, high));
        let (first, last) = (first?, last?);
        if last < first {
            let why = "the last stage comes before the first";
            self.trouble(Trouble::Impossible { at: field.span, field: field.word, why });
            return None;
        }
        Some(Written::new((first, last), field.span))
    }

    /// A volume for each block, or per area.
    fn planned_volume(&mut self, field: &Field) -> Option<Written<PlannedVolume>> {
        let measure = measure(field)?;
        let per_area = measure.per.is_some() || measure.unit.is_some_and(|unit| self.words(unit).contains('/'));
        let volume = if per_area {
            let (amount, area) = self.amount_per(field.word, measure, VOLUME, &[Dimension::Area])?;
            if amount.value.is_zero() {
                self.trouble(Trouble::Impossible { at: measure.span, field: field.word, why: "it is nothing" });
                return None;
            }
            PlannedVolume::PerArea(Rate::Of { amount, per: Per::counted(area).ok()? })
        } else {
            PlannedVolume::Each(self.amount(field.word, measure, VOLUME)?)
        };
        Some(Written::new(volume, measure.span))
    }

    /// How many times as strong as dilute.
    pub(super) fn concentrate(&mut self, field: &Field) -> Option<Written<Exact>> {
        let Value::Fold(number) = field.value else { return None };
        let fold = self.number(number)?;
        if !fold.is_positive() {
            self.trouble(Trouble::Impossible { at: field.span, field: field.word, why: "it is nothing" });
            return None;
        }
        Some(Written::new(fold, field.span))
    }

    /// So much rain.
    pub(super) fn after_rain(&mut self, field: &Field) -> Option<Written<Amount>> {
        let Value::AfterRain { number, unit } = field.value else { return None };
        let measure = Measure { span: number.to(unit), number, unit: Some(unit), ..Measure::default() };
        Some(Written::new(self.amount(field.word, &measure, &[Dimension::Length])?, field.span))
    }

    /// So much time, in seconds.
    pub(super) fn every(&mut self, field: &Field) -> Option<Written<Exact>> {
        let Value::Every(measure) = &field.value else { return None };
        let seconds = self.amount(field.word, measure, &[Dimension::Time])?.base()?;
        Some(Written::new(seconds, field.span))
    }

    pub(super) fn skip(&mut self, entry: &Entry, at: At) -> Skip {
        let (fields, notes) = self.survey(entry, EntryWord::Skip);
        self.head_has_only(entry, EntryWord::Skip, usize::MAX, false, true, false);
        let mut skip = Skip { at, ground: self.ground(entry), program: None, reason: None, by: Vec::new(), notes };
        for field in fields {
            match field.word {
                FieldWord::Program => skip.program = self.one(field, NameSort::Program, ProgramId),
                FieldWord::Reason => skip.reason = text(field),
                FieldWord::By => skip.by = self.people(field),
                _ => {}
            }
        }
        skip
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
}

/// A growth stage as it is compared: lower case, hyphens as spaces, one space between words, up to the first comma.
pub fn stage_words(stage: &str) -> String {
    let first = stage.split(',').next().unwrap_or_default().to_lowercase().replace(['-', '_'], " ");
    first.split_whitespace().collect::<Vec<_>>().join(" ")
}
