//! The tree, understood: farms, blocks, materials, mixes and everything done, with units read and names resolved.
//!
//! What could not be understood is left out and kept as a [`Trouble`] for the checks to word; whoever needs the fact
//! finds `None` and stays quiet, so one slip never raises a second finding.

/// Calls a function with each list of dated records of one journal and the same list of another.
macro_rules! each_dated {
    ($do:ident, $one:expr, $other:expr $(, $more:expr)*) => {
        $do(&mut $one.sprays, &mut $other.sprays $(, $more)*);
        $do(&mut $one.skips, &mut $other.skips $(, $more)*);
        $do(&mut $one.observations, &mut $other.observations $(, $more)*);
        $do(&mut $one.weather, &mut $other.weather $(, $more)*);
        $do(&mut $one.forecasts, &mut $other.forecasts $(, $more)*);
        $do(&mut $one.harvests, &mut $other.harvests $(, $more)*);
        $do(&mut $one.works, &mut $other.works $(, $more)*);
        $do(&mut $one.postings, &mut $other.postings $(, $more)*);
        $do(&mut $one.receipts, &mut $other.receipts $(, $more)*);
        $do(&mut $one.calibrations, &mut $other.calibrations $(, $more)*);
        $do(&mut $one.cleanings, &mut $other.cleanings $(, $more)*);
        $do(&mut $one.amendments, &mut $other.amendments $(, $more)*);
        $do(&mut $one.approvals, &mut $other.approvals $(, $more)*);
        $do(&mut $one.trainings, &mut $other.trainings $(, $more)*);
        $do(&mut $one.samples, &mut $other.samples $(, $more)*);
        $do(&mut $one.counts, &mut $other.counts $(, $more)*);
        $do(&mut $one.discards, &mut $other.discards $(, $more)*);
    };
}

mod block;
mod calibration;
mod compile;
mod dated;
mod law;
mod living;
mod lower;
mod material;
mod measures;
mod names;
mod pantry;
mod paper;
mod program;
mod read_block;
mod read_calibration;
mod read_dated;
mod read_law;
mod read_material;
mod read_paper;
mod read_program;
mod read_standing;
mod standing;
mod trouble;
mod words;

pub use block::*;
pub use calibration::*;
pub use compile::{Files, compile};
pub use dated::*;
pub use law::*;
pub use living::{Changed, Declared, Living, Reread};
pub use material::*;
pub use names::nearest as nearest_word;
pub use names::same_crop;
pub use pantry::{PANTRY, PantryText, nearest_in_pantry, pantry, stock_pantry};
pub use paper::*;
pub use program::*;
pub use read_program::stage_words;
pub use standing::*;
pub use trouble::{DateTrouble, NameSort, Trouble};

use crate::text::Span;

/// A value and where it was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written<T> {
    /// What it is.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Written<T> {
    /// A value with its place.
    pub const fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// A name used, and what it stands for; nothing where no such name is declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ref<Id> {
    /// What it stands for.
    pub id: Option<Id>,
    /// Where it was used.
    pub span: Span,
}

/// Declares the numbers by which standing things are known inside a journal.
macro_rules! ids {
    ($($(#[$about:meta])* $name:ident,)*) => {$(
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl $name {
            /// As a place in its list.
            pub const fn index(self) -> usize {
                self.0 as usize
            }

            /// The one at a place in its list.
            pub const fn at(index: usize) -> Self {
                Self(index as u32)
            }
        }
    )*};
}

ids! {
    /// A block of [`Journal::blocks`].
    BlockId,
    /// A person of [`Journal::people`].
    PersonId,
    /// A sprayer of [`Journal::rigs`].
    RigId,
    /// A water of [`Journal::waters`].
    WaterId,
    /// A material of [`Journal::materials`].
    MaterialId,
    /// A mix of [`Journal::mixes`].
    MixId,
    /// A program of [`Journal::programs`].
    ProgramId,
    /// A batch of [`Journal::brews`].
    BrewId,
}

/// One farm's journal, understood. The lists of what was done are in the order of the files; the season sorts them.
#[derive(Debug, Default)]
pub struct Journal {
    /// The farm; `None` where no entry names it.
    pub farm: Option<Farm>,
    /// Blocks.
    pub blocks: Vec<Block>,
    /// People.
    pub people: Vec<Person>,
    /// Sprayers.
    pub rigs: Vec<Rig>,
    /// Waters.
    pub waters: Vec<Water>,
    /// Materials.
    pub materials: Vec<Material>,
    /// Mixes.
    pub mixes: Vec<Mix>,
    /// Programs.
    pub programs: Vec<Program>,
    /// Limits.
    pub limits: Vec<Limits>,
    /// Home-made batches.
    pub brews: Vec<Brew>,
    /// Pages: a day each.
    pub days: Vec<Day>,
    /// Applications.
    pub sprays: Vec<Spray>,
    /// Rounds left out on purpose.
    pub skips: Vec<Skip>,
    /// Observations.
    pub observations: Vec<Observation>,
    /// Weather days.
    pub weather: Vec<WeatherDay>,
    /// Weather foretold.
    pub forecasts: Vec<WeatherDay>,
    /// Picks.
    pub harvests: Vec<Harvest>,
    /// Work in blocks.
    pub works: Vec<Work>,
    /// Postings.
    pub postings: Vec<Posting>,
    /// Deliveries.
    pub receipts: Vec<Receipt>,
    /// Calibrations.
    pub calibrations: Vec<Calibration>,
    /// Cleanings.
    pub cleanings: Vec<Cleaning>,
    /// Corrections.
    pub amendments: Vec<Amendment>,
    /// Materials approved.
    pub approvals: Vec<Approval>,
    /// People trained.
    pub trainings: Vec<Training>,
    /// Samples sent to laboratories.
    pub samples: Vec<LabSample>,
    /// The shelf counted.
    pub counts: Vec<ShelfCount>,
    /// What left the shed unused.
    pub discards: Vec<Discard>,
    /// Findings let stand on purpose.
    pub accepts: Vec<Accept>,
    /// What could not be understood.
    pub troubles: Vec<Trouble>,
}

impl Journal {
    /// Everything of a sort that is declared.
    pub fn declared(&self, sort: NameSort) -> Vec<&Named> {
        match sort {
            NameSort::Block => self.blocks.iter().map(|it| &it.named).collect(),
            NameSort::Person => self.people.iter().map(|it| &it.named).collect(),
            NameSort::Rig => self.rigs.iter().map(|it| &it.named).collect(),
            NameSort::Water => self.waters.iter().map(|it| &it.named).collect(),
            NameSort::Material => self.materials.iter().map(|it| &it.named).collect(),
            NameSort::Mix => self.mixes.iter().map(|it| &it.named).collect(),
            NameSort::Program => self.programs.iter().map(|it| &it.named).collect(),
            NameSort::Limits => self.limits.iter().map(|it| &it.named).collect(),
            NameSort::Brew => self.brews.iter().map(|it| &it.named).collect(),
            NameSort::Farm => self.farm.iter().map(|it| &it.named).collect(),
        }
    }

    /// A block by its number.
    pub fn block(&self, id: BlockId) -> &Block {
        &self.blocks[id.index()]
    }

    /// A material by its number.
    pub fn material(&self, id: MaterialId) -> &Material {
        &self.materials[id.index()]
    }

    /// A mix by its number.
    pub fn mix(&self, id: MixId) -> &Mix {
        &self.mixes[id.index()]
    }

    /// A person by their number.
    pub fn person(&self, id: PersonId) -> &Person {
        &self.people[id.index()]
    }

    /// A sprayer by its number.
    pub fn rig(&self, id: RigId) -> &Rig {
        &self.rigs[id.index()]
    }

    /// A water by its number.
    pub fn water(&self, id: WaterId) -> &Water {
        &self.waters[id.index()]
    }

    /// A program by its number.
    pub fn program(&self, id: ProgramId) -> &Program {
        &self.programs[id.index()]
    }

    /// A batch by its number.
    pub fn brew(&self, id: BrewId) -> &Brew {
        &self.brews[id.index()]
    }
}
