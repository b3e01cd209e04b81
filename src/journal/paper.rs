//! What stands behind the records: signatures, approvals, trainings, samples, the shelf counted and cleared.

use chrono::NaiveDate;

use super::{At, Clocked, Course, Ground, MaterialId, PersonId, Ref, SampleKind, Written};
use crate::quantity::Amount;
use crate::text::Span;

/// A record signed.
#[derive(Clone, Debug)]
pub struct Signed {
    /// By whom.
    pub by: Vec<Ref<PersonId>>,
    /// The day.
    pub day: NaiveDate,
    /// The time.
    pub clock: Option<Clocked>,
    /// The whole field.
    pub span: Span,
}

/// Materials approved for this farm.
#[derive(Clone, Debug)]
pub struct Approval {
    /// Where and when.
    pub at: At,
    /// Which.
    pub materials: Vec<Ref<MaterialId>>,
    /// Who approved them.
    pub authority: Option<Span>,
    /// The letter or list.
    pub evidence: Option<Span>,
    /// What their use is tied to.
    pub restriction: Option<Span>,
    /// The last day.
    pub until: Option<Written<NaiveDate>>,
    /// Notes.
    pub notes: Vec<Span>,
}

/// People trained, fitted or examined.
#[derive(Clone, Debug)]
pub struct Training {
    /// Where and when.
    pub at: At,
    /// Who.
    pub people: Vec<Ref<PersonId>>,
    /// For what.
    pub course: Option<Written<Course>>,
    /// By whom, in words.
    pub trainer: Option<Span>,
    /// Materials used, or the certificate.
    pub evidence: Option<Span>,
    /// Signatures.
    pub signed: Vec<Signed>,
    /// Notes.
    pub notes: Vec<Span>,
}

/// A sample sent to a laboratory.
#[derive(Clone, Debug)]
pub struct LabSample {
    /// Where and when it was taken.
    pub at: At,
    /// Which blocks and rows.
    pub ground: Ground,
    /// Of what.
    pub kind: Option<Written<SampleKind>>,
    /// What was found, a span each.
    pub found: Vec<Span>,
    /// Which laboratory.
    pub lab: Option<Span>,
    /// The number of its report.
    pub evidence: Option<Span>,
    /// Who took it.
    pub by: Vec<Ref<PersonId>>,
    /// Signatures.
    pub signed: Vec<Signed>,
    /// Notes.
    pub notes: Vec<Span>,
}

/// What is on the shelf.
#[derive(Clone, Debug)]
pub struct ShelfCount {
    /// Where and when.
    pub at: At,
    /// What.
    pub material: Ref<MaterialId>,
    /// How much.
    pub amount: Option<Written<Amount>>,
    /// Of which lot, where only that was counted.
    pub lot: Option<Span>,
    /// Who counted.
    pub by: Vec<Ref<PersonId>>,
}

/// Something that left the shed unused.
#[derive(Clone, Debug)]
pub struct Discard {
    /// Where and when.
    pub at: At,
    /// What.
    pub material: Ref<MaterialId>,
    /// How much.
    pub amount: Option<Written<Amount>>,
    /// Of which lot.
    pub lot: Option<Span>,
    /// Where it went.
    pub method: Option<Span>,
    /// Why.
    pub reason: Option<Span>,
    /// Who took it away.
    pub by: Vec<Ref<PersonId>>,
}
