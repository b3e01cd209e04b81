//! The plan of a farm: every program on every block, what is done of it, what is to come and what stands in the way.

use chrono::NaiveDate;

use super::batches::Batches;
use super::desk::Desk;
use super::due::{Ended, Outlook, Phase, Waits, Window, outlooks, rounds_of};
use super::obstacles::{self, Conflict};
use super::shopping::{Shopping, Take, shopping};
use super::simulate::{Horizon, Laid, Track, simulate, undated};
use super::volume::Planned;
use crate::finding::Level;
use crate::journal::{BlockId, MaterialId, ProgramId};
use crate::quantity::{Amount, Exact};
use crate::season::{Moment, RoundStep, Season, Taken, add};
use crate::text::{SourceId, SourcesError};

/// What is asked.
#[derive(Clone, Debug)]
pub struct Request {
    /// The day that counts as today.
    pub today: NaiveDate,
    /// Only rounds whose first day is up to that one.
    pub until: Option<NaiveDate>,
    /// Only these blocks; all where empty.
    pub blocks: Vec<BlockId>,
    /// Only these programs; all where empty.
    pub programs: Vec<ProgramId>,
}

impl Request {
    /// Everything that is still to come.
    pub fn all(today: NaiveDate) -> Self {
        Self { today, until: None, blocks: Vec::new(), programs: Vec::new() }
    }

    fn wants(&self, program: ProgramId, block: BlockId) -> bool {
        (self.blocks.is_empty() || self.blocks.contains(&block))
            && (self.programs.is_empty() || self.programs.contains(&program))
    }
}

/// The plan of a farm.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The day that counts as today.
    pub today: NaiveDate,
    /// Programs on blocks, in the order of the journal.
    pub lines: Vec<Line>,
    /// Picks that are expected and not clear by what was already sprayed.
    pub picks: Vec<Pick>,
    /// What the rounds take, and what is to be bought.
    pub shopping: Shopping,
}

impl Plan {
    /// Whether something at error level is planned.
    pub fn has_errors(&self) -> bool {
        let rounds = self.lines.iter().flat_map(|line| &line.rounds).flat_map(|round| &round.conflicts);
        let undated = self.lines.iter().flat_map(|line| &line.undated);
        let picks = self.picks.iter().flat_map(|pick| &pick.conflicts);
        rounds.chain(undated).chain(picks).any(|conflict| conflict.level == Level::Error)
    }
}

/// How a program stands on a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It has not begun.
    NotBegun(Waits),
    /// Its next round is to come.
    ToCome,
    /// Its next round is due.
    Due,
    /// Its next round is so many days over its last day.
    Overdue(i64),
    /// Its next round is due, or so many days over, and something stands in the way.
    Blocked(i64),
    /// All rounds are done or skipped.
    Done,
    /// It ended with rounds left.
    Ended(Ended),
}

/// A program on a block.
#[derive(Clone, Debug)]
pub struct Line {
    /// The program.
    pub program: ProgramId,
    /// The block.
    pub block: BlockId,
    /// How it stands.
    pub state: State,
    /// The day that the first round counts from.
    pub anchor: Option<NaiveDate>,
    /// Rounds sprayed and skipped.
    pub steps: Vec<RoundStep>,
    /// Rounds to come, each on the first day that nothing stands in the way, or on the first day where there is none.
    pub rounds: Vec<PlannedRound>,
    /// What stands in the way of rounds that have no day yet, on any day.
    pub undated: Vec<Conflict>,
    /// How much spray a round without a day takes.
    pub undated_volume: Option<Planned>,
}

/// A round to come.
#[derive(Clone, Debug)]
pub struct PlannedRound {
    /// Its window.
    pub window: Window,
    /// The day it is planned for.
    pub day: NaiveDate,
    /// What stands in the way on that day.
    pub conflicts: Vec<Conflict>,
    /// What stands in the way on the days before it, and on all days where none is clear.
    pub blocked: Vec<(NaiveDate, Vec<Conflict>)>,
    /// Until when on that day a re-entry interval runs.
    pub not_before: Option<Moment>,
    /// How much spray; `None` where nothing says it.
    pub volume: Option<Planned>,
    /// What goes in.
    pub doses: Vec<(MaterialId, Option<Amount>)>,
}

/// A pick that is not clear.
#[derive(Clone, Debug)]
pub struct Pick {
    /// The block.
    pub block: BlockId,
    /// The day.
    pub day: NaiveDate,
    /// What stands in the way.
    pub conflicts: Vec<Conflict>,
}

/// Plans what is left of a season. `files` are the farm's own, in the season's sources.
///
/// # Errors
/// Where the texts together are larger than a run can hold.
pub fn plan(season: &Season<'_>, files: &[SourceId], request: &Request) -> Result<Plan, SourcesError> {
    let outlooks = outlooks(season, request.today);
    let mut desk = Desk::new(season.sources, files)?;
    let mut tracks: Vec<Track> = Vec::new();
    let mut waiting: Vec<(ProgramId, BlockId)> = Vec::new();
    for outlook in &outlooks {
        match &outlook.phase {
            Phase::Next(window) => {
                let last = outlook.steps.iter().rev().find_map(|step| match step.taken {
                    Taken::Sprayed(at) => Some(at),
                    Taken::Skipped(_) => None,
                });
                tracks.push(Track::new(outlook.program, outlook.block, *window, last));
            }
            Phase::Waits(Waits::Sight | Waits::Start) => waiting.push((outlook.program, outlook.block)),
            _ => {}
        }
    }
    let horizon = Horizon { today: request.today, until: request.until };
    let batches = Batches::new(season, request.today);
    let simulated = simulate(&mut desk, season, &batches, &mut tracks, horizon)?;
    let mut without_day = undated(&mut desk, season, &waiting, request.today)?.into_iter();
    let mut with_day = simulated.rounds.into_iter();
    let mut lines: Vec<Line> = Vec::with_capacity(outlooks.len());
    let mut takes: Vec<Take> = Vec::new();
    for outlook in outlooks {
        let line = match outlook.phase {
            Phase::Next(_) => line(outlook, with_day.next().unwrap_or_default(), request.today),
            Phase::Waits(waits @ (Waits::Sight | Waits::Start)) => {
                let laid = without_day.next();
                if request.wants(outlook.program, outlook.block) {
                    let take = laid.as_ref().and_then(|laid| undated_take(season, outlook.program, laid));
                    takes.extend(take.into_iter().flatten());
                }
                waiting_line(outlook, waits, laid)
            }
            _ => line(outlook, Vec::new(), request.today),
        };
        lines.push(line);
    }
    look_at_shelf(season, &batches, request.today, &mut lines);
    lines.retain(|line| request.wants(line.program, line.block));
    for round in lines.iter().flat_map(|line| &line.rounds) {
        let optional = round.window.optional;
        takes.push(Take { day: Some(round.day), optional, doses: round.doses.clone() });
    }
    let shown = |block: BlockId| request.blocks.is_empty() || request.blocks.contains(&block);
    let picks = simulated.picks.into_iter().filter(|((block, _), conflicts)| shown(*block) && !conflicts.is_empty());
    Ok(Plan {
        today: request.today,
        picks: picks.map(|((block, day), conflicts)| Pick { block, day, conflicts }).collect(),
        shopping: shopping(season, takes, request.today),
        lines,
    })
}

fn line(outlook: Outlook, laid: Vec<Laid>, today: NaiveDate) -> Line {
    let rounds: Vec<PlannedRound> = laid.into_iter().map(planned_round).collect();
    let state = match &outlook.phase {
        Phase::Waits(waits) => State::NotBegun(*waits),
        Phase::Done => State::Done,
        Phase::Ended(why) => State::Ended(*why),
        Phase::Next(window) => state(window, rounds.first(), today),
    };
    let Outlook { program, block, steps, anchor, .. } = outlook;
    Line { program, block, state, anchor, steps, rounds, undated: Vec::new(), undated_volume: None }
}

/// How a line with a round to come stands: something is in the way where the round cannot be sprayed today though it is due,
/// or on no day of its window.
fn state(window: &Window, next: Option<&PlannedRound>, today: NaiveDate) -> State {
    let late = today.signed_duration_since(window.due.last).num_days().max(0);
    let is_due = window.due.first <= today;
    let barred = next.is_some_and(|next| !next.conflicts.is_empty() || is_due && next.day > today);
    match (is_due, barred) {
        (true, true) => State::Blocked(late),
        (true, false) if late > 0 => State::Overdue(late),
        (true, false) => State::Due,
        (false, _) => State::ToCome,
    }
}

fn planned_round(laid: Laid) -> PlannedRound {
    let Laid { window, day, volume, mut tried, not_before, doses, .. } = laid;
    let conflicts = tried.remove(&day).unwrap_or_default();
    let blocked = tried.into_iter().filter(|(_, conflicts)| !conflicts.is_empty()).collect();
    PlannedRound { window, day, conflicts, blocked, not_before, volume, doses }
}

fn waiting_line(outlook: Outlook, waits: Waits, laid: Option<Laid>) -> Line {
    let Outlook { program, block, steps, anchor, .. } = outlook;
    let undated_volume = laid.as_ref().and_then(|laid| laid.volume);
    let undated = laid.map(|laid| laid.tried.into_values().flatten().collect()).unwrap_or_default();
    let state = State::NotBegun(waits);
    Line { program, block, state, anchor, steps, rounds: Vec::new(), undated, undated_volume }
}

/// What all rounds of a program that has not begun take: as many times as it has rounds.
fn undated_take(season: &Season<'_>, program: ProgramId, laid: &Laid) -> Option<Vec<Take>> {
    let (fewest, most) = rounds_of(season.journal.program(program))?;
    let take = |rounds: usize, optional: bool| {
        let rounds = Exact::int(i64::try_from(rounds).ok()?);
        let times = |amount: Option<Amount>| amount.and_then(|amount| amount.times(rounds));
        let doses = laid.doses.iter().map(|&(material, amount)| (material, times(amount))).collect();
        Some(Take { day: None, optional, doses })
    };
    Some(
        [take(fewest, false)?]
            .into_iter()
            .chain((most > fewest).then(|| take(most - fewest, true)).flatten())
            .collect(),
    )
}

/// Holds each round against the shelf, after those of all lines that come before it.
fn look_at_shelf(season: &Season<'_>, batches: &Batches, today: NaiveDate, lines: &mut [Line]) {
    let mut order: Vec<(NaiveDate, usize, usize)> = Vec::new();
    for (line, rounds) in lines.iter().enumerate() {
        order.extend(rounds.rounds.iter().enumerate().map(|(round, planned)| (planned.day, line, round)));
    }
    order.sort_unstable();
    let mut taken: Vec<Option<Amount>> = vec![None; season.journal.materials.len()];
    for (_, line, round) in order {
        let doses = lines[line].rounds[round].doses.clone();
        for (material, amount) in doses {
            // Of what is home-made, its batches have said it.
            let Some(amount) = amount.filter(|_| !batches.has(material)) else { continue };
            let sum = match taken[material.index()] {
                Some(before) => add(season.journal, material, before, amount),
                None => Some(amount),
            };
            taken[material.index()] = sum.or(taken[material.index()]);
            let (Some(needed), Some(there)) = (sum, season.stock().on_hand(material, today)) else { continue };
            let short = crate::season::like(season.journal, material, needed, there.unit)
                .is_some_and(|needed| needed.value > there.value);
            if short {
                let conflict = obstacles::stock(season, material, there, needed);
                lines[line].rounds[round].conflicts.extend(conflict);
            }
        }
    }
    for line in lines {
        if let (State::Due | State::Overdue(_), Some(next)) = (line.state, line.rounds.first())
            && !next.conflicts.is_empty()
        {
            line.state = State::Blocked(match line.state {
                State::Overdue(late) => late,
                _ => 0,
            });
        }
    }
}
