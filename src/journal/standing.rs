//! What is so, rather than what was done: the farm, its people and sprayers, mixes, limits.

use chrono::NaiveDate;
use chrono_tz::Tz;

use super::{Adopted, HistoryFrom, Licence, MaterialId, Ref, WaterKind, Written};
use crate::quantity::{Amount, Exact, Rate, System, Unit};
use crate::text::Span;

/// The name a standing entry is known by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// As it is compared: in lower case.
    pub name: Box<str>,
    /// The title to print.
    pub title: Option<Box<str>>,
    /// Where the name stands.
    pub span: Span,
    /// The whole entry.
    pub entry: Span,
    /// Notes, a span each, with their indentation still in them.
    pub notes: Vec<Span>,
}

impl Named {
    /// The title, or the name where there is none.
    pub fn shown(&self) -> &str {
        self.title.as_deref().unwrap_or(&self.name)
    }
}

/// A fact that holds from a day on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dated<T> {
    /// The fact.
    pub value: T,
    /// The first day it holds; `None` for always.
    pub from: Option<NaiveDate>,
    /// Where it is written.
    pub span: Span,
}

/// The fact in force on a day: the latest that began on it or before. Before the first day of any, the earliest.
pub fn in_force<T>(facts: &[Dated<T>], day: NaiveDate) -> Option<&Dated<T>> {
    let begun = facts.iter().filter(|fact| fact.from.is_none_or(|from| from <= day));
    begun.max_by_key(|fact| fact.from).or_else(|| facts.iter().min_by_key(|fact| fact.from))
}

/// Which postings are asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Needs {
    /// A sheet at the central place.
    pub sheet: Option<Span>,
    /// Warning signs at the block.
    pub signs: Option<Span>,
}

/// The farm.
#[derive(Clone, Debug)]
pub struct Farm {
    /// Its name.
    pub named: Named,
    /// Which units are printed first.
    pub units: System,
    /// Its time zone.
    pub zone: Option<Written<Tz>>,
    /// Where it is.
    pub address: Option<Span>,
    /// Who runs it.
    pub owner: Option<Span>,
    /// How to reach them.
    pub contact: Option<Span>,
    /// Shared folders.
    pub uses: Vec<Span>,
    /// Postings asked for at every spray in a block with workers.
    pub needs: Needs,
    /// Operator identification or permit number.
    pub permit: Option<Span>,
    /// Sets of rules that the farm works under.
    pub rulebooks: Vec<Adopted>,
    /// How many years the farm keeps its records.
    pub keep: Option<Written<u32>>,
    /// Since when the git history of the folder says something about the records.
    pub history: Option<Written<HistoryFrom>>,
    /// Whether the materials that come with Foliary may be used by name.
    pub pantry: Option<Written<bool>>,
    /// What prices are counted in.
    pub currency: Option<Span>,
    /// The measuring tools at hand, each a weight or a volume above nothing.
    pub measures: Vec<Written<Amount>>,
}

/// Somebody.
#[derive(Clone, Debug)]
pub struct Person {
    /// Short name and full name.
    pub named: Named,
    /// Licence and its last day.
    pub licence: Option<Licence>,
    /// What the person does.
    pub role: Option<Span>,
    /// Whether the person is the owner or of the immediate family.
    pub family: Option<Written<bool>>,
    /// Postal address.
    pub address: Option<Span>,
    /// How to reach the person.
    pub contact: Option<Span>,
}

/// A sprayer.
#[derive(Clone, Debug)]
pub struct Rig {
    /// Its name.
    pub named: Named,
    /// What its tank holds.
    pub tank: Option<Written<Amount>>,
    /// How it applies.
    pub method: Option<Span>,
    /// Its nozzles.
    pub nozzles: Option<Span>,
    /// Droplet size class.
    pub droplets: Option<Span>,
    /// How high above the ground the spray leaves it.
    pub height: Option<Written<Amount>>,
    /// How long a calibration counts, in seconds.
    pub recalibrate: Option<Written<Exact>>,
}

/// A source of spray water.
#[derive(Clone, Debug)]
pub struct Water {
    /// Its name.
    pub named: Named,
    /// Where it comes from.
    pub source: Option<Span>,
    /// What it is.
    pub kind: Option<Written<WaterKind>>,
    /// pH over time.
    pub ph: Vec<Dated<Exact>>,
    /// Hardness over time, as mg of calcium carbonate per litre.
    pub hardness: Vec<Dated<Exact>>,
}

/// A time that a label states, or does not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stated {
    /// The label states none.
    NoneStated,
    /// So long, in the unit that it was written in: `1 day` runs on the calendar, `24 h` on the clock.
    For(Amount),
}

impl Stated {
    /// In seconds; `None` where none is stated.
    pub fn seconds(self) -> Option<Exact> {
        match self {
            Stated::NoneStated => None,
            Stated::For(time) => time.base(),
        }
    }

    /// In days, where it was written in whole days or weeks; `None` for hours, however many.
    pub fn calendar_days(self) -> Option<u64> {
        let Stated::For(time) = self else { return None };
        if !matches!(time.unit, Unit::DAY | Unit::WEEK) {
            return None;
        }
        let days = time.in_unit(Unit::DAY)?.value;
        if days.is_integer() { u64::try_from(days.floor()).ok() } else { None }
    }
}

/// An interval, for all crops or some.
#[derive(Clone, Debug)]
pub struct Interval {
    /// How long.
    pub time: Stated,
    /// Its crops, in lower case; none for all.
    pub crops: Vec<Box<str>>,
    /// Where it is written.
    pub span: Span,
}

/// A rate with its limits, for all crops or some.
#[derive(Clone, Debug)]
pub struct RateRange {
    /// The least.
    pub least: Option<Rate>,
    /// The most.
    pub most: Option<Rate>,
    /// Its crops, in lower case; none for all.
    pub crops: Vec<Box<str>>,
    /// Where it is written.
    pub span: Span,
}

/// The most in a season.
#[derive(Clone, Debug)]
pub struct Cap {
    /// The most of what.
    pub most: CapAmount,
    /// Of an element, an active ingredient or a class (`of copper`); of the material itself where absent.
    pub of: Option<Written<Box<str>>>,
    /// Its crops, in lower case; none for all.
    pub crops: Vec<Box<str>>,
    /// Where it is written.
    pub span: Span,
}

/// What a cap counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CapAmount {
    /// Applications to a block.
    Sprays(u32),
    /// An amount per area: the amount, and the area it is for.
    PerArea(Amount, Amount),
}

/// Days to keep between two things on the same trees.
#[derive(Clone, Debug)]
pub struct Apart {
    /// The one; a material's own rule leaves it out.
    pub what: Option<Box<str>>,
    /// The others, in lower case: classes or materials.
    pub from: Vec<Box<str>>,
    /// Days, as seconds.
    pub time: Exact,
    /// Where it is written.
    pub span: Span,
}

/// What must not share a tank.
#[derive(Clone, Debug)]
pub struct Never {
    /// The one; a material's own rule leaves it out.
    pub what: Option<Box<str>>,
    /// The others, in lower case: classes or materials.
    pub with: Vec<Box<str>>,
    /// Where it is written.
    pub span: Span,
}

/// What a weather limit is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeatherKind {
    /// Air temperature.
    Temperature,
    /// Wind speed.
    Wind,
    /// Relative humidity, as a fraction of one.
    Humidity,
}

impl WeatherKind {
    /// The word users see.
    pub const fn word(self) -> &'static str {
        match self {
            WeatherKind::Temperature => "temperature",
            WeatherKind::Wind => "wind",
            WeatherKind::Humidity => "humidity",
        }
    }
}

/// The weather something may be sprayed in.
#[derive(Clone, Debug)]
pub struct WeatherLimit {
    /// What about the weather.
    pub kind: WeatherKind,
    /// The least.
    pub least: Option<Amount>,
    /// The most.
    pub most: Option<Amount>,
    /// Where it is written.
    pub span: Span,
}

/// A recipe.
#[derive(Clone, Debug)]
pub struct Mix {
    /// Its name.
    pub named: Named,
    /// The volume that plain amounts are for.
    pub base: Option<MixBase>,
    /// What goes in.
    pub puts: Vec<Put>,
    /// The most of all together.
    pub total: Option<RateRange>,
    /// The order of addition: materials, classes, `dry` or `liquid`, in lower case and one spelling.
    pub order: Vec<Written<Box<str>>>,
    /// Where the recipe comes from.
    pub source: Option<Span>,
}

/// The volume that a mix's amounts are for.
#[derive(Clone, Copy, Debug)]
pub struct MixBase {
    /// How much.
    pub volume: Amount,
    /// Whether it is the water that things are put into, rather than the finished spray.
    pub water: bool,
    /// Where it is written.
    pub span: Span,
}

/// An ingredient.
#[derive(Clone, Debug)]
pub struct Put {
    /// What.
    pub material: Ref<MaterialId>,
    /// How much; `None` where it could not be read.
    pub dose: Option<PutDose>,
    /// The lot that it came from, in words.
    pub lot: Option<Span>,
    /// Where the quantity stands.
    pub span: Span,
}

/// How much of an ingredient.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PutDose {
    /// An amount for the mix's own volume.
    Amount(Amount),
    /// A rate.
    Rate(Rate),
}

/// Rules for the whole farm.
#[derive(Clone, Debug)]
pub struct Limits {
    /// Their name.
    pub named: Named,
    /// The most of everything or of a class in a tank.
    pub totals: Vec<TotalLimit>,
    /// Season caps.
    pub season: Vec<Cap>,
    /// Days to keep between two things.
    pub apart: Vec<Apart>,
    /// What must not share a tank.
    pub never: Vec<Never>,
    /// Weather to spray in.
    pub within: Vec<WeatherLimit>,
    /// The order of addition: materials, classes, `dry` or `liquid`, in lower case and one spelling.
    pub order: Vec<Written<Box<str>>>,
    /// When to break off, in words.
    pub stops: Vec<Span>,
    /// Rain since the last spray that halves the days that are left to the next round.
    pub halve: Option<Written<Amount>>,
    /// Rain since the last spray that asks for a new one.
    pub renew: Option<Written<Amount>>,
    /// Where the rules come from.
    pub source: Option<Span>,
}

/// The most of everything, or of a class, in a tank.
#[derive(Clone, Debug)]
pub struct TotalLimit {
    /// The class or material, in lower case; everything where absent.
    pub class: Option<Box<str>>,
    /// The limit.
    pub range: RateRange,
}
