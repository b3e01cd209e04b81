//! Where and when things were done, in the words that findings about time share.

use chrono::{NaiveDate, NaiveTime};

use super::say;
use crate::journal::{BlockId, Entered, Ground, Interval, MaterialId, Measured, PersonId, Put, Ref, Session, Spray};
use crate::quantity::Exact;
use crate::season::{BlockEntry, EntryKind, Moment, Season, SprayFacts, longest_for};
use crate::text::Span;

/// The name of a block, as the journal declares it.
pub(super) fn block<'j>(season: &Season<'j>, id: BlockId) -> &'j str {
    &season.journal.block(id).named.name
}

/// The names of the blocks that an entry is about: those that are declared, or else all as they are written.
pub(super) fn blocks(season: &Season<'_>, ground: &Ground) -> String {
    let declared = named(season, ids(&ground.blocks));
    let written = || say::list(&ground.blocks.iter().map(|block| season.words(block.span)).collect::<Vec<_>>());
    if declared.is_empty() { written() } else { declared }
}

/// The names of blocks.
pub(super) fn named(season: &Season<'_>, blocks: impl Iterator<Item = BlockId>) -> String {
    let names: Vec<&str> = blocks.map(|id| block(season, id)).collect();
    say::list(&names)
}

/// `1 day`, `3 days`.
pub(super) fn days(count: i64) -> String {
    format!("{count} day{}", if count == 1 { "" } else { "s" })
}

/// `1 round`, `3 rounds`.
pub(super) fn count(number: usize, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

/// Days from one day to another.
pub(super) fn between(from: NaiveDate, to: NaiveDate) -> i64 {
    to.signed_duration_since(from).num_days()
}

/// The day where it is the first moment of one, else day and time.
pub(super) fn day_or_moment(moment: Moment) -> String {
    if moment.local.time() == NaiveTime::MIN { say::day(moment.local.date()) } else { say::moment(moment) }
}

/// A written interval in words: `14 days`, `36 hours`.
pub(crate) fn interval(seconds: Exact) -> String {
    let whole = i64::try_from(seconds.ceil()).unwrap_or(i64::MAX);
    // Re-entry is spoken of in hours up to two days, as labels do.
    if whole <= 48 * 3_600 && whole % 3_600 == 0 && whole % 86_400 != 0 {
        let hours = whole / 3_600;
        return format!("{hours} hour{}", if hours == 1 { "" } else { "s" });
    }
    say::time(whole)
}

/// A re-entry interval in words: in hours up to three days, as labels give it.
pub(super) fn hours(seconds: Exact) -> String {
    match seconds.div(Exact::int(3_600)) {
        Some(hours) if hours.is_integer() && hours <= Exact::int(72) => {
            format!("{hours} hour{}", if hours == Exact::ONE { "" } else { "s" })
        }
        _ => interval(seconds),
    }
}

/// Whole days of an interval; `None` where it has a part of a day.
pub(super) fn whole_days(seconds: Exact) -> Option<i64> {
    let days = seconds.div(Exact::int(86_400)).filter(|days| days.is_integer())?;
    i64::try_from(days.floor()).ok()
}

/// Why rinse water closes a block, where it holds what a spray had left in the sprayer.
pub(super) fn rinsed(season: &Season<'_>, spray: usize) -> String {
    let facts = &season.sprays[spray];
    format!(
        "the rinse water holds what the sprayer was filled with since the cleaning before, here for {} on {}, and counts as a spray of this block",
        blocks(season, &facts.spray(season.journal).ground),
        say::day(facts.start.local.date())
    )
}

/// The seconds of the longest interval that holds for a crop.
pub(super) fn stated_for<'j>(intervals: &'j [Interval], crop: Option<&str>) -> Option<(Exact, &'j Interval)> {
    let interval = longest_for(intervals, crop)?;
    Some((interval.time.seconds()?, interval))
}

/// What a record of people in a block says.
pub(super) struct Visit<'j> {
    /// Its first line.
    pub(super) line: Span,
    /// Its day.
    pub(super) day: NaiveDate,
    /// Its ground.
    pub(super) ground: &'j Ground,
    /// Its times.
    pub(super) sessions: &'j [Session],
    /// When it was written down.
    pub(super) entered: Option<&'j Entered>,
    /// The people, for a headline: `the pick`, `the work`.
    pub(super) what: &'static str,
}

/// The record behind an entry into a block.
pub(super) fn visit<'j>(season: &Season<'j>, kind: EntryKind) -> Visit<'j> {
    match kind {
        EntryKind::Work(at) => {
            let work = &season.journal.works[at];
            Visit {
                line: work.at.line,
                day: work.at.day,
                ground: &work.ground,
                sessions: &work.sessions,
                entered: work.entered.as_deref(),
                what: "the work",
            }
        }
        EntryKind::Harvest(at) => {
            let pick = &season.journal.harvests[at];
            Visit {
                line: pick.at.line,
                day: pick.at.day,
                ground: &pick.ground,
                sessions: &pick.sessions,
                entered: pick.entered.as_deref(),
                what: "the pick",
            }
        }
    }
}

/// Who was named in a record of people in a block, and who else was there.
pub(super) fn people<'j>(season: &Season<'j>, kind: EntryKind) -> (&'j [Ref<PersonId>], Option<Span>) {
    match kind {
        EntryKind::Work(at) => (&season.journal.works[at].by, season.journal.works[at].crew),
        EntryKind::Harvest(at) => (&season.journal.harvests[at].by, season.journal.harvests[at].crew),
    }
}

/// Whether nobody was there but those who sprayed.
pub(super) fn only_sprayers(season: &Season<'_>, entry: &BlockEntry, facts: &SprayFacts) -> bool {
    let (by, crew) = people(season, entry.what);
    let sprayers = &facts.spray(season.journal).by;
    let sprayed = |id| sprayers.iter().any(|one| one.id == Some(id));
    crew.is_none() && !by.is_empty() && by.iter().all(|one| one.id.is_some_and(sprayed))
}

/// Whether nobody was there but the owner's family.
pub(super) fn only_family(season: &Season<'_>, entry: &BlockEntry) -> bool {
    let (by, crew) = people(season, entry.what);
    let family = |id| season.journal.person(id).family.is_some_and(|family| family.value);
    crew.is_none() && !by.is_empty() && by.iter().all(|one| one.id.is_some_and(family))
}

/// Every record of people in blocks, in the order of the files.
pub(super) fn visits<'s, 'j>(season: &'s Season<'j>) -> impl Iterator<Item = Visit<'j>> + use<'s, 'j> {
    let works = (0..season.journal.works.len()).map(EntryKind::Work);
    let picks = (0..season.journal.harvests.len()).map(EntryKind::Harvest);
    works.chain(picks).map(|kind| visit(season, kind))
}

/// Whether everything that went into a tank is declared.
pub(super) fn tank_known(season: &Season<'_>, spray: &Spray) -> bool {
    let known = |puts: &[Put]| puts.iter().all(|put| put.material.id.is_some());
    let measured = |measured: &[Measured]| measured.iter().all(|one| one.material.id.is_some());
    let mix = spray.mix.is_none_or(|used| used.mix.id.is_some_and(|mix| known(&season.journal.mix(mix).puts)));
    let loads = || spray.loads.iter().all(|load| measured(&load.portions));
    mix && known(&spray.puts) && measured(&spray.measured) && loads()
}

/// The number behind a declared name.
pub(super) fn ids<Id: Copy>(refs: &[Ref<Id>]) -> impl Iterator<Item = Id> + use<'_, Id> {
    refs.iter().filter_map(|one| one.id)
}

/// Names of materials.
pub(super) fn materials(season: &Season<'_>, ids: &[MaterialId]) -> String {
    let names: Vec<&str> = ids.iter().map(|&id| say::material(season, id)).collect();
    say::list(&names)
}
