//! Signatures, approvals, trainings, samples and the shelf, understood.

use super::lower::Lowering;
use super::read_standing::{measure, text};
use super::trouble::{NameSort, Trouble};
use super::*;
use crate::quantity::{Amount, Dimension};
use crate::syntax::{Entry, EntryWord, Field, FieldWord, Value};

impl Lowering<'_> {
    pub(super) fn signed(&mut self, field: &Field) -> Option<Signed> {
        let Value::Signed { by, date, clock } = &field.value else { return None };
        let day = self.date(*date)?;
        let clock = clock.and_then(|clock| self.clock_on(clock, day));
        Some(Signed { by: self.refer_all(by, NameSort::Person, PersonId), day, clock, span: field.span })
    }

    pub(super) fn approval(&mut self, entry: &Entry, at: At) -> Approval {
        let (fields, notes) = self.survey(entry, EntryWord::Approve);
        self.head_has_only(entry, EntryWord::Approve, usize::MAX, false, false, false);
        let materials = self.refer_all(&entry.head.names, NameSort::Material, MaterialId);
        let mut approval =
            Approval { at, materials, authority: None, evidence: None, restriction: None, until: None, notes };
        for field in fields {
            match field.word {
                FieldWord::Authority => approval.authority = text(field),
                FieldWord::Evidence => approval.evidence = text(field),
                FieldWord::Restriction => approval.restriction = text(field),
                FieldWord::Until => approval.until = self.day_field(field),
                _ => {}
            }
        }
        approval
    }

    pub(super) fn training(&mut self, entry: &Entry, at: At) -> Training {
        let (fields, notes) = self.survey(entry, EntryWord::Train);
        self.head_has_only(entry, EntryWord::Train, usize::MAX, false, false, false);
        let people = self.refer_all(&entry.head.names, NameSort::Person, PersonId);
        let signed = Vec::new();
        let mut training = Training { at, people, course: None, trainer: None, evidence: None, signed, notes };
        for field in fields {
            match field.word {
                FieldWord::Course => {
                    if let Value::Drive { .. } = field.value {
                        let (at, allowed) = (field.span, Course::WORDS);
                        self.trouble(Trouble::UnknownChoice { at, field: field.word, allowed });
                    }
                    training.course = self.choice(field, Course::WORDS, Course::ALL);
                }
                FieldWord::Trainer => training.trainer = text(field),
                FieldWord::Evidence => training.evidence = text(field),
                FieldWord::Signed => training.signed.extend(self.signed(field)),
                _ => {}
            }
        }
        training
    }

    pub(super) fn lab_sample(&mut self, entry: &Entry, at: At) -> LabSample {
        let (fields, notes) = self.survey(entry, EntryWord::Sample);
        self.head_has_only(entry, EntryWord::Sample, usize::MAX, false, true, false);
        let mut sample = LabSample {
            at,
            ground: self.ground(entry),
            kind: None,
            found: Vec::new(),
            lab: None,
            evidence: None,
            by: Vec::new(),
            signed: Vec::new(),
            notes,
        };
        for field in fields {
            match field.word {
                FieldWord::Kind => sample.kind = self.choice(field, SampleKind::WORDS, SampleKind::ALL),
                FieldWord::Found => sample.found.extend(text(field)),
                FieldWord::Lab => sample.lab = text(field),
                FieldWord::Evidence => sample.evidence = text(field),
                FieldWord::By => sample.by = self.people(field),
                FieldWord::Signed => sample.signed.extend(self.signed(field)),
                _ => {}
            }
        }
        sample
    }

    pub(super) fn shelf_count(&mut self, entry: &Entry, at: At) -> Option<ShelfCount> {
        let (fields, _) = self.survey(entry, EntryWord::Count);
        let material = self.one_material(entry, EntryWord::Count)?;
        let mut count = ShelfCount { at, material, amount: None, lot: None, by: Vec::new() };
        for field in fields {
            match field.word {
                FieldWord::Amount => count.amount = self.stock(field, material),
                FieldWord::Lot => count.lot = text(field),
                FieldWord::By => count.by = self.people(field),
                _ => {}
            }
        }
        Some(count)
    }

    pub(super) fn discard(&mut self, entry: &Entry, at: At) -> Option<Discard> {
        let (fields, _) = self.survey(entry, EntryWord::Discard);
        let material = self.one_material(entry, EntryWord::Discard)?;
        let mut discard = Discard { at, material, amount: None, lot: None, method: None, reason: None, by: Vec::new() };
        for field in fields {
            match field.word {
                FieldWord::Amount => discard.amount = self.stock(field, material),
                FieldWord::Lot => discard.lot = text(field),
                FieldWord::Method => discard.method = text(field),
                FieldWord::Reason => discard.reason = text(field),
                FieldWord::By => discard.by = self.people(field),
                _ => {}
            }
        }
        Some(discard)
    }

    pub(super) fn receipt(&mut self, entry: &Entry, at: At) -> Option<Receipt> {
        let (fields, _) = self.survey(entry, EntryWord::Receive);
        let material = self.one_material(entry, EntryWord::Receive)?;
        let mut receipt =
            Receipt { at, material, amount: None, lot: None, supplier: None, invoice: None, paid: None, use_by: None };
        for field in fields {
            match field.word {
                FieldWord::Amount => receipt.amount = self.stock(field, material),
                FieldWord::Lot => receipt.lot = text(field),
                FieldWord::Supplier => receipt.supplier = text(field),
                FieldWord::Invoice => receipt.invoice = text(field),
                FieldWord::Paid => {
                    receipt.paid = measure(field).and_then(|m| Some(Written::new(self.money(field.word, m)?, m.span)));
                }
                FieldWord::UseBy => receipt.use_by = self.day_field(field),
                _ => {}
            }
        }
        Some(receipt)
    }

    /// The material of an entry that is about one.
    fn one_material(&mut self, entry: &Entry, kind: EntryWord) -> Option<Ref<MaterialId>> {
        self.head_has_only(entry, kind, 1, false, false, false);
        Some(self.refer(*entry.head.names.first()?, NameSort::Material, MaterialId))
    }

    /// An amount of a material in the shed.
    fn stock(&mut self, field: &Field, material: Ref<MaterialId>) -> Option<Written<Amount>> {
        let written = self.amount_field(field, &[Dimension::Mass, Dimension::Volume, Dimension::Ounce])?;
        Some(Written::new(self.settled(written.value, material, written.span)?, written.span))
    }
}
