//! Materials: what they are, what is in them, what is allowed, what they cost, and how each fact is known.

use super::{
    Apart, Cap, Dated, Interval, Known, LabelLimits, Named, Needs, Never, Origin, Purpose, RateRange, Stated, Status,
    WeatherLimit, Written,
};
use crate::quantity::{Amount, Density, Exact, Form};
use crate::syntax::FieldWord;
use crate::text::{Sources, Span};

/// Something that goes into a tank.
#[derive(Clone, Debug)]
pub struct Material {
    /// Its name.
    pub named: Named,
    /// Liquid or dry.
    pub form: Option<Written<Form>>,
    /// Weight per volume of the liquid.
    pub density: Option<Written<Density>>,
    /// Measured weight per spoon of the dry material.
    pub weighs: Option<Written<Density>>,
    /// Elements and oxides in it.
    pub contents: Vec<Content>,
    /// Active ingredients in it.
    pub actives: Vec<Content>,
    /// Classes, in lower case.
    pub classes: Vec<Written<Box<str>>>,
    /// Registration number.
    pub registration: Option<Span>,
    /// What it is to the law here, where that is written; [`Material::status`] concludes the rest.
    pub status: Option<Written<Status>>,
    /// How it came to be.
    pub origin: Option<Written<Origin>>,
    /// What it is used for here.
    pub purposes: Vec<Written<Purpose>>,
    /// What its label ties its use to.
    pub label_limits: LabelLimits,
    /// Allowed rates.
    pub rates: Vec<RateRange>,
    /// Rates that have been published: information, never checked as permission.
    pub published: Vec<RateRange>,
    /// Re-entry interval.
    pub reentry: Option<Written<Stated>>,
    /// Harvest intervals.
    pub preharvest: Vec<Interval>,
    /// Whether a harvest interval was written that could not be read.
    pub preharvest_lost: bool,
    /// Shortest spacings.
    pub spacing: Vec<Interval>,
    /// Season caps.
    pub season: Vec<Cap>,
    /// Resistance group.
    pub group: Option<Span>,
    /// Days to keep from others.
    pub apart: Vec<Apart>,
    /// What it must not share a tank with.
    pub never: Vec<Never>,
    /// Whether it may be sprayed in bloom.
    pub in_bloom: Option<Written<bool>>,
    /// Weather it may be sprayed in.
    pub within: Vec<WeatherLimit>,
    /// Postings asked for.
    pub needs: Needs,
    /// Whether it is made here.
    pub home_made: Option<Written<bool>>,
    /// Protective equipment.
    pub protection: Option<Span>,
    /// Where the label is filed.
    pub label: Option<Span>,
    /// Where the safety data sheet is filed.
    pub sds: Option<Span>,
    /// What it costs over time.
    pub prices: Vec<Dated<Price>>,
    /// The pH asked of the finished tank.
    pub tank_ph: Option<Written<PhRange>>,
    /// Its own measuring tools, each a weight or a volume above nothing; they come before the farm's.
    pub measures: Vec<Written<Amount>>,
    /// Where these facts come from, but those that have a source of their own.
    pub source: Option<Span>,
    /// Where single facts come from.
    pub fact_sources: Vec<FactSource>,
}

impl Material {
    /// Whether it is of a class or has that name, both in lower case.
    pub fn is(&self, class_or_name: &str) -> bool {
        *self.named.name == *class_or_name || self.classes.iter().any(|class| *class.value == *class_or_name)
    }

    /// What it is to the law here: as written, or else registered where a registration number is written.
    pub fn status(&self) -> Option<Status> {
        self.status.map(|status| status.value).or(self.registration.map(|_| Status::Registered))
    }

    /// Where the facts of one of its fields come from, in words, and how they are known where that is not by reading.
    pub fn source_of(&self, field: FieldWord, sources: &Sources) -> Option<String> {
        let told: Vec<String> = self
            .fact_sources
            .iter()
            .filter(|source| source.field == field)
            .map(|source| source.told(sources))
            .collect();
        (!told.is_empty()).then(|| told.join("; "))
    }

    /// Liquid or dry, where known.
    pub fn form(&self) -> Option<Form> {
        self.form.map(|form| form.value)
    }

    /// What turns its volume into weight: the density of a liquid, the measured spoon weight of a dry material.
    pub fn bridge(&self) -> Option<Density> {
        match self.form() {
            Some(Form::Dry) => self.weighs.map(|weighs| weighs.value),
            _ => self.density.map(|density| density.value),
        }
    }
}

/// How much of a substance is in a material.
#[derive(Clone, Debug)]
pub struct Content {
    /// The substance as written: an element or oxide symbol, or an active ingredient in lower case.
    pub substance: Box<str>,
    /// How much.
    pub share: ContentShare,
    /// Where it is written.
    pub span: Span,
}

/// How much of a substance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ContentShare {
    /// Weight of the substance in the weight of the material, a fraction of one.
    ByWeight(Exact),
    /// Weight of the substance per volume of the material.
    PerVolume(Density),
}

/// What something costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    /// The money, in the farm's currency.
    pub money: Exact,
    /// For how much of it: a weight, a volume, or so many `each`; above nothing.
    pub per: Amount,
}

/// Between which values a pH is asked for: at least one of the two is there, both from 0 to 14.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PhRange {
    /// The least.
    pub least: Option<Exact>,
    /// The most.
    pub most: Option<Exact>,
}

/// Where one fact of a material comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FactSource {
    /// The field that states the fact.
    pub field: FieldWord,
    /// The source, in words.
    pub words: Span,
    /// How the fact is known, where that is written.
    pub known: Option<Known>,
}

impl FactSource {
    /// The source in words, with how the fact is known where that is not by reading.
    pub fn told(&self, sources: &Sources) -> String {
        let words = sources.slice(self.words);
        match self.known {
            None | Some(Known::Read) => words.to_string(),
            Some(known) => format!("{words} ({})", known.word()),
        }
    }
}
