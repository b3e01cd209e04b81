//! What a supposition would change: what breaks and what is put right, which rounds move, what is bought besides.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::season_plan::{Plan, PlannedRound};
use super::shopping::{Cost, Need};
use crate::checks::{self, check_named};
use crate::finding::{Finding, Level};
use crate::journal::{BlockId, ProgramId};
use crate::quantity::Amount;
use crate::season::Season;
use crate::text::SourceId;

/// What a supposition would change.
#[derive(Clone, Debug, Default)]
pub struct WhatIf {
    /// What would then be wrong.
    pub new: Vec<Broken>,
    /// What would be wrong no more.
    pub gone: Vec<Broken>,
    /// Rounds whose day would be another, that would be there or be there no more.
    pub moved: Vec<Moved>,
    /// What would be bought, more or less.
    pub needs: Vec<NeedChange>,
    /// What the most rounds cost, before and then.
    pub cost: (Cost, Cost),
}

impl WhatIf {
    /// Whether something at error level would then be wrong.
    pub fn has_errors(&self) -> bool {
        self.new.iter().any(|one| one.level == Level::Error)
    }
}

/// Something wrong, with its arithmetic.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Broken {
    /// How sure and how grave.
    pub level: Level,
    /// The check's code, or what stands in the way.
    pub code: &'static str,
    /// In one sentence.
    pub headline: String,
    /// The arithmetic.
    pub working: Vec<String>,
}

/// A round that would be another day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The program.
    pub program: ProgramId,
    /// The block.
    pub block: BlockId,
    /// Which round.
    pub number: usize,
    /// Its day as the journal is; none where it is not planned.
    pub before: Option<NaiveDate>,
    /// Its day as supposed; none where it would not be planned.
    pub then: Option<NaiveDate>,
}

/// What would be bought of a material.
#[derive(Clone, Debug, PartialEq)]
pub struct NeedChange {
    /// The material's name: the two journals may count theirs differently, since only what is used comes from the pantry.
    pub material: Box<str>,
    /// As the journal is.
    pub before: Option<Amount>,
    /// As supposed.
    pub then: Option<Amount>,
}

/// Holds a supposed season with its plan against the journal as it is. `page` is the page of supposed entries.
pub fn what_if(before: (&Season<'_>, &Plan), then: (&Season<'_>, &Plan), page: Option<SourceId>) -> WhatIf {
    let all = |season: &Season<'_>| checks::run_some(season, |check| check.code != "future-date");
    let page = page.map(|page| then.0.sources.get(page).span());
    // Of an entry that is only supposed nobody can have kept a record.
    let counts = |finding: &Finding| {
        let supposed = page.is_some_and(|page| finding.labels.iter().any(|label| page.covers(label.span)));
        finding.accepted.is_none()
            && (!supposed
                || check_named(finding.code).is_some_and(|check| check.ahead.of_round().is_some())
                || finding.code.starts_with("round"))
    };
    let was: BTreeSet<Broken> = broken(before.1, all(before.0).into_iter().filter(|one| one.accepted.is_none()));
    let is: BTreeSet<Broken> = broken(then.1, all(then.0).into_iter().filter(counts));
    WhatIf {
        new: is.iter().filter(|one| !has(&was, one)).cloned().collect(),
        gone: was.iter().filter(|one| !has(&is, one)).cloned().collect(),
        moved: moved(before.1, then.1),
        needs: needs(before, then),
        cost: (before.1.shopping.most.clone(), then.1.shopping.most.clone()),
    }
}

/// Whether a set has the same; the working may name another number where the sentence is the same.
fn has(set: &BTreeSet<Broken>, one: &Broken) -> bool {
    set.iter().any(|known| known.code == one.code && known.headline == one.headline)
}

fn broken(plan: &Plan, findings: impl Iterator<Item = Finding>) -> BTreeSet<Broken> {
    let found = findings.map(|finding| Broken {
        level: finding.level,
        code: finding.code,
        headline: finding.headline,
        working: finding.working,
    });
    let rounds =
        plan.lines.iter().flat_map(|line| line.rounds.iter().flat_map(|round| &round.conflicts).chain(&line.undated));
    let planned = rounds.chain(plan.picks.iter().flat_map(|pick| &pick.conflicts)).map(|conflict| Broken {
        level: conflict.level,
        code: conflict.by.word(),
        headline: conflict.headline.clone(),
        working: conflict.working.clone(),
    });
    let mut all: BTreeSet<Broken> = found.collect();
    // What a check finds and bars a round as well is one thing; the check has the fuller working.
    let planned: Vec<Broken> = planned.filter(|one| !has(&all, one)).collect();
    all.extend(planned);
    all
}

fn moved(before: &Plan, then: &Plan) -> Vec<Moved> {
    type Key = (ProgramId, BlockId, usize);
    let days = |plan: &Plan| -> BTreeMap<Key, NaiveDate> {
        let each = plan.lines.iter().flat_map(|line| line.rounds.iter().map(move |round| (line, round)));
        let key =
            |(line, round): (&super::Line, &PlannedRound)| ((line.program, line.block, round.window.number), round.day);
        each.map(key).collect()
    };
    let (before, then) = (days(before), days(then));
    let keys: BTreeSet<Key> = before.keys().chain(then.keys()).copied().collect();
    let each = keys.into_iter().map(|key| {
        let (program, block, number) = key;
        Moved { program, block, number, before: before.get(&key).copied(), then: then.get(&key).copied() }
    });
    each.filter(|moved| moved.before != moved.then).collect()
}

fn needs(before: (&Season<'_>, &Plan), then: (&Season<'_>, &Plan)) -> Vec<NeedChange> {
    fn bought<'j>((season, plan): (&Season<'j>, &Plan)) -> BTreeMap<&'j str, Option<Amount>> {
        let name = |need: &Need| &*season.journal.material(need.material).named.name;
        plan.shopping.needs.iter().map(|need| (name(need), need.buy_most)).collect()
    }
    let (before, then) = (bought(before), bought(then));
    let materials: BTreeSet<&str> = before.keys().chain(then.keys()).copied().collect();
    let each = materials.into_iter().map(|name| NeedChange {
        material: name.into(),
        before: before.get(name).copied().flatten(),
        then: then.get(name).copied().flatten(),
    });
    let same = |change: &NeedChange| match (change.before, change.then) {
        (Some(before), Some(then)) => before.compare(then).is_some_and(std::cmp::Ordering::is_eq),
        (before, then) => before.is_none() && then.is_none(),
    };
    each.filter(|change| !same(change)).collect()
}
