//! What is known of one season of a farm, for the one after it: what follows from each spray alone, and where which
//! checks found nothing.

use rayon::prelude::*;

use super::{Dose, Season, SprayFacts};
use crate::journal::{BlockId, Changed, Declared, Journal, MaterialId, Spray};
use crate::syntax::EntryWord;
use crate::text::Span;

/// Some of the checks, each by its number below [`Quiet::MOST`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Quiet(u128);

impl Quiet {
    /// How many checks can be told apart.
    pub const MOST: usize = u128::BITS as usize;
    const ALL: Quiet = Quiet(u128::MAX);

    /// Whether a check is one of them.
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

/// What a check judges a spray by besides its own entry, or a block besides the records of it.
#[derive(Clone, Copy, Debug, Default)]
pub struct By {
    /// Entries of these kinds, where the spray names them.
    pub named: &'static [EntryWord],
    /// What follows from the spray.
    pub facts: &'static [Fact],
    /// Entries of these kinds, whichever they are.
    pub any: &'static [EntryWord],
}

/// Something that follows from a spray, its mix, its blocks and its materials.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fact {
    /// Which materials were in the tank, and until when nobody may enter.
    Materials,
    /// How much of each.
    Amounts,
    /// The finished volume.
    Volume,
    /// The area.
    Area,
}

impl Fact {
    const ALL: [Fact; 4] = [Fact::Materials, Fact::Amounts, Fact::Volume, Fact::Area];

    /// Whether it is the same of a spray that was worked out twice.
    fn same(self, one: &SprayFacts, other: &SprayFacts) -> bool {
        fn each<T: PartialEq>(one: &[Dose], other: &[Dose], of: impl Fn(&Dose) -> T) -> bool {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| of(one) == of(other))
        }
        let (doses, others) = (&one.doses, &other.doses);
        match self {
            Fact::Materials => {
                let hold = |facts: &SprayFacts| facts.reentry.map(|hold| (hold.until, hold.material));
                each(doses, others, |dose| dose.material) && hold(one) == hold(other)
            }
            Fact::Amounts => each(doses, others, |dose| {
                (dose.expected, dose.measured.map(|measured| measured.value), dose.rate, dose.times)
            }),
            Fact::Volume => one.finished == other.finished,
            Fact::Area => one.area == other.area && one.touched == other.touched,
        }
    }
}

/// Where a check found nothing.
#[derive(Clone, Debug, Default)]
pub struct Noted {
    /// The check's number.
    pub check: usize,
    /// What it judges sprays and blocks by.
    pub by: Vec<By>,
    /// Sprays, as places in [`Season::sprays`], where it looked at sprays.
    pub sprays: Option<Vec<usize>>,
    /// Blocks, where it looked at blocks.
    pub blocks: Option<Vec<BlockId>>,
    /// Kinds of entries, all that there are of them together.
    pub among: Vec<&'static [EntryWord]>,
}

/// For each kind of entry, some of the checks.
type ByKind = [Quiet; EntryWord::ALL.len()];
/// For each fact, some of the checks.
type ByFact = [Quiet; Fact::ALL.len()];

/// Where which checks are known to find nothing.
#[derive(Debug, Default)]
pub struct Silence {
    sprays: Vec<Quiet>,
    blocks: Vec<Quiet>,
    among: Vec<(usize, &'static [EntryWord])>,
    /// The checks that judge by what sprays name, by its kind.
    by_named: ByKind,
    /// The checks that judge by what follows from sprays.
    by_fact: ByFact,
    /// The checks that judge by anything of a kind.
    by_any: ByKind,
}

impl Silence {
    /// For each spray, as places in [`Season::sprays`], the checks that find nothing in it.
    pub fn in_sprays(&self) -> &[Quiet] {
        &self.sprays
    }

    /// Whether a check finds nothing on a block.
    pub fn on_block(&self, check: usize, block: BlockId) -> bool {
        self.blocks[block.index()].holds(check)
    }

    /// Whether a check finds nothing among all entries of some kinds.
    pub fn is_among(&self, check: usize, kinds: &'static [EntryWord]) -> bool {
        self.among.contains(&(check, kinds))
    }

    fn forget_on(&mut self, blocks: &[BlockId], checks: Quiet) {
        for block in blocks {
            if let Some(quiet) = self.blocks.get_mut(block.index()) {
                quiet.forget(checks);
            }
        }
    }

    /// Takes over what is known of each spray.
    pub(super) fn over(&mut self, sprays: &[SprayFacts]) {
        self.sprays = sprays.iter().map(|facts| facts.quiet).collect();
    }
}

/// What is known of a season, for the one after it.
#[derive(Debug, Default)]
pub struct Known {
    /// What follows from each spray, in the order of time.
    sprays: Vec<SprayFacts>,
    /// How many sprays the journal holds.
    count: usize,
    silence: Silence,
}

impl Known {
    /// Of a season that was checked.
    pub fn of(season: Season<'_>, noted: &[Noted]) -> Self {
        let Season { journal, mut sprays, mut silence, .. } = season;
        silence.among.clear();
        for Noted { check, by, sprays: quiet, blocks, among } in noted {
            for By { named, facts, any } in by {
                named.iter().for_each(|&kind| silence.by_named[kind as usize].note(*check));
                facts.iter().for_each(|&fact| silence.by_fact[fact as usize].note(*check));
                any.iter().for_each(|&kind| silence.by_any[kind as usize].note(*check));
            }
            quiet.iter().flatten().for_each(|&at| sprays[at].quiet.note(*check));
            blocks.iter().flatten().for_each(|block| silence.blocks[block.index()].note(*check));
            silence.among.extend(among.iter().map(|&kinds| (*check, kinds)));
        }
        Self { sprays, count: journal.sprays.len(), silence }
    }

    /// Forgets what followed from entries that changed, in a journal in which they are changed already: those of a stretch
    /// of the text, which are and were about some blocks and of some kinds.
    pub fn forget_entries(&mut self, journal: &Journal, stretch: Span, blocks: &[BlockId], kinds: &[EntryWord]) {
        let up_to = |place: u32| journal.sprays.partition_point(|spray| spray.at.entry.start < place);
        let (before, after) = (up_to(stretch.start), journal.sprays.len() - up_to(stretch.end));
        let (old, new) = (self.count, journal.sprays.len());
        // The journal's list is the same before the stretch, and behind it.
        let still = |index: &mut usize| match *index {
            index if index < before => true,
            behind if behind + after >= old => {
                *index = behind + new - old;
                true
            }
            _ => false,
        };
        self.sprays.retain_mut(|facts| still(&mut facts.index));
        self.count = new;
        self.silence.forget_on(blocks, Quiet::ALL);
        self.ask_by(kinds);
    }

    /// Forgets what followed from there being no record of some kind, where one may have come or gone: what is found among
    /// all of them, and by any spray.
    pub fn forget_unclear(&mut self) {
        self.silence.among.clear();
        self.ask_by(&[EntryWord::Spray]);
    }

    /// Forgets what followed from something that is declared, in a journal in which it is changed already.
    pub fn forget_declared(&mut self, journal: &Journal, changed: Changed) {
        self.ask_by(&[changed.kind]);
        let Some(what) = changed.what else { return };
        let named = self.silence.by_named[changed.kind as usize];
        let mut blocks: Vec<BlockId> = match what {
            Declared::Block(block) => vec![block],
            _ => Vec::new(),
        };
        let follows = matches!(what, Declared::Block(_) | Declared::Material(_) | Declared::Mix(_));
        for facts in &mut self.sprays {
            if names(journal, facts, what) {
                facts.quiet.forget(named);
                facts.stale |= follows;
                blocks.extend(facts.touched.iter().map(|touched| touched.block));
            }
        }
        self.silence.forget_on(&blocks, named);
    }

    /// Forgets that nothing was found by anything of some kinds.
    fn ask_by(&mut self, kinds: &[EntryWord]) {
        let Silence { blocks, among, by_any, .. } = &mut self.silence;
        among.retain(|(_, read)| !read.iter().any(|kind| kinds.contains(kind)));
        let checks = Quiet(kinds.iter().fold(0, |all, &kind| all | by_any[kind as usize].0));
        if checks != Quiet::default() {
            self.sprays.iter_mut().for_each(|facts| facts.quiet.forget(checks));
            blocks.iter_mut().for_each(|quiet| quiet.forget(checks));
        }
    }

    /// What follows from each spray, in the order of time, of those of which it is known, worked out again where it may be
    /// otherwise; the others, as places in the journal's list; and where nothing is found.
    pub(super) fn of_journal(
        self,
        journal: &Journal,
        work_out: impl Fn(usize) -> SprayFacts + Sync,
    ) -> (Vec<SprayFacts>, Vec<usize>, Silence) {
        let Self { mut sprays, mut silence, .. } = self;
        silence.blocks.resize(journal.blocks.len(), Quiet::default());
        let by_fact = silence.by_fact;
        let again = sprays.par_iter_mut().filter(|facts| facts.stale).map(|facts| {
            let new = work_out(facts.index);
            let other = Fact::ALL.iter().filter(|fact| !fact.same(facts, &new));
            let checks = Quiet(other.fold(0, |all, &fact| all | by_fact[fact as usize].0));
            let old = std::mem::replace(facts, SprayFacts { quiet: facts.quiet, ..new });
            facts.quiet.forget(checks);
            let touched = old.touched.iter().chain(&facts.touched).map(|touched| touched.block);
            (checks, if checks == Quiet::default() { Vec::new() } else { touched.collect() })
        });
        let again: Vec<(Quiet, Vec<BlockId>)> = again.collect();
        again.iter().for_each(|(checks, blocks)| silence.forget_on(blocks, *checks));
        let mut known = vec![false; journal.sprays.len()];
        sprays.iter().for_each(|facts| known[facts.index] = true);
        let others = (0..known.len()).filter(|&index| !known[index]).collect();
        (sprays, others, silence)
    }
}

/// Whether a spray, its mix or a batch in it names something.
fn names(journal: &Journal, facts: &SprayFacts, what: Declared) -> bool {
    let spray = facts.spray(journal);
    match what {
        Declared::Block(block) => facts.touched.iter().any(|touched| touched.block == block),
        Declared::Mix(mix) => spray.mix.is_some_and(|used| used.mix.id == Some(mix)),
        Declared::Rig(rig) => spray.rig.is_some_and(|used| used.id == Some(rig)),
        Declared::Water(water) => spray.water.is_some_and(|used| used.id == Some(water)),
        Declared::Person(person) => {
            let signed = spray.signed.iter().flat_map(|signed| &signed.by);
            spray.by.iter().chain(&spray.authorised).chain(signed).any(|one| one.id == Some(person))
        }
        Declared::Material(material) => holds(journal, facts, spray, material),
    }
}

/// Whether a spray, its mix or a batch in it names a material.
fn holds(journal: &Journal, facts: &SprayFacts, spray: &Spray, material: MaterialId) -> bool {
    if facts.doses.iter().any(|dose| dose.material == material) {
        return true;
    }
    let mix = spray.mix.and_then(|used| used.mix.id).map(|mix| &journal.mix(mix).puts);
    let brews = || spray.batches.iter().filter_map(|batch| batch.id).map(|brew| journal.brew(brew));
    let puts = mix.into_iter().flatten().chain(&spray.puts).chain(brews().flat_map(|brew| &brew.puts));
    let measured = spray.measured.iter().chain(spray.loads.iter().flat_map(|load| &load.portions));
    let mut named = puts.map(|put| put.material).chain(measured.map(|measured| measured.material));
    named.any(|named| named.id == Some(material))
        || brews().any(|brew| brew.material.is_some_and(|of| of.id == Some(material)))
}
