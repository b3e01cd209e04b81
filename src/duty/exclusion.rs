//! How far from the sprayer nobody but the handlers may be while a spray goes on, by the rules that hold for it and by what
//! is written of its sprayer.

use super::{Asked, Duties};
use crate::journal::{Rig, Written};
use crate::quantity::{Amount, show_apart};
use crate::rulebook::Demand;
use crate::season::{Season, SprayFacts};
use crate::text::Span;
use crate::trade::DropletClass;

/// What the rules say of a spray's exclusion zone.
#[derive(Clone, Debug)]
pub enum Exclusion<'s> {
    /// No rule that holds for the spray speaks of one.
    NotAsked,
    /// A rule does, and none is needed for how this was sprayed.
    NoneNeeded(Asked<'s>),
    /// So far.
    Zone(ExclusionZone<'s>),
    /// It depends on what is not written.
    Unknown(UnknownZone<'s>),
}

/// How far nobody but the handlers may come.
#[derive(Clone, Copy, Debug)]
pub struct ExclusionZone<'s> {
    /// From where the spray leaves the sprayer.
    pub distance: Amount,
    /// What makes it so far.
    pub why: Why,
    /// The rule.
    pub asked: Asked<'s>,
}

/// What makes an exclusion zone.
#[derive(Clone, Copy, Debug)]
pub enum Why {
    /// The rule asks for it at every spray.
    Always,
    /// The sprayer's method, as written there.
    Method(Span),
    /// Droplets of a class that is finer than the limit.
    Droplets(DropletClass, DropletClass),
    /// Spray released from a height that is above the limit.
    Height(Amount, Amount),
}

impl Why {
    /// In words: `its method is airblast, both sides`.
    pub fn words(self, season: &Season<'_>) -> String {
        match self {
            Why::Always => "it is asked for at every spray".to_string(),
            Why::Method(at) => format!("its method is {}", season.words(at)),
            Why::Droplets(class, limit) => format!("its droplets are {}, finer than {}", class.word(), limit.word()),
            Why::Height(height, limit) => {
                let (height, limit) = show_apart(height, limit);
                format!("it sprays from {height} above the ground, more than {limit}")
            }
        }
    }
}

/// An exclusion zone that cannot be told.
#[derive(Clone, Debug)]
pub struct UnknownZone<'s> {
    /// What is not written, or not so that it can be understood; empty where the sprayer's name is declared nowhere.
    pub missing: Vec<Unsaid>,
    /// The zone that is sure.
    pub at_least: Option<ExclusionZone<'s>>,
    /// The widest zone that it can be.
    pub at_most: Amount,
    /// The rule of the widest.
    pub asked: Asked<'s>,
}

/// What an exclusion zone depends on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unsaid {
    /// Which sprayer it was.
    Rig,
    /// How it applies.
    Method,
    /// The class of its droplets.
    Droplets,
    /// How high the spray leaves it.
    Height,
}

impl Unsaid {
    /// In words, with the field that says it.
    pub const fn words(self) -> &'static str {
        match self {
            Unsaid::Rig => "which sprayer it was (`rig` of the spray)",
            Unsaid::Method => "how it applies (`method`)",
            Unsaid::Droplets => "the class of its droplets (`droplets`)",
            Unsaid::Height => "how high the spray leaves it (`height`)",
        }
    }
}

/// What asks for an exclusion zone.
struct Asks<'s> {
    distance: Amount,
    methods: &'s [String],
    finer_than: Option<DropletClass>,
    height_over: Option<Amount>,
}

fn zones(demand: &Demand) -> Option<Asks<'_>> {
    match demand {
        Demand::ExclusionZone { distance, methods, finer_than, height_over } => {
            Some(Asks { distance: *distance, methods, finer_than: *finer_than, height_over: *height_over })
        }
        _ => None,
    }
}

/// The exclusion zone of a spray: the widest that a rule asks for.
pub fn exclusion_zone<'s>(duties: &Duties<'s>, facts: &SprayFacts) -> Exclusion<'s> {
    let season = duties.season;
    let used = facts.spray(season.journal).rig;
    let rig = used.map(|rig| rig.id.map(|rig| season.journal.rig(rig)));
    let mut none: Option<Asked<'s>> = None;
    let mut sure: Option<ExclusionZone<'s>> = None;
    let mut unsure: Vec<(Asked<'s>, Amount, Vec<Unsaid>)> = Vec::new();
    for (asked, asks) in duties.of_spray(facts, zones) {
        match judge(season, rig, &asks) {
            Judged::Needed(why) => {
                let zone = ExclusionZone { distance: asks.distance, why, asked };
                if sure.is_none_or(|known| wider(zone.distance, known.distance)) {
                    sure = Some(zone);
                }
            }
            Judged::NotNeeded => none = none.or(Some(asked)),
            Judged::Unknown(missing) => unsure.push((asked, asks.distance, missing)),
        }
    }
    // What cannot make the zone any wider need not be known.
    unsure.retain(|(_, distance, _)| sure.is_none_or(|sure| wider(*distance, sure.distance)));
    let Some(&(mut asked, mut at_most, _)) = unsure.first() else {
        return match (sure, none) {
            (Some(zone), _) => Exclusion::Zone(zone),
            (None, Some(asked)) => Exclusion::NoneNeeded(asked),
            (None, None) => Exclusion::NotAsked,
        };
    };
    for (of, distance, _) in &unsure[1..] {
        if wider(*distance, at_most) {
            (asked, at_most) = (*of, *distance);
        }
    }
    let mut missing: Vec<Unsaid> = unsure.into_iter().flat_map(|(.., missing)| missing).collect();
    missing.sort_unstable();
    missing.dedup();
    Exclusion::Unknown(UnknownZone { missing, at_least: sure, at_most, asked })
}

/// Whether one distance is wider than another; both come from rules, which are read as lengths.
fn wider(one: Amount, other: Amount) -> bool {
    one.base().zip(other.base()).is_some_and(|(one, other)| one > other)
}

/// Whether a rule asks for its zone.
enum Judged {
    Needed(Why),
    NotNeeded,
    Unknown(Vec<Unsaid>),
}

/// Holds one rule against the sprayer. It is enough that one of the rule's conditions is met.
fn judge(season: &Season<'_>, rig: Option<Option<&Rig>>, asks: &Asks<'_>) -> Judged {
    if asks.methods.is_empty() && asks.finer_than.is_none() && asks.height_over.is_none() {
        return Judged::Needed(Why::Always);
    }
    let Some(rig) = rig else { return Judged::Unknown(vec![Unsaid::Rig]) };
    let Some(rig) = rig else { return Judged::Unknown(Vec::new()) };
    let mut missing: Vec<Unsaid> = Vec::new();
    if !asks.methods.is_empty() {
        match rig.method {
            Some(at) => {
                let words = season.words(at).to_lowercase();
                if asks.methods.iter().any(|method| words.contains(method.as_str())) {
                    return Judged::Needed(Why::Method(at));
                }
            }
            None => missing.push(Unsaid::Method),
        }
    }
    if let Some(limit) = asks.finer_than {
        match rig.droplets.and_then(|at| DropletClass::finest(season.words(at))) {
            Some(class) if class < limit => return Judged::Needed(Why::Droplets(class, limit)),
            Some(_) => {}
            None => missing.push(Unsaid::Droplets),
        }
    }
    if let Some(limit) = asks.height_over {
        match rig.height {
            Some(Written { value, .. }) if wider(value, limit) => return Judged::Needed(Why::Height(value, limit)),
            Some(_) => {}
            None => missing.push(Unsaid::Height),
        }
    }
    if missing.is_empty() { Judged::NotNeeded } else { Judged::Unknown(missing) }
}
