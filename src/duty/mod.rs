//! What rulebooks ask of a farm: which rules were in force on the day of a spray and hold for it, and what its record
//! does not say.

mod elements;
mod exclusion;
mod holds;
mod purpose;
mod times;
mod waits;

use chrono::NaiveDate;

pub use elements::{Lack, bbch, is_calm, lacks};
pub use exclusion::{Exclusion, ExclusionZone, UnknownZone, Unsaid, Why, exclusion_zone};
pub use holds::{about_block, concerned, holds};
pub use purpose::{Against, against, against_by_reason, own_purpose};
pub use times::{Due, Kept, Made, due, kept, made, years_later};
pub use waits::{DaysToHarvest, clearance, days_to_harvest, rule_waits};

use crate::journal::{Adopted, BlockId, MaterialId};
use crate::rulebook::{Demand, Element, Known, Rule, Rulebook};
use crate::season::{Season, SprayFacts};

/// The rulebooks that a farm has adopted.
#[derive(Debug)]
pub struct Duties<'s> {
    /// The season they are asked of.
    pub season: &'s Season<'s>,
    /// Each adoption whose rulebook is at hand.
    pub adoptions: Vec<Adoption<'s>>,
    /// The last page of the journal.
    pub last_page: Option<NaiveDate>,
}

/// A rulebook that a farm has adopted.
#[derive(Clone, Copy, Debug)]
pub struct Adoption<'s> {
    /// The farm's line.
    pub adopted: &'s Adopted,
    /// The rulebook.
    pub book: &'s Rulebook,
}

/// A rule that holds, and the adoption it comes by.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'s> {
    /// The farm's adoption.
    pub adoption: Adoption<'s>,
    /// The rule.
    pub rule: &'s Rule,
}

impl Asked<'_> {
    /// Its section, its rulebook and how it is known, for a finding's working and source.
    pub fn cited(&self) -> String {
        format!("{} ({}; {})", self.rule.citation, self.adoption.book.name, self.rule.known.words())
    }

    /// Whether it is in force on a day, whatever it holds for.
    pub fn on_day(&self, day: NaiveDate) -> bool {
        self.adoption.adopted.on(day) && self.rule.in_force(day)
    }

    /// Whether it is in force on the day of a spray and holds for it.
    pub fn holds_for(&self, season: &Season<'_>, facts: &SprayFacts) -> bool {
        self.on_day(facts.spray(season.journal).at.day) && holds(season, facts, &self.rule.when)
    }

    /// Whether it is known only from memory: such a rule raises notes, never errors.
    pub fn from_memory(&self) -> bool {
        self.rule.known == Known::Memory
    }
}

impl<'s> Duties<'s> {
    /// The duties of a season's farm; none where it has adopted no rulebook.
    pub fn new(season: &'s Season<'s>) -> Self {
        let adopted = season.journal.farm.iter().flat_map(|farm| &farm.rulebooks);
        let adoptions =
            adopted.filter_map(|adopted| Some(Adoption { adopted, book: season.shelf.find(&adopted.name.value)? }));
        let last_page = season.journal.days.iter().map(|day| day.at.day).max();
        Self { season, adoptions: adoptions.collect(), last_page }
    }

    /// Whether nothing is asked.
    pub fn is_empty(&self) -> bool {
        self.adoptions.is_empty()
    }

    /// The rules of some kind that are in force on a day, whatever they hold for.
    pub fn on_day<'d, T: 's>(
        &'d self,
        day: NaiveDate,
        kind: impl Fn(&'s Demand) -> Option<T> + Copy + 'd,
    ) -> impl Iterator<Item = (Asked<'s>, T)> + 'd {
        self.of_kind(kind).filter(move |(asked, _)| asked.on_day(day))
    }

    /// Every rule of some kind in the adopted rulebooks, whatever the day.
    pub fn of_kind<'d, T: 's>(
        &'d self,
        kind: impl Fn(&'s Demand) -> Option<T> + Copy + 'd,
    ) -> impl Iterator<Item = (Asked<'s>, T)> + 'd {
        self.adoptions.iter().flat_map(move |&adoption| {
            let rules = adoption.book.rules.iter();
            rules.filter_map(move |rule| Some((Asked { adoption, rule }, kind(&rule.demand)?)))
        })
    }

    /// The rules of some kind that hold for a spray.
    pub fn of_spray<'d, T: 's>(
        &'d self,
        facts: &'d SprayFacts,
        kind: impl Fn(&'s Demand) -> Option<T> + Copy + 'd,
    ) -> impl Iterator<Item = (Asked<'s>, T)> + 'd {
        let day = facts.spray(self.season.journal).at.day;
        self.on_day(day, kind).filter(move |(asked, _)| holds(self.season, facts, &asked.rule.when))
    }

    /// Whether a rule that holds for a spray asks for an element.
    pub fn asks(&self, facts: &SprayFacts, element: Element) -> bool {
        self.of_spray(facts, elements).any(|(_, elements)| elements.contains(&element))
    }

    /// The blocks of a spray that a rule is about.
    pub fn blocks<'d>(&'d self, facts: &'d SprayFacts, rule: &'d Rule) -> impl Iterator<Item = BlockId> + 'd {
        let blocks = facts.touched.iter().map(|touched| touched.block);
        blocks.filter(move |&block| about_block(self.season, self.season.journal.block(block), &rule.when))
    }

    /// The materials of a spray that a rule is about.
    pub fn materials<'d>(&'d self, facts: &'d SprayFacts, rule: &'d Rule) -> impl Iterator<Item = MaterialId> + 'd {
        let materials = facts.doses.iter().map(|dose| dose.material);
        materials.filter(move |&material| concerned(self.season, material, &rule.when))
    }
}

/// The elements that a demand asks for, if that is what it asks for.
pub fn elements(demand: &Demand) -> Option<&Vec<Element>> {
    match demand {
        Demand::Elements(elements) => Some(elements),
        _ => None,
    }
}
