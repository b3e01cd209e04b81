//! What was done and seen, each on its day.

use chrono::{NaiveDate, NaiveDateTime};

use super::{BlockId, BrewId, MaterialId, MixId, Named, PersonId, Put, Ref, RigId, Signed, WaterId, Written};
use crate::quantity::{Amount, Exact};
use crate::syntax::{EntryWord, Which};
use crate::text::Span;

/// Where and on which day an entry stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct At {
    /// The page's day.
    pub day: NaiveDate,
    /// The first line of the entry.
    pub line: Span,
    /// The whole entry.
    pub entry: Span,
}

/// A page.
#[derive(Clone, Debug)]
pub struct Day {
    /// Its date.
    pub at: At,
    /// Notes about the day.
    pub notes: Vec<Span>,
}

/// Blocks that an entry is about, and which of their rows.
#[derive(Clone, Debug, Default)]
pub struct Ground {
    /// The blocks.
    pub blocks: Vec<Ref<BlockId>>,
    /// Which rows; all where absent.
    pub rows: Option<Picked>,
}

/// Which rows were taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picked {
    /// The rows.
    pub rows: PickedRows,
    /// Where it is written.
    pub span: Span,
}

/// Rows by number, or every other one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PickedRows {
    /// Runs of rows, first and last.
    Listed(Vec<(u32, u32)>),
    /// Every other alley driven.
    Alternate,
    /// Odd rows.
    Odd,
    /// Even rows.
    Even,
}

/// A clock time on a day, before the time zone has been asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clocked {
    /// Local date and time.
    pub local: NaiveDateTime,
    /// Which of two equal clock times.
    pub which: Option<Which>,
    /// Where it is written.
    pub span: Span,
}

/// From when to when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Session {
    /// The start.
    pub start: Clocked,
    /// The end; `None` where it was not written.
    pub end: Option<Clocked>,
    /// The whole field.
    pub span: Span,
}

/// When and by whom a record was written down.
#[derive(Clone, Debug)]
pub struct Entered {
    /// The day.
    pub day: NaiveDate,
    /// The time.
    pub clock: Option<Clocked>,
    /// By whom.
    pub by: Vec<Ref<PersonId>>,
    /// The whole field.
    pub span: Span,
}

/// An application.
#[derive(Clone, Debug)]
pub struct Spray {
    /// Where and when.
    pub at: At,
    /// Which blocks and rows.
    pub ground: Ground,
    /// The mix.
    pub mix: Option<MixUse>,
    /// Ingredients besides the mix.
    pub puts: Vec<Put>,
    /// The volume, where no mix is named.
    pub volume: Option<Written<Amount>>,
    /// Ingredients as measured out.
    pub measured: Vec<Measured>,
    /// Loads of the tank.
    pub loads: Vec<Load>,
    /// Home-made batches used.
    pub batches: Vec<Ref<BrewId>>,
    /// Area treated, all blocks together.
    pub over: Option<Written<Amount>>,
    /// When.
    pub sessions: Vec<Session>,
    /// Whether a `time` was written that could not be read.
    pub time_lost: bool,
    /// Who sprayed.
    pub by: Vec<Ref<PersonId>>,
    /// Who authorised it.
    pub authorised: Vec<Ref<PersonId>>,
    /// The sprayer.
    pub rig: Option<Ref<RigId>>,
    /// Which of the sprayer's setups.
    pub setup: Option<Span>,
    /// The water.
    pub water: Option<Ref<WaterId>>,
    /// The tank's own pH, as measured.
    pub ph: Option<Written<Exact>>,
    /// How many times as strong as dilute the tank is, above nothing: the rates per volume are for dilute spray.
    pub concentrate: Option<Written<Exact>>,
    /// The weather.
    pub weather: Vec<Reading>,
    /// The growth stage.
    pub stage: Option<Span>,
    /// Why.
    pub reason: Option<Span>,
    /// Against what.
    pub target: Option<Span>,
    /// Type of use.
    pub use_: Option<Span>,
    /// Where and why it was broken off.
    pub stopped: Option<Span>,
    /// What was left.
    pub leftover: Option<Box<Leftover>>,
    /// When and by whom it was written down.
    pub entered: Option<Box<Entered>>,
    /// Signatures.
    pub signed: Vec<Signed>,
    /// The test, plan or recommendation behind it.
    pub evidence: Option<Span>,
    /// Notes.
    pub notes: Vec<Span>,
}

/// A mix and how much of it was made.
#[derive(Clone, Copy, Debug)]
pub struct MixUse {
    /// Which mix.
    pub mix: Ref<MixId>,
    /// How much; `None` where it was not written or could not be read.
    pub volume: Option<Written<Amount>>,
    /// Whether the volume is the water that the mix was put into.
    pub water: bool,
}

/// An ingredient as measured out for the whole job.
#[derive(Clone, Debug)]
pub struct Measured {
    /// What.
    pub material: Ref<MaterialId>,
    /// How much.
    pub amount: Option<Amount>,
    /// The lot that it came from, in words; none in a load.
    pub lot: Option<Span>,
    /// Where the quantity stands.
    pub span: Span,
}

/// One load of the tank, or several alike.
#[derive(Clone, Debug)]
pub struct Load {
    /// How many.
    pub count: u32,
    /// How much each.
    pub volume: Option<Amount>,
    /// Where the volume stands.
    pub volume_span: Span,
    /// What went into each.
    pub portions: Vec<Measured>,
    /// The whole field.
    pub span: Span,
}

/// What was left in the tank.
#[derive(Clone, Debug)]
pub struct Leftover {
    /// How much.
    pub volume: Option<Amount>,
    /// Where it was put, if on a block.
    pub ground: Ground,
    /// What else was done with it.
    pub text: Option<Span>,
    /// The whole field.
    pub span: Span,
}

/// What the weather was at a time.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// When.
    pub clock: Option<Clocked>,
    /// Air temperature.
    pub temperature: Option<Written<Amount>>,
    /// Wind speed.
    pub wind: Option<Written<Amount>>,
    /// Where the wind came from.
    pub wind_from: Option<Span>,
    /// Relative humidity, in percent.
    pub humidity: Option<Written<Exact>>,
    /// Rain.
    pub rain: Option<Written<Amount>>,
    /// Words.
    pub remarks: Vec<Span>,
    /// The whole field.
    pub span: Span,
}

/// What was seen.
#[derive(Clone, Debug)]
pub struct Observation {
    /// Where and when.
    pub at: At,
    /// Which blocks and rows.
    pub ground: Ground,
    /// When.
    pub time: Option<Session>,
    /// Who looked.
    pub by: Vec<Ref<PersonId>>,
    /// The growth stage.
    pub stage: Option<Span>,
    /// Open bloom, in percent.
    pub bloom: Option<Written<Exact>>,
    /// Affected of examined.
    pub incidence: Vec<Incidence>,
    /// Area affected.
    pub severity: Vec<Severity>,
    /// Brix readings.
    pub brix: Vec<Sample<Exact>>,
    /// Shoot growth.
    pub growth: Vec<Sample<Amount>>,
    /// Fruit set.
    pub fruit_set: Option<Incidence>,
    /// Photographs.
    pub photos: Vec<Span>,
    /// When and by whom it was written down.
    pub entered: Option<Box<Entered>>,
    /// Signatures.
    pub signed: Vec<Signed>,
    /// Notes.
    pub notes: Vec<Span>,
}

/// How many of how many.
#[derive(Clone, Copy, Debug)]
pub struct Incidence {
    /// What was looked for.
    pub what: Span,
    /// How many had it.
    pub found: u32,
    /// How many were looked at.
    pub of: u32,
    /// What was looked at.
    pub text: Option<Span>,
    /// The whole field.
    pub span: Span,
}

/// How much of an area was affected.
#[derive(Clone, Copy, Debug)]
pub struct Severity {
    /// What was looked for.
    pub what: Span,
    /// Percent.
    pub percent: Exact,
    /// Of what.
    pub text: Option<Span>,
    /// The whole field.
    pub span: Span,
}

/// A reading on a number of leaves, shoots or fruit.
#[derive(Clone, Copy, Debug)]
pub struct Sample<T> {
    /// The reading.
    pub value: T,
    /// On how many.
    pub of: Option<u32>,
    /// Of what.
    pub what: Option<Span>,
    /// When.
    pub clock: Option<Clocked>,
    /// The whole field.
    pub span: Span,
}

/// A day's weather, as it was or as it was foretold.
#[derive(Clone, Debug)]
pub struct WeatherDay {
    /// Where and when.
    pub at: At,
    /// Which blocks; the farm where none.
    pub ground: Ground,
    /// Readings.
    pub readings: Vec<Reading>,
    /// The highest temperature.
    pub high: Option<Written<Amount>>,
    /// The lowest temperature.
    pub low: Option<Written<Amount>>,
    /// Rain.
    pub rain: Option<Written<Amount>>,
    /// Whose forecast it is; none for what the weather was.
    pub source: Option<Span>,
    /// Notes.
    pub notes: Vec<Span>,
}

/// A pick.
#[derive(Clone, Debug)]
pub struct Harvest {
    /// Where and when.
    pub at: At,
    /// Which blocks and rows.
    pub ground: Ground,
    /// When.
    pub sessions: Vec<Session>,
    /// How much.
    pub amount: Option<Written<Amount>>,
    /// The lot.
    pub lot: Option<Span>,
    /// Who.
    pub by: Vec<Ref<PersonId>>,
    /// Who else.
    pub crew: Option<Span>,
    /// When and by whom it was written down.
    pub entered: Option<Box<Entered>>,
    /// Signatures.
    pub signed: Vec<Signed>,
    /// Notes.
    pub notes: Vec<Span>,
}

/// People in a block.
#[derive(Clone, Debug)]
pub struct Work {
    /// Where and when.
    pub at: At,
    /// Which blocks and rows.
    pub ground: Ground,
    /// When.
    pub sessions: Vec<Session>,
    /// What was done.
    pub task: Option<Span>,
    /// Who.
    pub by: Vec<Ref<PersonId>>,
    /// Who else.
    pub crew: Option<Span>,
    /// When and by whom it was written down.
    pub entered: Option<Box<Entered>>,
    /// Signatures.
    pub signed: Vec<Signed>,
    /// Notes.
    pub notes: Vec<Span>,
}

/// What is posted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Notice {
    /// A sheet at the central place.
    Sheet,
    /// Warning signs at the block.
    Signs,
}

/// Something put up or taken down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Posted {
    /// What.
    pub what: Notice,
    /// When.
    pub clock: Option<Clocked>,
    /// The whole field.
    pub span: Span,
}

/// Sheets and signs put up or taken down.
#[derive(Clone, Debug)]
pub struct Posting {
    /// Where and when.
    pub at: At,
    /// Which blocks.
    pub ground: Ground,
    /// What went up.
    pub up: Vec<Posted>,
    /// What came down.
    pub down: Vec<Posted>,
    /// Who did it.
    pub by: Vec<Ref<PersonId>>,
}

/// A delivery.
#[derive(Clone, Debug)]
pub struct Receipt {
    /// Where and when.
    pub at: At,
    /// What.
    pub material: Ref<MaterialId>,
    /// How much.
    pub amount: Option<Written<Amount>>,
    /// The maker's lot.
    pub lot: Option<Span>,
    /// Who delivered.
    pub supplier: Option<Span>,
    /// The receipt.
    pub invoice: Option<Span>,
    /// What was paid for all of it, in the farm's currency.
    pub paid: Option<Written<Exact>>,
    /// The last day it may be used.
    pub use_by: Option<Written<NaiveDate>>,
}

/// A home-made batch.
#[derive(Clone, Debug)]
pub struct Brew {
    /// Its name.
    pub named: Named,
    /// Where and when it was started.
    pub at: At,
    /// Of what.
    pub material: Option<Ref<MaterialId>>,
    /// What went in.
    pub puts: Vec<Put>,
    /// How much it gave.
    pub amount: Option<Written<Amount>>,
    /// The first day it may be used.
    pub ready: Option<Written<NaiveDate>>,
    /// The last day it may be used.
    pub use_by: Option<Written<NaiveDate>>,
    /// Its pH.
    pub ph: Option<Written<Exact>>,
    /// The water it was made with.
    pub water: Option<Ref<WaterId>>,
    /// Who made it.
    pub by: Vec<Ref<PersonId>>,
}

/// A correction.
#[derive(Clone, Debug)]
pub struct Amendment {
    /// Where and when it was made.
    pub at: At,
    /// Which kind of record.
    pub kind: Option<EntryWord>,
    /// Of which block.
    pub block: Ref<BlockId>,
    /// Of which day.
    pub day: Option<Written<NaiveDate>>,
    /// What it said.
    pub was: Option<Span>,
    /// What it says.
    pub now: Option<Span>,
    /// Why.
    pub reason: Option<Span>,
    /// Who changed it.
    pub by: Vec<Ref<PersonId>>,
}

/// A finding let stand on purpose.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Accept {
    /// The code, where it stands.
    pub code: Span,
    /// The reason.
    pub reason: Span,
    /// The entry it stands in.
    pub entry: Span,
}
