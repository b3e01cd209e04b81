//! What rulebooks ask of sheets and signs, and which of what hangs on the board is a spray's own. Shared by the checks of
//! postings.

use super::asked::RECORD;
use crate::duty::{Asked, Duties};
use crate::journal::{BlockId, Notice};
use crate::rulebook::Demand;
use crate::season::{By, Change, Moment, Season, SprayFacts};
use crate::syntax::EntryWord;

/// What a rule asks of the sheet. Times in seconds.
#[derive(Clone, Copy, Debug)]
pub(super) struct SheetRule {
    /// Up within so long of the end.
    pub(super) up_within: i64,
    /// And before people come in.
    pub(super) before_entry: bool,
    /// Down so long after re-entry at the soonest.
    pub(super) stays: i64,
}

/// What a rule asks of warning signs. Times in seconds.
#[derive(Clone, Copy, Debug)]
pub(super) struct SignRule {
    outdoors_over: i64,
    enclosed_over: i64,
    /// Up so long before the start at most.
    pub(super) before: i64,
    /// Down within so long of the end of re-entry.
    pub(super) down_within: i64,
}

impl SignRule {
    /// How long a re-entry interval may be on a block without signs.
    pub(super) fn limit(&self, season: &Season<'_>, block: BlockId) -> i64 {
        let enclosed = season.journal.block(block).enclosed.is_some_and(|enclosed| enclosed.value);
        if enclosed { self.enclosed_over } else { self.outdoors_over }
    }

    /// Whether a spray asks for signs at a block: the longest interval of the tank is over the limit, whatever else is in it.
    pub(super) fn asks(&self, season: &Season<'_>, facts: &SprayFacts, block: BlockId) -> bool {
        interval(facts).is_some_and(|interval| interval > self.limit(season, block))
    }
}

/// The longest re-entry interval of a tank, in seconds.
pub(super) fn interval(facts: &SprayFacts) -> Option<i64> {
    facts.reentry.map(|hold| hold.until.seconds - facts.end.seconds)
}

/// By how many seconds the end of a spray may have been earlier than it is taken to be.
pub(super) fn slack(facts: &SprayFacts) -> i64 {
    if facts.end_assumed { facts.end.seconds - facts.start.seconds } else { 0 }
}

/// What a check of postings judges blocks by. Whose sheet is whose depends on other sprays of the block; of one that went up
/// for the whole farm, or where a spray could not be read, on any.
pub(super) fn by(season: &Season<'_>) -> By {
    let farms_own = season.board.logs(Notice::Sheet).last().is_some_and(|log| !log.is_empty());
    if farms_own || season.lost(EntryWord::Spray) {
        By { any: &[EntryWord::Post, EntryWord::Person, EntryWord::Spray], ..RECORD }
    } else {
        By { any: &[EntryWord::Post, EntryWord::Person], ..RECORD }
    }
}

/// The rule about sheets that holds for a spray. Of several the strictest, and one that was read before one from memory.
pub(super) fn sheet_rule<'s>(duties: &Duties<'s>, facts: &SprayFacts) -> Option<(Asked<'s>, SheetRule)> {
    let rules = duties.of_spray(facts, |demand| match *demand {
        Demand::Display { up_within, before_entry, stays } => Some(SheetRule { up_within, before_entry, stays }),
        _ => None,
    });
    rules.min_by_key(|(asked, rule)| (asked.from_memory(), rule.up_within, -rule.stays))
}

/// The rule about signs that holds for a spray, whether or not its interval is long enough. Chosen like [`sheet_rule`].
pub(super) fn sign_rule<'s>(duties: &Duties<'s>, facts: &SprayFacts) -> Option<(Asked<'s>, SignRule)> {
    let rules = duties.of_spray(facts, |demand| match *demand {
        Demand::Signs { outdoors_over, enclosed_over, before, down_within } => {
            Some(SignRule { outdoors_over, enclosed_over, before, down_within })
        }
        _ => None,
    });
    rules.min_by_key(|(asked, rule)| (asked.from_memory(), rule.outdoors_over, rule.before, rule.down_within))
}

/// The sheet of a spray at a block.
#[derive(Clone, Copy, Debug)]
pub(super) enum SheetUp<'s, 'j> {
    /// It went up in time, or may have.
    InTime(&'s Change<'j>),
    /// It surely went up later than asked for, and before the next spray, whose own it may be.
    Late(&'s Change<'j>),
    /// It may be that one went up late, or that it is another spray's.
    Unknown,
    /// Nothing went up.
    None,
}

/// Finds the sheet of a spray at a block: the first that went up from the day of the spray on, there or for the whole farm.
pub(super) fn sheet_up<'s, 'j>(season: &'s Season<'j>, facts: &SprayFacts, block: BlockId, by: i64) -> SheetUp<'s, 'j> {
    let day = facts.start.local.date();
    let Some(change) = season.board.first_up(Notice::Sheet, block, season.zone.start_of(day).seconds) else {
        return SheetUp::None;
    };
    if change.earliest <= by {
        return SheetUp::InTime(change);
    }
    let start_of = |facts: &SprayFacts| season.zone.start_of(facts.start.local.date()).seconds;
    let same = |other: &SprayFacts| other.start.local.date() <= day;
    let next = if change.posting.ground.blocks.is_empty() {
        season.sprays.get(season.sprays.partition_point(same))
    } else {
        let list = &season.by_block[block.index()];
        list.get(list.partition_point(|&at| same(&season.sprays[at]))).map(|&at| &season.sprays[at])
    };
    if next.is_some_and(|next| start_of(next) <= change.earliest) {
        return SheetUp::None;
    }
    // A spray that could not be read may be the one that the sheet is of.
    if season.lost(EntryWord::Spray) { SheetUp::Unknown } else { SheetUp::Late(change) }
}

/// The last moment for a sheet.
pub(super) fn sheet_by(season: &Season<'_>, facts: &SprayFacts, rule: &SheetRule) -> Moment {
    season.zone.later(facts.end, rule.up_within)
}
