//! Who may go into a block and whether it may be picked, at a moment, by every interval that the journal holds. People are
//! kept out for the longest re-entry interval of a tank from the end of the spray; nothing is picked before people may go
//! in, nor before the harvest intervals for the crop are over (re-entry overrides a shorter harvest interval: Washington
//! State University, Tree Fruit, "Entry and pre-harvest intervals"). Where an interval is not written, nothing is clear.

use std::cmp::Reverse;

use super::row_parts::{RowPart, RowParts, RowRun};
use super::{Moment, Rows, Season, reentry_after, rows_of, undeclared};
use crate::journal::{BlockId, BrewId, Ground, MaterialId, PickedRows};
use crate::text::Span;

/// For how many seconds a spray without an interval on record keeps a block from being known as clear: a year. That no
/// label's interval is longer is an assumption, to be printed.
pub const UNKNOWN_FOR: i64 = 365 * 86_400;

/// What came onto a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Treated {
    /// A spray of it, as a place in [`Season::sprays`].
    Spray(usize),
    /// What was left in the tank of a spray.
    Leftover(usize),
    /// The rinse water of a sprayer, as a place in [`Season::rinses`].
    Rinse(usize),
    /// What a line may say that is not read, as a place in [`Season::unread`].
    Unread(usize),
}

impl Treated {
    /// The sprays whose tanks it came from, as places in [`Season::sprays`].
    pub fn sprays<'s>(&'s self, season: &'s Season<'_>) -> &'s [usize] {
        match self {
            Treated::Spray(at) | Treated::Leftover(at) => std::slice::from_ref(at),
            Treated::Rinse(at) => &season.rinses[*at].sprays,
            Treated::Unread(_) => &[],
        }
    }

    /// What a rest of a tank says that the spray itself says, too, is said once.
    fn once(self) -> Self {
        match self {
            Treated::Leftover(at) => Treated::Spray(at),
            other => other,
        }
    }
}

/// By what a block is closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rule {
    /// It is being sprayed.
    Spraying,
    /// The re-entry interval that stands here.
    Reentry(Span),
    /// The harvest interval that stands here.
    Preharvest(Span),
    /// A rulebook's wait, as it is cited.
    Asked(String),
}

/// One interval that runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Why {
    /// When it ends: the first moment at which it no longer holds.
    pub until: Moment,
    /// What it runs from.
    pub treated: Treated,
    /// Which material set it; absent while spraying.
    pub material: Option<MaterialId>,
    /// The home-made batch that the material went into, where it came with one.
    pub batch: Option<BrewId>,
    /// Where it is set.
    pub rule: Rule,
    /// The end that it is counted from.
    pub end: Moment,
    /// Whether that end is assumed.
    pub end_assumed: bool,
}

/// What keeps a block from being known as clear.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gap {
    /// What came onto the block.
    pub treated: Treated,
    /// What is not known of it.
    pub what: Unknown,
}

/// What is not known of something that came onto a block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// No re-entry interval is written for a material.
    Reentry(MaterialId),
    /// No harvest interval is written for a material and the crop.
    Preharvest(MaterialId),
    /// Something in the tank that nothing declares.
    Undeclared(Span),
    /// What was in the tank.
    Tank,
    /// What was in the sprayer that was rinsed: no spray names it, and this one, a place in [`Season::sprays`], names none.
    Sprayer(usize),
    /// A line of its record, which could not be read.
    Line,
    /// A line of the mix, batch or material named here, which could not be read, or its second declaration.
    Declared(Span),
    /// Whether what is eaten touches the soil: if it does, a rulebook's wait runs until then, as it is cited.
    SoilContact(Moment, String),
}

/// Until when something is closed, and by what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closed {
    /// The first moment at which nothing that is known closes it.
    pub until: Moment,
    /// Every interval that runs, the one that ends last first.
    pub why: Vec<Why>,
}

/// Whether people may enter, or whether it may be picked. Closed and not known can both be so: then it is closed until a
/// moment at least.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct State {
    /// Until when it is closed; absent where nothing that is known closes it.
    pub closed: Option<Closed>,
    /// What is not known; empty where everything is.
    pub not_known: Vec<Gap>,
}

/// A state in a word, the graver one where two hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing closes it, and everything is known.
    Clear,
    /// It is closed.
    Closed,
    /// Nothing that is known closes it, and not everything is known.
    NotKnown,
}

impl State {
    /// In a word.
    pub fn verdict(&self) -> Verdict {
        match (&self.closed, self.not_known.is_empty()) {
            (Some(_), _) => Verdict::Closed,
            (None, true) => Verdict::Clear,
            (None, false) => Verdict::NotKnown,
        }
    }

    fn of(mut why: Vec<Why>, not_known: Vec<Gap>) -> Self {
        why.sort_by_key(|why| (Reverse(why.until), why.treated));
        let closed = why.first().map(|why| why.until).map(|until| Closed { until, why });
        Self { closed, not_known }
    }
}

/// A block, or some of its rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartClearance {
    /// Which rows; empty for all of them.
    pub rows: Vec<RowRun>,
    /// Whether people may enter.
    pub people: State,
    /// Whether it may be picked. What keeps people out keeps pickers out: all of `people` is in here, too.
    pub picking: State,
}

/// A block in as many parts as differ, in the order of its rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BlockClearance {
    /// The block.
    pub block: BlockId,
    /// Its parts; never empty.
    pub parts: Vec<PartClearance>,
}

/// Every block at a moment, in the order of the journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clearance {
    /// The moment.
    pub moment: Moment,
    /// The blocks.
    pub blocks: Vec<BlockClearance>,
}

/// A wait before the harvest that a rulebook asks for after a spray.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleWait {
    /// When it ends.
    pub until: Moment,
    /// Which material it is about.
    pub material: MaterialId,
    /// The rule, as it is cited.
    pub cited: String,
    /// Whether it holds only if what is eaten touches the soil, which the block does not say.
    pub if_touching_soil: bool,
}

/// What closes something, and what is not known of it.
type Held = (Vec<Why>, Vec<Gap>);

/// What something that came onto a block does to it at a moment.
#[derive(Default)]
struct Effect<'j> {
    rows: Rows<'j>,
    /// What keeps everybody out, and what is not known of that.
    people: Held,
    /// What keeps only pickers out.
    picking: Held,
}

impl Clearance {
    /// The clearance at a moment. Sprays that began later do not count. `waits` gives the waits that rulebooks ask for
    /// after a spray on a block, counted from an end.
    pub fn new(season: &Season<'_>, moment: Moment, waits: impl Fn(usize, Moment, BlockId) -> Vec<RuleWait>) -> Self {
        let block = |block| BlockClearance::new(season, block, moment, &waits);
        Self { moment, blocks: (0..season.journal.blocks.len()).map(BlockId::at).map(block).collect() }
    }
}

impl BlockClearance {
    /// A block at a moment, as in [`Clearance::new`].
    pub fn new(
        season: &Season<'_>,
        block: BlockId,
        moment: Moment,
        waits: impl Fn(usize, Moment, BlockId) -> Vec<RuleWait>,
    ) -> Self {
        Self { block, parts: parts(season, block, moment, &waits) }
    }
}

/// A block in as many parts as differ.
fn parts(
    season: &Season<'_>,
    block: BlockId,
    moment: Moment,
    waits: &impl Fn(usize, Moment, BlockId) -> Vec<RuleWait>,
) -> Vec<PartClearance> {
    let effects = effects(season, block, moment, waits);
    let mut cut: RowParts<()> = RowParts::default();
    for effect in &effects {
        cut.on(effect.rows, |()| {});
    }
    let layout = season.journal.block(block).layout.as_ref().map(|layout| layout.rows.as_slice());
    let mut found: Vec<(Vec<RowPart>, State, State)> = Vec::new();
    for (part, ()) in cut.iter() {
        let here = || effects.iter().filter(move |effect| part.meets(effect.rows));
        // Rows that the block does not have say nothing, unless a record names them.
        let named = || here().any(|effect| matches!(effect.rows, Some(PickedRows::Listed(_))));
        if part.among(layout).is_empty() && !named() {
            continue;
        }
        let (people, picking) = states(season, here());
        let same = |known: &&mut (Vec<RowPart>, State, State)| {
            alike(season, &known.1, &people) && alike(season, &known.2, &picking)
        };
        match found.iter_mut().find(same) {
            Some((parts, ..)) => parts.push(part),
            None => found.push((vec![part], people, picking)),
        }
    }
    let whole = found.len() == 1;
    let mut parts: Vec<PartClearance> = found
        .into_iter()
        .map(|(parts, people, picking)| {
            let rows = if whole { Vec::new() } else { runs(RowPart::joined(parts), layout) };
            PartClearance { rows, people, picking }
        })
        .collect();
    if parts.is_empty() {
        parts.push(PartClearance { rows: Vec::new(), people: State::default(), picking: State::default() });
    }
    parts.sort_by_key(|part| part.rows.first().map(|run| run.first));
    parts
}

/// Rows to print: those of the block, and those that it does not have as they were named.
fn runs(parts: Vec<RowPart>, layout: Option<&[(u32, u32)]>) -> Vec<RowRun> {
    let one = |part: &RowPart| {
        let runs = part.among(layout);
        if runs.is_empty() { part.among(None) } else { runs }
    };
    parts.iter().flat_map(one).collect()
}

/// The states of a part by all that came onto it.
fn states<'e, 'j: 'e>(season: &Season<'_>, here: impl Iterator<Item = &'e Effect<'j>>) -> (State, State) {
    let (mut people, mut picking): (Held, Held) = Default::default();
    for effect in here {
        add(season, &mut people, &effect.people);
        add(season, &mut picking, &effect.people);
        add(season, &mut picking, &effect.picking);
    }
    (State::of(people.0, people.1), State::of(picking.0, picking.1))
}

/// Adds what is not there yet: the rest of a tank that came onto the rows of its own spray says nothing new, and of what
/// is not known the latest that asks for it is enough.
fn add(season: &Season<'_>, to: &mut Held, more: &Held) {
    let key = |why: &Why| (why.treated.once(), why.until, why.material);
    for why in &more.0 {
        if !to.0.iter().any(|known| key(known) == key(why) && known.rule == why.rule) {
            to.0.push(why.clone());
        }
    }
    for gap in &more.1 {
        match to.1.iter_mut().find(|known| asks_the_same(season, &known.what, &gap.what)) {
            Some(known) if known.treated.once() == gap.treated.once() => {}
            Some(known) => *known = gap.clone(),
            None => to.1.push(gap.clone()),
        }
    }
}

/// Whether two things that are not known are one question.
fn asks_the_same(season: &Season<'_>, one: &Unknown, other: &Unknown) -> bool {
    use Unknown::{SoilContact, Sprayer, Undeclared};
    match (one, other) {
        // One name is told once, wherever it stands.
        (Undeclared(one), Undeclared(other)) => season.words(*one).eq_ignore_ascii_case(season.words(*other)),
        (Sprayer(_), Sprayer(_)) => true,
        (SoilContact(_, one), SoilContact(_, other)) => one == other,
        _ => one == other,
    }
}

/// Whether two states are told alike: closed by the same, and not known for the same questions.
fn alike(season: &Season<'_>, one: &State, other: &State) -> bool {
    let asked = |gap: &Gap| other.not_known.iter().any(|known| asks_the_same(season, &known.what, &gap.what));
    one.closed == other.closed && one.not_known.len() == other.not_known.len() && one.not_known.iter().all(asked)
}

/// Everything that came onto a block by a moment and still does something to it.
fn effects<'j>(
    season: &Season<'j>,
    block: BlockId,
    moment: Moment,
    waits: &impl Fn(usize, Moment, BlockId) -> Vec<RuleWait>,
) -> Vec<Effect<'j>> {
    let journal = season.journal;
    let sprays = &season.by_block[block.index()];
    let begun = sprays.partition_point(|&at| season.sprays[at].start.seconds <= moment.seconds);
    let came = sprays[..begun].iter().flat_map(|&at| {
        let spray = season.sprays[at].spray(journal);
        let leftover = spray.leftover.as_ref().map(|leftover| (Treated::Leftover(at), &leftover.ground));
        [(Treated::Spray(at), &spray.ground)].into_iter().chain(leftover)
    });
    let rinses = &season.rinsed[block.index()];
    let begun = rinses.partition_point(|&at| season.rinses[at].start.seconds <= moment.seconds);
    let rinsed =
        rinses[..begun].iter().filter_map(|&at| Some((Treated::Rinse(at), season.rinses[at].ground(journal)?)));
    let here = |(_, ground): &(Treated, &Ground)| ground.blocks.iter().any(|named| named.id == Some(block));
    let effects = came
        .chain(rinsed)
        .filter(here)
        .map(|(treated, ground)| Effect { rows: rows_of(ground), ..effect(season, treated, block, moment, waits) });
    let empty = |(why, gaps): &Held| why.is_empty() && gaps.is_empty();
    let unread = season.unread_on[block.index()].iter().filter(|&&at| {
        let (first, last) = season.unread[at].day;
        first.seconds <= moment.seconds && moment.seconds.saturating_sub(last.seconds) < UNKNOWN_FOR
    });
    let unread = unread.map(|&at| {
        let gap = Gap { treated: Treated::Unread(at), what: Unknown::Line };
        Effect { people: (Vec::new(), vec![gap]), ..Effect::default() }
    });
    effects.filter(|effect| !empty(&effect.people) || !empty(&effect.picking)).chain(unread).collect()
}

fn effect<'j>(
    season: &Season<'j>,
    treated: Treated,
    block: BlockId,
    moment: Moment,
    waits: &impl Fn(usize, Moment, BlockId) -> Vec<RuleWait>,
) -> Effect<'j> {
    let (end, end_assumed) = match treated {
        Treated::Spray(at) | Treated::Leftover(at) => (season.sprays[at].end, season.sprays[at].end_assumed),
        Treated::Rinse(at) => (season.rinses[at].end, season.rinses[at].end_assumed),
        Treated::Unread(at) => (season.unread[at].day.1, true),
    };
    let end = match treated {
        Treated::Spray(at) | Treated::Leftover(at) => {
            season.latest_end(&season.sprays[at].spray(season.journal).sessions, end)
        }
        Treated::Rinse(at) => season.latest_end(&season.rinses[at].cleaning(season.journal).sessions, end),
        Treated::Unread(_) => end,
    };
    let mut effect = Effect::default();
    let crop = season.crop(block);
    let why = |until, material, rule| Why { until, treated, material, batch: None, rule, end, end_assumed };
    let recent = moment.seconds.saturating_sub(end.seconds) < UNKNOWN_FOR;
    let gap = |what| Gap { treated, what };
    let sprays = treated.sprays(season);
    effect.people.0.extend((!sprays.is_empty()).then(|| why(end, None, Rule::Spraying)));
    if let Treated::Rinse(at) = treated
        && recent
    {
        effect.people.1.extend(season.rinses[at].unnamed.map(|spray| gap(Unknown::Sprayer(spray))));
        effect.people.1.extend(season.rinses[at].unfilled.then(|| gap(Unknown::Tank)));
    }
    for &at in sprays {
        let facts = &season.sprays[at];
        for dose in &facts.doses {
            let material = season.journal.material(dose.material);
            match material.reentry {
                Some(stated) => {
                    let until = reentry_after(&season.zone, end, stated.value);
                    effect
                        .people
                        .0
                        .extend(until.map(|until| why(until, Some(dose.material), Rule::Reentry(stated.span))));
                }
                None => effect.people.1.extend(recent.then(|| gap(Unknown::Reentry(dose.material)))),
            }
            match season.harvest_wait(dose.material, crop, end) {
                Some((interval, until)) => {
                    let rule = || Rule::Preharvest(interval.span);
                    effect.picking.0.extend(until.map(|until| why(until, Some(dose.material), rule())));
                }
                None => effect.picking.1.extend(recent.then(|| gap(Unknown::Preharvest(dose.material)))),
            }
            // The line for all crops may be shorter than the one for this crop.
            let by_crop = || material.preharvest.iter().any(|interval| !interval.crops.is_empty());
            if recent && crop.is_none() && by_crop() {
                effect.picking.1.push(gap(Unknown::Preharvest(dose.material)));
            }
            if recent && material.preharvest_lost {
                effect.picking.1.push(gap(Unknown::Declared(material.named.span)));
            }
        }
        // What was brewed is still in the tank. Where no interval is written for an ingredient, the batch's own material
        // speaks for it.
        for (batch, id) in season.brewed(facts) {
            let material = season.journal.material(id);
            let of = |why: Why| Why { batch: Some(batch), ..why };
            let reentry = material.reentry.and_then(|stated| {
                let until = reentry_after(&season.zone, end, stated.value)?;
                Some(of(why(until, Some(id), Rule::Reentry(stated.span))))
            });
            effect.people.0.extend(reentry);
            if let Some((interval, Some(until))) = season.harvest_wait(id, crop, end) {
                effect.picking.0.push(of(why(until, Some(id), Rule::Preharvest(interval.span))));
            }
            if recent && material.preharvest_lost {
                effect.picking.1.push(gap(Unknown::Declared(material.named.span)));
            }
        }
        for wait in waits(at, end, block) {
            if !wait.if_touching_soil {
                effect.picking.0.push(why(wait.until, Some(wait.material), Rule::Asked(wait.cited)));
            } else if moment.seconds < wait.until.seconds {
                effect.picking.1.push(gap(Unknown::SoilContact(wait.until, wait.cited)));
            }
        }
        if recent {
            let spray = facts.spray(season.journal);
            let undeclared = undeclared(season.journal, spray);
            if undeclared.is_empty() && facts.doses.is_empty() {
                effect.people.1.push(gap(Unknown::Tank));
            }
            effect.people.1.extend(undeclared.into_iter().map(|span| gap(Unknown::Undeclared(span))));
            if season.has_unread_line(spray.at.entry) || spray.time_lost {
                effect.people.1.push(gap(Unknown::Line));
            }
            let in_batches = season.undeclared_in_batches(facts);
            effect.people.1.extend(in_batches.map(|span| gap(Unknown::Undeclared(span))));
            effect.people.1.extend(season.half_read(facts).map(|span| gap(Unknown::Declared(span))));
        }
    }
    // A wait that ends with the spray itself says nothing more than that.
    let runs = |why: &Why| {
        moment.seconds < why.until.seconds && (why.rule == Rule::Spraying || end.seconds < why.until.seconds)
    };
    effect.people.0.retain(runs);
    effect.picking.0.retain(runs);
    effect
}
