//! What follows from a journal: moments, doses, areas, re-entry and harvest intervals, rounds. Knows nothing of rules
//! and messages.

mod anchors;
mod bloom;
mod board;
mod calibrations;
mod clearance;
mod clock;
mod corrections;
mod ground;
mod lost;
mod order;
mod output_ways;
mod quiet;
mod rain;
mod rinses;
mod rounds;
mod row_parts;
mod rows;
mod stock;
mod tank;
mod unread;

use std::sync::OnceLock;

use chrono::{Days, NaiveDate};
use rayon::prelude::*;

pub use anchors::{Anchors, CodeSeen};
pub use bloom::{BloomRecord, BloomSeen, stage_is_bloom};
pub use board::{Board, Change, Log, Stood, sheets_in_turn, signs_standing};
pub use calibrations::{Calibrations, Measured};
pub use clearance::{
    BlockClearance, Clearance, Closed, Gap, PartClearance, Rule, RuleWait, State, Treated, UNKNOWN_FOR, Unknown,
    Verdict, Why,
};
pub use clock::{ClockChange, ClockFit, Moment, Zone};
pub use corrections::{Corrections, Explained, Tracked, grounds, holds_words, tracked};
pub use ground::{
    Planted, Touched, block_area, blocks_of, expected_area, planted, row_share, share_on, share_put_down, shares_on,
    touched, treated_area,
};
pub use order::{Addition, Group, OrderBy, Turn, addition};
pub use output_ways::{Method, Way, Worked, ground_speed, nozzles, per_minute, rated_flow, total_flow};
pub use quiet::{By, Fact, Known, Noted, Quiet, Silence};
pub use rain::{NextDue, Rain, Rained};
pub use rinses::Rinse;
pub use rounds::{Due, RoundStep, Run, Taken, due_after, pause};
pub use row_parts::{RowPart, RowParts, RowRun};
pub use rows::{ByRows, Rows, disjoint, rows_of, rows_treated};
pub use stock::{
    Cause, Cost, Counted, Draw, Lot, LotLeft, LotOrigin, Lots, MaterialStock, Move, Shelf as StockShelf, Stock,
    cost_of, lot_key, price, worth,
};
pub use tank::{
    Contribution, Dose, Recipe, RecipePart, TotalKind, add, contributions, counts_for, doses, finished_volume, like,
    limit_for, load_totals, may_count, recipe, recipe_contributions, strength, total_kind, undeclared, weighed,
};

pub use unread::UnreadGround;

use crate::history::History;
use crate::journal::{BlockId, BrewId, Interval, Journal, MaterialId, Session, Spray, Stated, same_crop};
use crate::quantity::Amount;
use crate::rulebook::Shelf;
use crate::syntax::EntryWord;
use crate::text::{Sources, Span};

/// A journal with what follows from it.
#[derive(Debug)]
pub struct Season<'j> {
    /// The journal.
    pub journal: &'j Journal,
    /// Its text.
    pub sources: &'j Sources,
    /// The farm's time zone.
    pub zone: Zone,
    /// The rulebooks at hand.
    pub shelf: &'j Shelf,
    /// What git shows of the journal, if it was asked.
    pub history: Option<&'j History>,
    /// The day that counts as today, if one was given.
    pub as_of: Option<NaiveDate>,
    /// Every spray, in the order of time.
    pub sprays: Vec<SprayFacts>,
    /// For each block, its sprays (leftovers put on it included) as places in `sprays`, in the order of time.
    pub by_block: Vec<Vec<usize>>,
    /// Rinse water put on blocks, in the order of time.
    pub rinses: Vec<Rinse>,
    /// For each block, the rinse water put on it, as places in `rinses`, in the order of time.
    pub rinsed: Vec<Vec<usize>>,
    /// What may have come onto blocks by lines that are not read, in the order of time.
    pub unread: Vec<UnreadGround>,
    /// For each block, the places of its own in `unread`.
    pub unread_on: Vec<Vec<usize>>,
    /// For each mix, what its recipe comes to.
    pub recipes: Vec<Recipe>,
    /// Programs on blocks.
    pub runs: Vec<Run>,
    /// What programs wait for, by block.
    pub anchors: Anchors,
    /// The rain that was written down, where some rule asks for it.
    pub rain: Rain,
    /// Work and picks in blocks, in the order of time.
    pub entries: Vec<BlockEntry>,
    /// Sheets and signs.
    pub board: Board<'j>,
    /// Sprayers measured.
    pub calibrations: Calibrations<'j>,
    /// Where which checks are known to find nothing.
    pub silence: Silence,
    lost: lost::Lost,
    stock: OnceLock<Stock>,
    /// For each mix, one block of every crop that it was sprayed on, in the order of time.
    mixes_on: OnceLock<Vec<Vec<BlockId>>>,
}

/// What follows from one spray.
#[derive(Debug)]
pub struct SprayFacts {
    /// Its place in the journal's list.
    pub index: usize,
    /// When it began; the start of the day where no time is written.
    pub start: Moment,
    /// When it ended: the end of its last session, or the end of the day where none is written.
    pub end: Moment,
    /// Whether the end is assumed.
    pub end_assumed: bool,
    /// The finished volume.
    pub finished: Option<Amount>,
    /// The area, all blocks together.
    pub area: Option<Amount>,
    /// The blocks it touched.
    pub touched: Vec<Touched>,
    /// What was in the tank.
    pub doses: Vec<Dose>,
    /// Until when nobody may enter; the longest of the tank.
    pub reentry: Option<Hold>,
    /// The checks that are known to find nothing in it.
    pub quiet: Quiet,
    /// Whether something changed that it follows from.
    stale: bool,
}

impl SprayFacts {
    /// The spray as written.
    pub fn spray<'j>(&self, journal: &'j Journal) -> &'j Spray {
        &journal.sprays[self.index]
    }
}

/// An interval that runs, and what set it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hold {
    /// When it ends.
    pub until: Moment,
    /// Which material set it.
    pub material: MaterialId,
    /// Where it is set.
    pub span: Span,
}

/// People in a block: work or a pick.
#[derive(Clone, Copy, Debug)]
pub struct BlockEntry {
    /// The block.
    pub block: BlockId,
    /// When it began; the start of the day where no time is written.
    pub start: Moment,
    /// When it ended; the end of the day where none is written.
    pub end: Moment,
    /// Whether a start time was written.
    pub start_written: bool,
    /// Whether the end is assumed.
    pub end_assumed: bool,
    /// Which record.
    pub what: EntryKind,
}

/// Which record brought people into a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EntryKind {
    /// A place in [`Journal::works`].
    Work(usize),
    /// A place in [`Journal::harvests`].
    Harvest(usize),
}

impl<'j> Season<'j> {
    /// Works out a season.
    pub fn new(journal: &'j Journal, sources: &'j Sources, as_of: Option<NaiveDate>) -> Self {
        Self::with_known(journal, sources, as_of, Known::default())
    }

    /// Works out a season of which some is known from an earlier one of the same farm: what may have changed since is
    /// forgotten already.
    pub fn with_known(journal: &'j Journal, sources: &'j Sources, as_of: Option<NaiveDate>, known: Known) -> Self {
        let days = journal.days.iter().map(|day| day.at.day);
        let (first, last) = (days.clone().min().unwrap_or_default(), days.max().unwrap_or_default());
        let zone = journal.farm.as_ref().and_then(|farm| farm.zone).map(|zone| zone.value);
        let zone = Zone::new(zone, first, last);
        let recipes: Vec<Recipe> = journal.mixes.iter().map(|mix| recipe(journal, mix)).collect();
        let work_out = |index: usize| spray_facts(journal, &zone, &recipes, index);
        let (known, others, mut silence) = known.of_journal(journal, work_out);
        let sprays = in_order(journal, sources, known, others.into_par_iter().map(work_out).collect());
        silence.over(&sprays);
        let of_sprays = || {
            let by_block = by_block(journal, &sprays);
            let (rinses, rinsed) = rinses::rinses(journal, sources, &zone, &sprays);
            let anchors = Anchors::new(journal, sources, &sprays);
            let runs = rounds::runs(journal, sources, &sprays, &by_block, &anchors);
            (by_block, rinses, rinsed, anchors, runs)
        };
        let of_rest = || {
            let (unread, nameless) = unread::unread_grounds(journal, sources, &zone);
            let lost = lost::Lost::new(journal, sources, nameless);
            (block_entries(journal, &zone), Board::new(journal, &zone), unread, lost)
        };
        let ((by_block, rinses, rinsed, anchors, runs), (entries, board, unread, lost)) =
            rayon::join(of_sprays, of_rest);
        let mut unread_on: Vec<Vec<usize>> = vec![Vec::new(); journal.blocks.len()];
        for (at, one) in unread.iter().enumerate() {
            one.blocks.iter().for_each(|block| unread_on[block.index()].push(at));
        }
        Self {
            journal,
            sources,
            zone,
            shelf: Shelf::shipped(),
            history: None,
            as_of,
            sprays,
            by_block,
            rinses,
            rinsed,
            unread,
            unread_on,
            recipes,
            runs,
            anchors,
            rain: Rain::new(journal),
            entries,
            board,
            calibrations: Calibrations::new(journal, sources),
            silence,
            lost,
            stock: OnceLock::new(),
            mixes_on: OnceLock::new(),
        }
    }

    /// With what git shows of the journal.
    #[must_use]
    pub fn with_history(self, history: &'j History) -> Self {
        Self { history: Some(history), ..self }
    }

    /// With the farm's own rulebooks at hand, too.
    #[must_use]
    pub fn with_shelf(self, shelf: &'j Shelf) -> Self {
        Self { shelf, ..self }
    }

    /// What came into the shed, what left it and what is there. Worked out when it is first asked for.
    pub fn stock(&self) -> &Stock {
        self.stock.get_or_init(|| Stock::new(self))
    }

    /// Whether anything is written of what came into the shed, or of a lot: without it there is nothing to hold what was
    /// used against.
    pub fn keeps_stock(&self) -> bool {
        let journal = self.journal;
        let of_lots = |spray: &Spray| spray.measured.iter().any(|one| one.lot.is_some()) || !spray.batches.is_empty();
        let known = journal.receipts.len() + journal.brews.len() + journal.counts.len() + journal.discards.len();
        known > 0 || journal.sprays.iter().any(of_lots)
    }

    /// Whether some record of a kind may be missing because something could not be read. Where it may, that there is no
    /// such record says nothing, nor does the time between two.
    pub fn lost(&self, kind: EntryWord) -> bool {
        self.lost.has(kind)
    }

    /// Whether a line of an entry was not read: it cannot be, or stands twice, or the entry itself stands twice. A fact that
    /// seems to be missing from it may stand there.
    pub fn has_unread_line(&self, entry: Span) -> bool {
        self.lost.has_line(entry)
    }

    /// The mix, the batches and the materials of a spray of which a line was not read, each by where its name stands: what
    /// it says may be something more in the tank, or a longer interval.
    pub fn half_read(&self, facts: &SprayFacts) -> impl Iterator<Item = Span> {
        let (journal, spray) = (self.journal, facts.spray(self.journal));
        let mix = spray.mix.and_then(|used| used.mix.id).map(|mix| &journal.mix(mix).named);
        let batches = spray.batches.iter().filter_map(|batch| batch.id).map(|batch| &journal.brew(batch).named);
        let brewed = self.brewed(facts).map(|(_, material)| material);
        let materials = facts.doses.iter().map(|dose| dose.material).chain(brewed);
        let materials = materials.map(|material| &journal.material(material).named);
        let named = mix.into_iter().chain(batches).chain(materials);
        named.filter(|named| self.has_unread_line(named.entry)).map(|named| named.span)
    }

    /// What went into the home-made batches of a spray besides what its own doses are of, with the batch.
    pub fn brewed(&self, facts: &SprayFacts) -> impl Iterator<Item = (BrewId, MaterialId)> {
        let ids = facts.spray(self.journal).batches.iter().filter_map(|batch| batch.id);
        let put = ids.flat_map(|id| {
            let brew = self.journal.brew(id);
            let all = brew.material.iter().chain(brew.puts.iter().map(|put| &put.material));
            all.filter_map(move |material| Some((id, material.id?)))
        });
        put.filter(|(_, material)| facts.doses.iter().all(|dose| dose.material != *material))
    }

    /// Where the batches of a spray, or what went into them, are named and nothing declares them.
    pub fn undeclared_in_batches(&self, facts: &SprayFacts) -> impl Iterator<Item = Span> {
        let batches = &facts.spray(self.journal).batches;
        let unknown = batches.iter().filter(|batch| batch.id.is_none()).map(|batch| batch.span);
        let puts = batches.iter().filter_map(|batch| batch.id).flat_map(|id| &self.journal.brew(id).puts);
        unknown.chain(puts.filter(|put| put.material.id.is_none()).map(|put| put.material.span))
    }

    /// When the next round of a run is due after one on a day, with what rain changed about it.
    pub fn next_due(&self, run: &Run, day: NaiveDate) -> Option<NextDue> {
        self.rain.next_due(self.journal, self.journal.program(run.program), run.block, day)
    }

    /// The words at a span.
    pub fn words(&self, span: Span) -> &'j str {
        self.sources.slice(span)
    }

    /// The crop of a block, in lower case.
    pub fn crop(&self, block: BlockId) -> Option<&'j str> {
        self.journal.block(block).crop.as_ref().map(|crop| &*crop.value)
    }

    /// The crop of every block that a spray touched, each once; `None` stands for a block whose crop is not written.
    pub fn crops_of(&self, facts: &SprayFacts, crops: &mut Vec<Option<&'j str>>) {
        for touched in &facts.touched {
            let crop = self.crop(touched.block);
            if !crops.contains(&crop) {
                crops.push(crop);
            }
        }
    }

    /// For each mix, the crops it was sprayed on, in the order of time. Gathered when it is first asked for.
    pub fn crops_of_mixes(&self) -> Vec<Vec<Option<&'j str>>> {
        let gathered = self.mixes_on.get_or_init(|| {
            let mut on: Vec<Vec<BlockId>> = vec![Vec::new(); self.journal.mixes.len()];
            let mut seen = vec![false; self.journal.mixes.len() * self.journal.blocks.len()];
            for facts in &self.sprays {
                let Some(mix) = facts.spray(self.journal).mix.and_then(|used| used.mix.id) else { continue };
                let known = &mut on[mix.index()];
                for block in facts.touched.iter().map(|touched| touched.block) {
                    let seen = &mut seen[mix.index() * self.journal.blocks.len() + block.index()];
                    if !std::mem::replace(seen, true) && known.iter().all(|&one| self.crop(one) != self.crop(block)) {
                        known.push(block);
                    }
                }
            }
            on
        });
        gathered.iter().map(|blocks| blocks.iter().map(|&block| self.crop(block)).collect()).collect()
    }

    /// The harvest interval of a material for a crop: one for that crop, or else one for all. Of several the longest.
    pub fn preharvest(&self, material: MaterialId, crop: Option<&str>) -> Option<&'j Interval> {
        longest_for(&self.journal.material(material).preharvest, crop)
    }

    /// The harvest interval of a material for a crop that ends last after a spray, and the first moment at which the crop
    /// may be picked by it; `None` in place of that where the label states none. Days on the calendar can end sooner than
    /// fewer hours.
    pub fn harvest_wait(
        &self,
        material: MaterialId,
        crop: Option<&str>,
        end: Moment,
    ) -> Option<(&'j Interval, Option<Moment>)> {
        let all = all_for(&self.journal.material(material).preharvest, crop);
        let waits = all.map(|interval| (interval, self.clear_after(end, interval)));
        waits.reduce(|one, other| if other.1 > one.1 { other } else { one })
    }

    /// The first moment at which a block may be picked after a spray, by one material's harvest interval. What is written
    /// in whole days or weeks is counted on the calendar, the day of the spray being day 0; anything else runs in hours
    /// from the end.
    pub fn clear_after(&self, end: Moment, interval: &Interval) -> Option<Moment> {
        let seconds = interval.time.seconds()?;
        match interval.time.calendar_days() {
            Some(days) => {
                let date = end.local.date().checked_add_days(Days::new(days))?;
                Some(self.zone.start_of(date).max(end))
            }
            _ => Some(self.zone.later(end, i64::try_from(seconds.ceil()).ok()?)),
        }
    }

    /// The latest that sessions may have ended, for what must not be said too soon: where an end is written with a time of
    /// day before the start's, that time on the next day; otherwise the end that is taken for them.
    pub fn latest_end(&self, sessions: &[Session], end: Moment) -> Moment {
        let overnight = sessions.iter().filter_map(|session| {
            let (start, written) = (session.start.local, session.end?);
            let same_day = written.local.date() == start.date() && written.local < start;
            let next = written.local.date().succ_opt().filter(|_| same_day)?.and_time(written.local.time());
            Some(self.zone.moment(next, written.which, true).0)
        });
        overnight.fold(end, Moment::max)
    }

    /// The harvest hold of a spray on a block: the latest of its materials' intervals for the crop, and never before
    /// the re-entry interval is over.
    pub fn harvest_hold(&self, facts: &SprayFacts, block: BlockId) -> Option<Hold> {
        let crop = self.crop(block);
        let by_interval = facts.doses.iter().filter_map(|dose| {
            let (interval, until) = self.harvest_wait(dose.material, crop, facts.end)?;
            Some(Hold { until: until?, material: dose.material, span: interval.span })
        });
        by_interval.chain(facts.reentry).max_by_key(|hold| hold.until)
    }
}

/// The intervals that hold for a crop: those for the crop, or else those for all.
fn all_for<'f>(intervals: &'f [Interval], crop: Option<&str>) -> impl Iterator<Item = &'f Interval> {
    let own =
        move |interval: &Interval| crop.is_some_and(|crop| interval.crops.iter().any(|known| same_crop(known, crop)));
    let any = intervals.iter().any(own);
    intervals.iter().filter(move |interval| if any { own(interval) } else { interval.crops.is_empty() })
}

/// The longest interval that holds for a crop: where two lines disagree, the order in which they stand decides nothing.
pub fn longest_for<'f>(intervals: &'f [Interval], crop: Option<&str>) -> Option<&'f Interval> {
    let longer = |one: &Interval, other: &Interval| other.time.seconds() > one.time.seconds();
    all_for(intervals, crop).reduce(|one, other| if longer(one, other) { other } else { one })
}

/// Whether a rule for some crops, or all, holds for a crop.
pub fn holds_for(crops: &[Box<str>], crop: Option<&str>) -> bool {
    crops.is_empty() || crop.is_some_and(|crop| crops.iter().any(|known| same_crop(known, crop)))
}

/// For each block, the sprays that touched it, as places in the list.
fn by_block(journal: &Journal, sprays: &[SprayFacts]) -> Vec<Vec<usize>> {
    let mut by_block: Vec<Vec<usize>> = vec![Vec::new(); journal.blocks.len()];
    for (at, facts) in sprays.iter().enumerate() {
        for touched in &facts.touched {
            let list = &mut by_block[touched.block.index()];
            if list.last() != Some(&at) {
                list.push(at);
            }
        }
    }
    by_block
}

/// All sprays in the order of time: some that are in order, and others.
fn in_order(
    journal: &Journal,
    sources: &Sources,
    ordered: Vec<SprayFacts>,
    mut others: Vec<SprayFacts>,
) -> Vec<SprayFacts> {
    // Ties are broken by what is written, never by where: the order of files changes nothing.
    let written = |facts: &SprayFacts| {
        let at = facts.spray(journal).at;
        (sources.slice(at.line), sources.slice(at.entry))
    };
    let order = |one: &SprayFacts, other: &SprayFacts| {
        let by_time = (one.start, one.end).cmp(&(other.start, other.end));
        by_time.then_with(|| written(one).cmp(&written(other)))
    };
    others.sort_by(order);
    if others.is_empty() || ordered.is_empty() {
        return if others.is_empty() { ordered } else { others };
    }
    let mut all = Vec::with_capacity(ordered.len() + others.len());
    let (mut ordered, mut others) = (ordered.into_iter().peekable(), others.into_iter().peekable());
    while let (Some(one), Some(other)) = (ordered.peek(), others.peek()) {
        let next = if order(one, other).is_le() { ordered.next() } else { others.next() };
        all.extend(next);
    }
    all.extend(ordered.chain(others));
    all
}

fn spray_facts(journal: &Journal, zone: &Zone, recipes: &[Recipe], index: usize) -> SprayFacts {
    let spray = &journal.sprays[index];
    let recipe = spray.mix.and_then(|used| used.mix.id).map(|mix| &recipes[mix.index()]);
    let touched = touched(journal, spray);
    let area = treated_area(spray, &touched);
    let finished = finished_volume(spray, recipe);
    let doses = doses(journal, spray, recipe, finished, area, planted(journal, &touched));
    let (start, end, end_assumed) = span_of(&spray.sessions, spray.at.day, zone);
    let reentry = doses
        .iter()
        .filter_map(|dose| {
            let stated = journal.material(dose.material).reentry?;
            let until = reentry_after(zone, end, stated.value)?;
            Some(Hold { until, material: dose.material, span: stated.span })
        })
        .max_by_key(|hold| hold.until);
    let quiet = Quiet::default();
    SprayFacts { index, start, end, end_assumed, finished, area, touched, doses, reentry, quiet, stale: false }
}

/// The first moment at which people may enter after a spray that ended then; `None` where the label states no interval.
fn reentry_after(zone: &Zone, end: Moment, stated: Stated) -> Option<Moment> {
    Some(zone.later(end, i64::try_from(stated.seconds()?.ceil()).ok()?))
}

/// The first start and the last end of sessions. An end that is missing is the end of its day; so is one that is not
/// after its start, since it cannot be believed.
fn span_of(sessions: &[Session], day: NaiveDate, zone: &Zone) -> (Moment, Moment, bool) {
    let mut start: Option<Moment> = None;
    let mut end: Option<(Moment, bool)> = None;
    for session in sessions {
        let (from, _) = zone.written(session.start, false);
        let written = session.end.map(|end| zone.written(end, true).0).filter(|to| *to > from);
        let to = match written {
            Some(to) => (to, false),
            None => (zone.end_of(from.local.date()), true),
        };
        start = Some(start.map_or(from, |known| known.min(from)));
        end = Some(end.map_or(to, |known| if known.0 >= to.0 { known } else { to }));
    }
    let start = start.unwrap_or_else(|| zone.start_of(day));
    let (end, assumed) = end.unwrap_or_else(|| (zone.end_of(day), true));
    (start, end, assumed)
}

fn block_entries(journal: &Journal, zone: &Zone) -> Vec<BlockEntry> {
    let mut entries = Vec::with_capacity(journal.works.len() + journal.harvests.len());
    let works =
        journal.works.iter().enumerate().map(|(at, work)| (EntryKind::Work(at), work.at, &work.ground, &work.sessions));
    let picks = journal
        .harvests
        .iter()
        .enumerate()
        .map(|(at, pick)| (EntryKind::Harvest(at), pick.at, &pick.ground, &pick.sessions));
    for (what, at, ground, sessions) in works.chain(picks) {
        let (start, end, end_assumed) = span_of(sessions, at.day, zone);
        let start_written = !sessions.is_empty();
        let blocks = ground.blocks.iter().filter_map(|block| block.id);
        entries.extend(blocks.map(|block| BlockEntry { block, start, end, start_written, end_assumed, what }));
    }
    entries.sort_by_key(|entry| (entry.start, entry.block));
    entries
}
