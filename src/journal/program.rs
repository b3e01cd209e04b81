//! Programs: rounds of a mix, when and how they are sprayed; and the rounds left out on purpose.

use chrono::NaiveDate;

use super::{At, BlockId, Ground, MixId, Named, PersonId, ProgramId, Ref, RigId, WaterId, Written};
use crate::quantity::{Amount, Exact, Rate};
use crate::text::Span;

/// Rounds of a mix.
#[derive(Clone, Debug)]
pub struct Program {
    /// Its name.
    pub named: Named,
    /// Which mix.
    pub mix: Option<Ref<MixId>>,
    /// Which blocks.
    pub blocks: Vec<Ref<BlockId>>,
    /// When it begins.
    pub start: Option<Written<ProgramStart>>,
    /// The fewest rounds, and the most.
    pub rounds: Option<Written<(u32, u32)>>,
    /// The shortest and the longest time from round to round, in seconds.
    pub every: Option<Written<(Exact, Exact)>>,
    /// The growth stages in which its rounds may be sprayed: the first and the last BBCH code, both from 0 to 99.
    pub window: Option<Written<(u8, u8)>>,
    /// The last day of its rounds.
    pub until: Option<Written<NaiveDate>>,
    /// Rain since the last spray that halves the days that are left to the next round.
    pub halve: Option<Written<Amount>>,
    /// Rain since the last spray that asks for a new one.
    pub renew: Option<Written<Amount>>,
    /// How much spray is planned.
    pub volume: Option<Written<PlannedVolume>>,
    /// The sprayer planned.
    pub rig: Option<Ref<RigId>>,
    /// The water planned.
    pub water: Option<Ref<WaterId>>,
    /// Why.
    pub reason: Option<Span>,
    /// Against what.
    pub target: Option<Span>,
    /// How many times as strong as dilute the tank is, above nothing: the rates per volume are for dilute spray.
    pub concentrate: Option<Written<Exact>>,
    /// Where the program comes from.
    pub source: Option<Span>,
}

/// When a program begins.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ProgramStart {
    /// On a day.
    Day(NaiveDate),
    /// At a growth stage, in lower case with plain spaces.
    Stage(Box<str>),
    /// At a growth stage by its BBCH code, 0 to 99.
    Bbch(u8),
    /// When more of something is seen than that.
    Seen(Sight),
}

/// What is seen too much of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sight {
    /// Whether the share of leaf or fruit area counts, rather than how many are affected.
    pub severity: bool,
    /// What is looked for, in lower case.
    pub what: Box<str>,
    /// Percent, 0 to 100: more than that begins the program.
    pub over: Exact,
}

/// How much spray a program plans.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PlannedVolume {
    /// For each block.
    Each(Amount),
    /// Per area.
    PerArea(Rate),
}

/// A round that was left out on purpose.
#[derive(Clone, Debug)]
pub struct Skip {
    /// Where it is written, and on which day it was decided.
    pub at: At,
    /// Which blocks and rows.
    pub ground: Ground,
    /// Of which program.
    pub program: Option<Ref<ProgramId>>,
    /// Why.
    pub reason: Option<Span>,
    /// Who decided it.
    pub by: Vec<Ref<PersonId>>,
    /// Notes.
    pub notes: Vec<Span>,
}
