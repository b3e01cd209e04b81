//! What kind of thing a unit measures.

use std::fmt;

/// What kind of thing a unit measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Base unit: mL.
    Volume,
    /// Base unit: g.
    Mass,
    /// Plain ounces, a weight or a volume until the material's form is known. No base unit.
    Ounce,
    /// Base unit: m².
    Area,
    /// Base unit: m.
    Length,
    /// Base unit: s.
    Time,
    /// Base unit: K.
    Temperature,
    /// Base unit: kPa.
    Pressure,
    /// Base unit: m/s.
    Speed,
    /// Base unit: a fraction of one; for weight in volume, g per mL. See [`ShareOf`].
    Share,
    /// pH, not convertible to anything.
    Acidity,
    /// Things counted; each kind counts itself.
    Count,
}

impl Dimension {
    /// The dimension in everyday words, with its article: `a volume`, `a weight`.
    pub const fn word(self) -> &'static str {
        match self {
            Dimension::Volume => "a volume",
            Dimension::Mass => "a weight",
            Dimension::Ounce => "a weight or a volume",
            Dimension::Area => "an area",
            Dimension::Length => "a length",
            Dimension::Time => "a time",
            Dimension::Temperature => "a temperature",
            Dimension::Pressure => "a pressure",
            Dimension::Speed => "a speed",
            Dimension::Share => "a share",
            Dimension::Acidity => "a pH",
            Dimension::Count => "a count",
        }
    }

    /// A few units of it, for messages.
    pub const fn examples(self) -> &'static str {
        match self {
            Dimension::Volume => "gal, L, fl oz",
            Dimension::Mass => "oz wt, lb, g",
            Dimension::Ounce => "oz wt, fl oz, g, mL",
            Dimension::Area => "acre, ha, sq ft",
            Dimension::Length => "ft, in, m",
            Dimension::Time => "min, h, days",
            Dimension::Temperature => "F, C",
            Dimension::Pressure => "psi, bar, kPa",
            Dimension::Speed => "mph, km/h, m/s",
            Dimension::Share => "%, % v/v, ppm",
            Dimension::Acidity => "pH",
            Dimension::Count => "trees, sprays, each",
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())
    }
}

/// What a share is a share of; shares of different things are never compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ShareOf {
    /// A bare percentage: humidity, leaves with spots, content of a material.
    Parts,
    /// Volume of a part in the volume of the whole.
    Volume,
    /// Weight of a part in the volume of the whole, g per mL. Parts per million are taken as mg per L of water.
    WeightInVolume,
    /// Weight of a part in the weight of the whole.
    Weight,
}

/// Whether a material is measured as a liquid or as a dry good.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// Plain ounces are fluid ounces.
    Liquid,
    /// Plain ounces are ounces of weight.
    Dry,
}

impl Form {
    /// Reads `liquid` or `dry`.
    pub fn named(words: &str) -> Option<Form> {
        match words.trim() {
            word if word.eq_ignore_ascii_case("liquid") => Some(Form::Liquid),
            word if word.eq_ignore_ascii_case("dry") => Some(Form::Dry),
            _ => None,
        }
    }

    /// `liquid` or `dry`.
    pub const fn word(self) -> &'static str {
        match self {
            Form::Liquid => "liquid",
            Form::Dry => "dry",
        }
    }
}

/// A system of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// United States customary units.
    Us,
    /// British imperial units.
    Imperial,
    /// Metric units.
    Metric,
}

impl System {
    /// Reads `US`, `imperial` or `metric`.
    pub fn named(words: &str) -> Option<System> {
        match words.trim() {
            word if word.eq_ignore_ascii_case("us") => Some(System::Us),
            word if word.eq_ignore_ascii_case("imperial") => Some(System::Imperial),
            word if word.eq_ignore_ascii_case("metric") => Some(System::Metric),
            _ => None,
        }
    }

    /// `US`, `imperial` or `metric`.
    pub const fn word(self) -> &'static str {
        match self {
            System::Us => "US",
            System::Imperial => "imperial",
            System::Metric => "metric",
        }
    }
}
