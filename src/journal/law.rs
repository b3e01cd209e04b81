//! What laws and certifiers ask of standing things: rules adopted, licences; and every choice of a few words.

use chrono::NaiveDate;

use super::Written;
use crate::text::Span;

/// A set of rules that the farm works under.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Adopted {
    /// Its name, in lower case.
    pub name: Written<Box<str>>,
    /// The first day; `None` for always.
    pub from: Option<NaiveDate>,
    /// The last day; `None` for as long as the farm goes on.
    pub until: Option<NaiveDate>,
    /// The whole field.
    pub span: Span,
}

impl Adopted {
    /// Whether the farm works under it on a day; the first and the last day are of it.
    pub fn on(&self, day: NaiveDate) -> bool {
        self.from.is_none_or(|from| from <= day) && self.until.is_none_or(|until| day <= until)
    }
}

/// Since when the git history of the folder says something about the records.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HistoryFrom {
    /// It never does.
    None,
    /// From that day on.
    From(NaiveDate),
}

/// A licence or certificate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Licence {
    /// Its number, in words.
    pub number: Span,
    /// Its last day.
    pub until: Option<NaiveDate>,
    /// Number and last day as written.
    pub span: Span,
}

/// Declares a choice of a field: its variants, each with the word it is written by.
macro_rules! choices {
    ($($(#[$about:meta])* $name:ident { $($(#[$variant_about:meta])* $variant:ident = $word:literal,)* })*) => {$(
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$variant_about])* $variant,)* }

        impl $name {
            /// Every choice.
            pub const ALL: &'static [$name] = &[$($name::$variant,)*];
            /// The words they are written by, in the same order.
            pub const WORDS: &'static [&'static str] = &[$($word,)*];

            /// The word users see.
            pub const fn word(self) -> &'static str {
                Self::WORDS[self as usize]
            }
        }
    )*};
}

choices! {
    /// What a material is to the law here.
    Status {
        /// Registered or authorised.
        Registered = "registered",
        /// Exempt from registration, as of least risk.
        MinimumRisk = "minimum-risk",
        /// A fertiliser.
        Fertiliser = "fertiliser",
        /// Food.
        Food = "food",
        /// A basic substance.
        BasicSubstance = "basic-substance",
        /// An adjuvant.
        Adjuvant = "adjuvant",
        /// None of these, said on purpose.
        None = "none",
    }
    /// How a material came to be.
    Origin {
        /// Made by a chemical process.
        Synthetic = "synthetic",
        /// Not so made.
        Natural = "natural",
    }
    /// What a material is used for here.
    Purpose {
        /// To feed.
        Nutrition = "nutrition",
        /// Against animals.
        Pest = "pest",
        /// Against diseases.
        Disease = "disease",
        /// Against weeds.
        Weed = "weed",
        /// To steer growth.
        Growth = "growth",
        /// To clean.
        Sanitation = "sanitation",
        /// To help what else is in the tank.
        Adjuvant = "adjuvant",
    }
    /// Where water comes from.
    WaterKind {
        /// A well or a spring.
        Ground = "ground",
        /// A river, a ditch, a pond.
        Surface = "surface",
        /// A public supply.
        Mains = "mains",
        /// A roof or a butt.
        Rain = "rain",
    }
    /// What people are trained for, or fitted, or examined.
    Course {
        /// Workers who enter treated blocks.
        Worker = "worker",
        /// Handlers of what is sprayed.
        Handler = "handler",
        /// A respirator fitted.
        FitTest = "fit-test",
        /// The use of a respirator.
        Respirator = "respirator",
        /// A medical examination.
        Medical = "medical",
    }
    /// How a fact is known.
    Known {
        /// Read in the source itself.
        Read = "read",
        /// Worked out from what the source says.
        Computed = "computed",
        /// Remembered, not looked up.
        Memory = "from memory",
        /// What growers do, without a source.
        Practice = "common practice",
    }
    /// How the rows are driven while spraying.
    Driving {
        /// Down each alley, spraying to both sides.
        BothSides = "both-sides",
        /// Spraying to one side.
        OneSide = "one-side",
        /// Down every other alley.
        AlternateRows = "alternate-rows",
    }
    /// What a sample is of.
    SampleKind {
        /// Soil.
        Soil = "soil",
        /// Leaves or other parts of plants.
        Tissue = "tissue",
        /// Water.
        Water = "water",
    }
}

/// What a label ties the use of a material to, and where that is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LabelLimits {
    /// Times of day.
    pub time: Option<Span>,
    /// Growth stages.
    pub stage: Option<Span>,
    /// Weather.
    pub weather: Option<Span>,
}
