//! Planned rounds as if they were done: laid beside the journal as text, judged by the same checks, and moved a day at a
//! time inside their windows until nothing stands in the way.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use super::batches::Batches;
use super::desk::{Desk, Like};
use super::due::{Window, after, days_left};
use super::obstacles::{self, Conflict};
use super::text::{Item, Round, Written};
use super::volume::{Planned, volume};
use crate::journal::{BlockId, Journal, MaterialId, ProgramId};
use crate::quantity::Amount;
use crate::season::{Moment, Season};
use crate::text::{SourceId, SourcesError, Span};

/// The rounds that a program has left on a block.
#[derive(Debug)]
pub(super) struct Track {
    pub(super) program: ProgramId,
    pub(super) block: BlockId,
    /// The window of the first of them.
    pub(super) first: Window,
    /// The last spray of the program on the block, as a place in the season's list.
    pub(super) last: Option<usize>,
    /// By how many days each round is put off, from the first day that is left to it.
    put_off: Vec<u64>,
    /// The rounds for which no day is clear.
    stuck: Vec<bool>,
}

impl Track {
    pub(super) fn new(program: ProgramId, block: BlockId, first: Window, last: Option<usize>) -> Self {
        Self { program, block, first, last, put_off: Vec::new(), stuck: Vec::new() }
    }
}

/// A round on its day.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    pub(super) window: Window,
    /// The days on which it can be sprayed, from today on.
    pub(super) days: (NaiveDate, NaiveDate),
    pub(super) day: NaiveDate,
    pub(super) volume: Option<Planned>,
    /// What stands in its way on each day that was tried.
    pub(super) tried: BTreeMap<NaiveDate, Vec<Conflict>>,
    pub(super) not_before: Option<Moment>,
    pub(super) doses: Vec<(MaterialId, Option<Amount>)>,
}

/// What came of a simulation.
#[derive(Debug, Default)]
pub(super) struct Simulated {
    /// For each track, its rounds.
    pub(super) rounds: Vec<Vec<Laid>>,
    /// Expected picks, with what stands in the way of each.
    pub(super) picks: BTreeMap<(BlockId, NaiveDate), Vec<Conflict>>,
}

/// A program has no more rounds than that; a slip in the number must not take for ever.
const MOST_ROUNDS: usize = 60;
/// No window that anybody sprays by has more days.
const MOST_PASSES: usize = 40;

/// From when to when, and how far ahead.
#[derive(Clone, Copy, Debug)]
pub(super) struct Horizon {
    pub(super) today: NaiveDate,
    pub(super) until: Option<NaiveDate>,
}

/// Lays out all tracks until nothing that another day would help stands in the way, or no day is left.
pub(super) fn simulate(
    desk: &mut Desk,
    season: &Season<'_>,
    batches: &Batches,
    tracks: &mut [Track],
    horizon: Horizon,
) -> Result<Simulated, SourcesError> {
    let like = Like { as_of: Some(horizon.today), shelf: season.shelf };
    let mut tried: BTreeMap<(usize, usize, NaiveDate), Vec<Conflict>> = BTreeMap::new();
    let mut done = Simulated::default();
    for pass in 1..=MOST_PASSES {
        done = Simulated {
            rounds: tracks.iter_mut().map(|track| lay_out(season, track, horizon)).collect(),
            picks: BTreeMap::new(),
        };
        let written = write(season, tracks, &done.rounds, horizon.today);
        if written.text.is_empty() {
            break;
        }
        let (journal, added) = desk.with("planned rounds", written.text.clone())?;
        let of: Vec<(ProgramId, BlockId)> = tracks.iter().map(|track| (track.program, track.block)).collect();
        judge(desk, &journal, added, like, (&written, &of), &mut done, &mut tried);
        for (line, rounds) in done.rounds.iter_mut().enumerate() {
            let track = &tracks[line];
            for (round, laid) in rounds.iter_mut().enumerate().filter(|(_, laid)| laid.day == horizon.today) {
                let program = season.journal.program(track.program);
                let stage = obstacles::stage(season, program, track.block, horizon.today);
                tried.entry((line, round, laid.day)).or_default().extend(stage);
            }
        }
        look_at_batches(season, batches.clone(), &done.rounds, &mut tried);
        if pass == MOST_PASSES || !put_off(tracks, &done.rounds, &tried) {
            break;
        }
    }
    for ((line, round, day), conflicts) in tried {
        if let Some(laid) = done.rounds.get_mut(line).and_then(|rounds| rounds.get_mut(round))
            && laid.days.0 <= day
            && day <= laid.days.1
        {
            laid.tried.insert(day, conflicts);
        }
    }
    Ok(done)
}

/// The rounds of a track, each on the first day that is left to it, or as many days later as it is put off.
fn lay_out(season: &Season<'_>, track: &mut Track, horizon: Horizon) -> Vec<Laid> {
    let program = season.journal.program(track.program);
    let last = track.last.map(|at| &season.sprays[at]);
    let mut rounds: Vec<Laid> = Vec::new();
    let mut next = Some(track.first);
    while let Some(window) = next.take() {
        let days = days_left(program, &window, horizon.today);
        if rounds.len() >= MOST_ROUNDS || horizon.until.is_some_and(|until| days.0 > until) {
            break;
        }
        let round = rounds.len();
        if track.put_off.len() <= round {
            track.put_off.push(0);
            track.stuck.push(false);
        }
        let day = days.0.checked_add_days(Days::new(track.put_off[round])).map_or(days.1, |day| day.min(days.1));
        rounds.push(Laid {
            window,
            days,
            day,
            volume: volume(season, program, track.block, last, day),
            tried: BTreeMap::new(),
            not_before: None,
            doses: Vec::new(),
        });
        next = after(program, window.number, day);
    }
    rounds
}

/// All rounds, and the picks that are expected.
fn write(season: &Season<'_>, tracks: &[Track], rounds: &[Vec<Laid>], today: NaiveDate) -> Written {
    let mut written = Written::default();
    let mut sprayed: BTreeMap<BlockId, Vec<NaiveDate>> = BTreeMap::new();
    for (line, (track, rounds)) in tracks.iter().zip(rounds).enumerate() {
        let last = track.last.map(|at| season.sprays[at].spray(season.journal));
        for (number, laid) in rounds.iter().enumerate() {
            let (program, block, day, volume) = (track.program, track.block, laid.day, laid.volume);
            written.round(season, Item::Round(line, number), &Round { program, block, day, volume, last });
            sprayed.entry(block).or_default().push(day);
        }
    }
    for (index, block) in season.journal.blocks.iter().enumerate() {
        let id = BlockId::at(index);
        let mut days: Vec<NaiveDate> = Vec::new();
        for picking in &block.picking {
            days.extend(picking.days(today, sprayed.get(&id).into_iter().flatten().copied()));
        }
        days.sort_unstable();
        days.dedup();
        days.into_iter().for_each(|day| written.pick(season, id, day));
    }
    written
}

/// What the checks find in the journal with the planned text beside it, each finding at the round or the pick that it is
/// about; what is wrong with a mix itself, at every round of it. `of` says whose rounds the lines are.
fn judge(
    desk: &Desk,
    journal: &Journal,
    added: SourceId,
    like: Like<'_>,
    (written, of): (&Written, &[(ProgramId, BlockId)]),
    done: &mut Simulated,
    tried: &mut BTreeMap<(usize, usize, NaiveDate), Vec<Conflict>>,
) {
    let checked = desk.check(journal, like, |check| check.ahead.of_round().is_some());
    let text = desk.sources().get(added).span();
    let item_at = |span: Span| {
        if text.covers(span) { written.item_at(span.start - text.start) } else { None }
    };
    for (item, day) in written.items() {
        match item {
            Item::Round(line, round) => drop(tried.insert((line, round, day), Vec::new())),
            Item::Pick(block) => drop(done.picks.insert((block, day), Vec::new())),
        }
    }
    for finding in &checked.findings {
        let Some(conflict) = Conflict::of(finding) else { continue };
        let items: Vec<(Item, NaiveDate)> = finding.labels.iter().filter_map(|label| item_at(label.span)).collect();
        // A pick is where it is; what is in its way is the round, where there is one.
        let rounds = items.iter().find(|(item, _)| matches!(item, Item::Round(..)));
        match rounds.or(items.first()) {
            Some(&(Item::Round(line, round), day)) => tried.entry((line, round, day)).or_default().push(conflict),
            Some(&(Item::Pick(block), day)) => done.picks.entry((block, day)).or_default().push(conflict),
            None => {
                let Some(mix) = obstacles::of_mix(journal, finding) else { continue };
                for (item, day) in written.items() {
                    let Item::Round(line, round) = item else { continue };
                    let (program, block) = of[line];
                    if journal.program(program).mix.and_then(|mix| mix.id) == Some(mix)
                        && obstacles::holds_on(journal, finding, block)
                    {
                        tried.entry((line, round, day)).or_default().push(conflict.clone());
                    }
                }
            }
        }
    }
    let season = &checked.season;
    for facts in &season.sprays {
        let Some((Item::Round(line, round), day)) = item_at(facts.spray(journal).at.line) else { continue };
        let Some(laid) = done.rounds.get_mut(line).and_then(|rounds| rounds.get_mut(round)) else { continue };
        laid.doses = facts.doses.iter().map(|dose| (dose.material, dose.amount())).collect();
        for touched in &facts.touched {
            tried.entry((line, round, day)).or_default().extend(obstacles::reentry(season, touched.block, day));
            laid.not_before = laid.not_before.max(obstacles::not_before(season, touched.block, day));
        }
    }
}

/// Holds each round against the batches of what is home-made, after those of all lines that come before it.
fn look_at_batches(
    season: &Season<'_>,
    mut batches: Batches,
    rounds: &[Vec<Laid>],
    tried: &mut BTreeMap<(usize, usize, NaiveDate), Vec<Conflict>>,
) {
    let mut order: Vec<(NaiveDate, usize, usize)> = Vec::new();
    for (line, rounds) in rounds.iter().enumerate() {
        order.extend(rounds.iter().enumerate().map(|(round, laid)| (laid.day, line, round)));
    }
    order.sort_unstable();
    for (day, line, round) in order {
        let doses = rounds[line][round].doses.iter();
        let asked = doses.filter_map(|&dose| batches.take(season.journal, dose, day));
        tried.entry((line, round, day)).or_default().extend(asked);
    }
}

/// Puts off by a day what another day may help; whether anything was.
fn put_off(
    tracks: &mut [Track],
    rounds: &[Vec<Laid>],
    tried: &BTreeMap<(usize, usize, NaiveDate), Vec<Conflict>>,
) -> bool {
    let mut any = false;
    for (line, (track, rounds)) in tracks.iter_mut().zip(rounds).enumerate() {
        for (round, laid) in rounds.iter().enumerate() {
            let conflicts = tried.get(&(line, round, laid.day)).map_or(&[][..], Vec::as_slice);
            if track.stuck[round] || !conflicts.iter().any(|conflict| conflict.moves) {
                continue;
            }
            if laid.day < laid.days.1 {
                track.put_off[round] += 1;
                any = true;
            } else {
                // No day is clear: back to the first, with what stands in its way.
                any |= track.put_off[round] > 0;
                track.put_off[round] = 0;
                track.stuck[round] = true;
            }
        }
    }
    any
}

/// Rounds that have no day yet: what they take, and what of their tank stands in the way on any day.
pub(super) fn undated(
    desk: &mut Desk,
    season: &Season<'_>,
    rounds: &[(ProgramId, BlockId)],
    today: NaiveDate,
) -> Result<Vec<Laid>, SourcesError> {
    let like = Like { as_of: Some(today), shelf: season.shelf };
    let due = crate::season::Due { first: today, last: today };
    let window = Window { number: 1, due, optional: false, rained: None };
    let mut written = Written::default();
    let mut done = Simulated::default();
    for (line, &(program, block)) in rounds.iter().enumerate() {
        let volume = volume(season, season.journal.program(program), block, None, today);
        written.round(season, Item::Round(line, 0), &Round { program, block, day: today, volume, last: None });
        let (days, day) = ((today, today), today);
        let (tried, not_before, doses) = (BTreeMap::new(), None, Vec::new());
        done.rounds.push(vec![Laid { window, days, day, volume, tried, not_before, doses }]);
    }
    if written.text.is_empty() {
        return Ok(Vec::new());
    }
    let (journal, added) = desk.with("rounds without a day", written.text.clone())?;
    let mut tried = BTreeMap::new();
    judge(desk, &journal, added, like, (&written, rounds), &mut done, &mut tried);
    let mut laid: Vec<Laid> = done.rounds.into_iter().flatten().collect();
    for ((line, _, day), mut conflicts) in tried {
        conflicts.retain(|conflict| !conflict.moves);
        if let Some(laid) = laid.get_mut(line) {
            laid.tried.insert(day, conflicts);
        }
    }
    Ok(laid)
}
