//! What is known of one season of a farm, for the one after it: what follows from each spray alone, and where which
//! checks found nothing.

use super::{Season, SprayFacts};
use crate::journal::{BlockId, Changed, Journal, MaterialId, Spray};
use crate::syntax::EntryWord;
use crate::text::Span;

/// The checks that find nothing in a place, each by its number below [`Quiet::MOST`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Quiet(u128);

impl Quiet {
    /// How many checks can be told apart.
    pub const MOST: usize = u128::BITS as usize;

    /// Whether a check finds nothing.
    pub fn holds(self, check: usize) -> bool {
        self.0 >> check & 1 == 1
    }

    fn note(&mut self, check: usize) {
        self.0 |= 1 << check;
    }

    fn forget(&mut self, checks: Quiet) {
        self.0 &= !checks.0;
    }
}

/// What a check may judge sprays by, besides what they name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Besides {
    /// Entries of `limits`.
    Limits,
    /// Entries of materials that are not in the tank: one may keep two others apart.
    Materials,
    /// Calibrations.
    Calibrations,
    /// Weather written day by day.
    Weather,
}

impl Besides {
    pub(super) const COUNT: usize = 4;
}

/// Where a check found nothing.
#[derive(Clone, Debug, Default)]
pub struct Noted {
    /// The check's number.
    pub check: usize,
    /// What else it judges by.
    pub besides: &'static [Besides],
    /// Sprays, as places in [`Season::sprays`].
    pub sprays: Vec<usize>,
    /// Blocks.
    pub blocks: Vec<BlockId>,
}

/// What is known of a season, for the one after it.
#[derive(Debug, Default)]
pub struct Known {
    /// What follows from each spray, with where its entry begins.
    sprays: Vec<(u32, SprayFacts)>,
    /// The checks that find nothing on each block.
    blocks: Vec<Quiet>,
    /// For each of [`Besides`], the checks that judge by it.
    besides: [Quiet; Besides::COUNT],
}

impl Known {
    /// Of a season that was checked.
    pub fn of(season: Season<'_>, noted: &[Noted]) -> Self {
        let Season { journal, mut sprays, mut quiet_on, quiet_by: mut besides, .. } = season;
        for Noted { check, besides: by, sprays: quiet, blocks } in noted {
            by.iter().for_each(|by| besides[*by as usize].note(*check));
            quiet.iter().for_each(|&at| sprays[at].quiet.note(*check));
            blocks.iter().for_each(|block| quiet_on[block.index()].note(*check));
        }
        let entry = |facts: &SprayFacts| facts.spray(journal).at.entry.start;
        Self { sprays: sprays.into_iter().map(|facts| (entry(&facts), facts)).collect(), blocks: quiet_on, besides }
    }

    /// Forgets what followed from entries that changed: those of a stretch of the text, which are and were about some
    /// blocks and of some kinds.
    pub fn forget_entries(&mut self, stretch: Span, blocks: &[BlockId], kinds: &[EntryWord]) {
        self.sprays.retain(|(entry, _)| !(stretch.start..stretch.end).contains(entry));
        self.ask_about(blocks);
        if kinds.contains(&EntryWord::Calibrate) {
            self.ask_by(Besides::Calibrations);
        }
        if kinds.contains(&EntryWord::Weather) {
            self.ask_by(Besides::Weather);
        }
    }

    /// Forgets what follows from something that is declared, in a journal in which it is changed already.
    pub fn forget_declared(&mut self, journal: &Journal, changed: Changed) {
        let follows = |entry: u32, facts: &SprayFacts| {
            let found = journal.sprays.binary_search_by_key(&entry, |spray| spray.at.entry.start);
            let Some(spray) = found.ok().map(|at| &journal.sprays[at]) else { return true };
            match changed {
                Changed::Block(block) => facts.touched.iter().any(|touched| touched.block == block),
                Changed::Mix(mix) => spray.mix.is_some_and(|used| used.mix.id == Some(mix)),
                Changed::Rig(rig) => spray.rig.is_some_and(|used| used.id == Some(rig)),
                Changed::Material(material) => holds(journal, facts, spray, material),
                Changed::Limits | Changed::Other => false,
            }
        };
        if changed == Changed::Limits {
            return self.ask_by(Besides::Limits);
        }
        let mut blocks: Vec<BlockId> = Vec::new();
        self.sprays.retain(|(entry, facts)| {
            let follows = follows(*entry, facts);
            if follows {
                blocks.extend(facts.touched.iter().map(|touched| touched.block));
            }
            !follows
        });
        match changed {
            Changed::Block(block) => blocks.push(block),
            Changed::Material(_) => self.ask_by(Besides::Materials),
            _ => {}
        }
        self.ask_about(&blocks);
    }

    /// Forgets that the checks that judge by something found nothing.
    fn ask_by(&mut self, by: Besides) {
        let checks = self.besides[by as usize];
        self.sprays.iter_mut().for_each(|(_, facts)| facts.quiet.forget(checks));
        self.blocks.iter_mut().for_each(|quiet| quiet.forget(checks));
    }

    /// Forgets that nothing was found on some blocks.
    fn ask_about(&mut self, blocks: &[BlockId]) {
        for block in blocks {
            if let Some(quiet) = self.blocks.get_mut(block.index()) {
                *quiet = Quiet::default();
            }
        }
    }

    /// What is known of the sprays that a journal still holds, each with its place in the journal's list; of its blocks; and
    /// what checks judge by.
    pub(super) fn of_journal(self, journal: &Journal) -> (Vec<SprayFacts>, Vec<Quiet>, [Quiet; Besides::COUNT]) {
        let sprays = self.sprays.into_iter().filter_map(|(entry, mut facts)| {
            facts.index = journal.sprays.binary_search_by_key(&entry, |spray| spray.at.entry.start).ok()?;
            Some(facts)
        });
        let mut blocks = self.blocks;
        blocks.resize(journal.blocks.len(), Quiet::default());
        (sprays.collect(), blocks, self.besides)
    }
}

/// Whether a spray, its mix or a batch in it names a material.
fn holds(journal: &Journal, facts: &SprayFacts, spray: &Spray, material: MaterialId) -> bool {
    let mix = spray.mix.and_then(|used| used.mix.id).map(|mix| &journal.mix(mix).puts);
    let brews = || spray.batches.iter().filter_map(|batch| batch.id).map(|brew| journal.brew(brew));
    let puts = mix.into_iter().flatten().chain(&spray.puts).chain(brews().flat_map(|brew| &brew.puts));
    let measured = spray.measured.iter().chain(spray.loads.iter().flat_map(|load| &load.portions));
    let mut named = puts.map(|put| put.material).chain(measured.map(|measured| measured.material));
    facts.doses.iter().any(|dose| dose.material == material)
        || named.any(|named| named.id == Some(material))
        || brews().any(|brew| brew.material.is_some_and(|of| of.id == Some(material)))
}
