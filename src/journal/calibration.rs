//! Sprayers measured and cleaned.

use super::{At, Driving, Leftover, PersonId, Ref, RigId, Session, Written};
use crate::quantity::Amount;
use crate::text::Span;

/// A sprayer measured.
#[derive(Clone, Debug)]
pub struct Calibration {
    /// Where and when.
    pub at: At,
    /// Which sprayer.
    pub rig: Ref<RigId>,
    /// Volume per area: the volume, and the area it is for.
    pub output: Option<Written<(Amount, Amount)>>,
    /// Ground speed.
    pub speed: Option<Written<Amount>>,
    /// Pressure.
    pub pressure: Option<Written<Amount>>,
    /// How the rows are driven.
    pub driving: Option<Written<Driving>>,
    /// The distance driven.
    pub course: Option<Written<Drive>>,
    /// The plot sprayed by hand.
    pub plot: Option<Written<Plot>>,
    /// What one nozzle or one pass covers: nozzle spacing, spray width, swath or row spacing.
    pub width: Option<Written<Amount>>,
    /// How many nozzles are open, at least one.
    pub open: Option<Written<u32>>,
    /// What was caught from each nozzle.
    pub catches: Vec<Catch>,
    /// What a new nozzle gives.
    pub rated: Option<Written<Rated>>,
    /// The volume that filling up again took.
    pub used: Option<Written<Amount>>,
    /// The setup.
    pub setup: Option<Span>,
    /// Who measured.
    pub by: Vec<Ref<PersonId>>,
}

/// A sprayer cleaned.
#[derive(Clone, Debug)]
pub struct Cleaning {
    /// Where and when.
    pub at: At,
    /// Which sprayer.
    pub rig: Ref<RigId>,
    /// How.
    pub method: Option<Span>,
    /// When.
    pub sessions: Vec<Session>,
    /// How much water, and where it went.
    pub rinse: Option<Box<Leftover>>,
    /// Who.
    pub by: Vec<Ref<PersonId>>,
}

/// A distance driven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drive {
    /// How far, above nothing.
    pub length: Amount,
    /// How long it took, above nothing.
    pub time: Option<Amount>,
}

/// A plot sprayed by hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plot {
    /// Its area, above nothing: as written, or in square metres where its two sides are.
    pub area: Amount,
    /// How long it took, above nothing.
    pub time: Option<Amount>,
}

/// What was caught from nozzles.
#[derive(Clone, Debug, PartialEq)]
pub struct Catch {
    /// From each nozzle; a blocked one gives nothing.
    pub amounts: Vec<Amount>,
    /// In how long, above nothing.
    pub time: Option<Amount>,
    /// Where it is written.
    pub span: Span,
}

/// What a new nozzle gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rated {
    /// How much, above nothing.
    pub amount: Amount,
    /// In how long, above nothing.
    pub time: Amount,
    /// At which pressure.
    pub pressure: Option<Amount>,
}
