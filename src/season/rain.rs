//! Rain since a spray, and what a farm's own rule makes of it: the days that are left halved, or a new spray at once.

use chrono::{Days, NaiveDate};

use super::rounds::{Due, due_after};
use crate::journal::{BlockId, Journal, Program, WeatherDay, Written};
use crate::quantity::{Amount, Exact, Unit};
use crate::text::Span;

/// The rain that was written down, in the order of days.
#[derive(Debug, Default)]
pub struct Rain {
    /// Places in the journal's list of weather days.
    days: Vec<(NaiveDate, usize)>,
}

/// When the next round is due, and what rain changed about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextDue {
    /// The days.
    pub due: Due,
    /// What rain did; `None` where it changed nothing.
    pub rained: Option<Rained>,
}

/// What rain made of a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rained {
    /// The window as it was without the rain.
    pub before: Due,
    /// How much fell from the day after the round on.
    pub fallen: Amount,
    /// The day on which the rule's amount was reached.
    pub on: NaiveDate,
    /// Whether a new spray is due, rather than the days that were left halved.
    pub renew: bool,
    /// The rule's amount.
    pub rule: Written<Amount>,
    /// What the rule's entry says it comes from.
    pub source: Option<Span>,
}

/// How many days after the rain a renewal counts as in time: common practice, no source.
const RENEW_WITHIN: u64 = 1;

impl Rain {
    /// Gathers the rain, where some rule asks for it.
    pub(super) fn new(journal: &Journal) -> Self {
        let asked = journal.programs.iter().any(|program| program.halve.is_some() || program.renew.is_some())
            || journal.limits.iter().any(|limits| limits.halve.is_some() || limits.renew.is_some());
        if !asked {
            return Self::default();
        }
        let with_rain = journal.weather.iter().enumerate().filter(|(_, day)| day.rain.is_some());
        let mut days: Vec<(NaiveDate, usize)> = with_rain.map(|(at, day)| (day.at.day, at)).collect();
        days.sort_unstable();
        Self { days }
    }

    /// When the next round of a program on a block is due after one on a day. Rain counts from the day after that round
    /// on: of its own day nobody can say what fell before and what after.
    pub fn next_due(&self, journal: &Journal, program: &Program, block: BlockId, day: NaiveDate) -> Option<NextDue> {
        let before = due_after(program, day)?;
        let plain = NextDue { due: before, rained: None };
        let (halve, renew) = rules(journal, program);
        if halve.is_none() && renew.is_none() {
            return Some(plain);
        }
        let from = self.days.partition_point(|(on, _)| *on <= day);
        let mut due = before;
        let mut rained: Option<Rained> = None;
        let mut fallen = Amount::new(Exact::ZERO, Unit::INCH);
        for of_day in self.days[from..].chunk_by(|one, other| one.0 == other.0) {
            let on = of_day[0].0;
            if on > due.last {
                break;
            }
            let of_day: Vec<&WeatherDay> = of_day.iter().map(|&(_, at)| &journal.weather[at]).collect();
            let Some(rain) = of_block(&of_day, block) else { continue };
            let Some(sum) = (if rained.is_none() && fallen.value.is_zero() { Some(rain) } else { fallen.plus(rain) })
            else {
                continue;
            };
            fallen = sum;
            let reached = |rule: Option<Rule>| rule.filter(|rule| reaches(fallen, rule.0.value));
            if let Some((rule, source)) = reached(renew) {
                let last = on.checked_add_days(Days::new(RENEW_WITHIN))?;
                due = Due { first: due.first.min(on), last: due.last.min(last) };
                rained = Some(Rained { before, fallen, on, renew: true, rule, source });
                break;
            }
            if rained.is_none()
                && let Some((rule, source)) = reached(halve)
            {
                due = Due { first: halved(before.first, on)?, last: halved(before.last, on)? };
                rained = Some(Rained { before, fallen, on, renew: false, rule, source });
            }
        }
        Some(NextDue { due, rained: rained.filter(|_| due != before) })
    }
}

/// A rule's amount, and what its entry says it comes from.
type Rule = (Written<Amount>, Option<Span>);

/// The rules that a program is under, `halve` and `renew`: its own, or else the strictest of the farm's limits.
fn rules(journal: &Journal, program: &Program) -> (Option<Rule>, Option<Rule>) {
    if program.halve.is_some() || program.renew.is_some() {
        let own = |rule: Option<Written<Amount>>| rule.map(|rule| (rule, program.source));
        return (own(program.halve), own(program.renew));
    }
    let strictest = |of: fn(&crate::journal::Limits) -> Option<Written<Amount>>| {
        let rules = journal.limits.iter().filter_map(|limits| Some((of(limits)?, limits.source)));
        rules.min_by(|one, other| one.0.value.base().cmp(&other.0.value.base()))
    };
    (strictest(|limits| limits.halve), strictest(|limits| limits.renew))
}

fn reaches(fallen: Amount, rule: Amount) -> bool {
    fallen.compare(rule).is_some_and(std::cmp::Ordering::is_ge)
}

/// The rain of a day on a block: what its own gauge says, or else the farm's; of several, the most.
fn of_block(days: &[&WeatherDay], block: BlockId) -> Option<Amount> {
    let most = |own: bool| {
        let here = days.iter().filter(|day| match own {
            true => day.ground.blocks.iter().any(|one| one.id == Some(block)),
            false => day.ground.blocks.is_empty(),
        });
        let rain = here.filter_map(|day| Some(day.rain?.value));
        rain.max_by(|one, other| one.base().cmp(&other.base()))
    };
    most(true).or_else(|| most(false))
}

/// The day by which half of the days that were left from another on have passed, a half day counted as one.
fn halved(day: NaiveDate, from: NaiveDate) -> Option<NaiveDate> {
    match u64::try_from(day.signed_duration_since(from).num_days()) {
        Ok(left) => from.checked_add_days(Days::new(left.div_ceil(2))),
        Err(_) => Some(day),
    }
}
