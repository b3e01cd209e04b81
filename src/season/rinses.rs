//! Rinse water put on ground when a sprayer was cleaned: it holds what the sprayer's tanks held since the cleaning before,
//! and counts as a spray of that ground.

use super::{Hold, Moment, SprayFacts, Zone, reentry_after, span_of};
use crate::journal::{BlockId, Cleaning, Ground, Journal};
use crate::text::Sources;

/// How many cleanings one spray is followed through at most. More between its sessions is no way of working, and so time
/// stays in proportion to the journal.
const MOST: usize = 16;

/// How many seconds before the first cleaning of a sprayer its tanks are asked for: a year.
const BACK: i64 = 365 * 86_400;

/// Rinse water put on blocks.
#[derive(Clone, Debug)]
pub struct Rinse {
    /// Its place in [`Journal::cleanings`].
    pub index: usize,
    /// When the cleaning began; the start of the day where no time is written.
    pub start: Moment,
    /// When it ended; the end of the day where none is written.
    pub end: Moment,
    /// Whether the end is assumed.
    pub end_assumed: bool,
    /// The sprays whose rest is in the water, as places in [`super::Season::sprays`], in the order of time.
    pub sprays: Vec<usize>,
    /// Where no spray since the cleaning before names this sprayer: the latest one that names none, which may be in it.
    pub unnamed: Option<usize>,
    /// Whether no spray by this sprayer is known before its first cleaning, and none that names no sprayer: what the water
    /// held is not known.
    pub unfilled: bool,
    /// Until when nobody may enter where the water was put, and the spray that it comes from; the longest of all tanks.
    pub reentry: Option<(usize, Hold)>,
}

impl Rinse {
    /// The cleaning as written.
    pub fn cleaning<'j>(&self, journal: &'j Journal) -> &'j Cleaning {
        &journal.cleanings[self.index]
    }

    /// Where the water was put.
    pub fn ground<'j>(&self, journal: &'j Journal) -> Option<&'j Ground> {
        self.cleaning(journal).rinse.as_ref().map(|rinse| &rinse.ground)
    }
}

/// The rinses of a journal in the order of time, and for each block the places of its own among them.
pub(super) fn rinses(
    journal: &Journal,
    sources: &Sources,
    zone: &Zone,
    sprays: &[SprayFacts],
) -> (Vec<Rinse>, Vec<Vec<usize>>) {
    let mut by_block: Vec<Vec<usize>> = vec![Vec::new(); journal.blocks.len()];
    if journal.cleanings.iter().all(|one| one.rinse.as_ref().is_none_or(|rinse| rinse.ground.blocks.is_empty())) {
        return (Vec::new(), by_block);
    }
    // Every cleaning empties a sprayer, wherever the water went.
    let mut by_rig: Vec<Vec<Rinse>> = vec![Vec::new(); journal.rigs.len()];
    for (index, cleaning) in journal.cleanings.iter().enumerate() {
        let Some(rig) = cleaning.rig.id else { continue };
        let (start, end, end_assumed) = span_of(&cleaning.sessions, cleaning.at.day, zone);
        let (sprays, unnamed, unfilled, reentry) = (Vec::new(), None, false, None);
        by_rig[rig.index()].push(Rinse { index, start, end, end_assumed, sprays, unnamed, unfilled, reentry });
    }
    let words = |rinse: &Rinse| sources.slice(rinse.cleaning(journal).at.entry);
    for cleanings in &mut by_rig {
        cleanings.sort_by(|one, other| (one.end, one.start, words(one)).cmp(&(other.end, other.start, words(other))));
    }
    let mut nameless: Vec<(i64, usize)> = Vec::new();
    for (at, facts) in sprays.iter().enumerate() {
        let spray = facts.spray(journal);
        let Some(rig) = spray.rig.and_then(|rig| rig.id) else {
            nameless.push((facts.start.seconds, at));
            continue;
        };
        // Cleaned between two sessions, the tank was filled again.
        let starts = spray.sessions.iter().map(|session| zone.written(session.start, false).0);
        let last = starts.max().unwrap_or(facts.start);
        let cleanings = &mut by_rig[rig.index()];
        let first = cleanings.partition_point(|cleaning| cleaning.end <= facts.start);
        for cleaning in cleanings[first..].iter_mut().take(MOST) {
            cleaning.sprays.push(at);
            if cleaning.end > last {
                break;
            }
        }
    }
    for cleanings in &mut by_rig {
        let mut emptied: Option<i64> = None;
        for cleaning in cleanings.iter_mut() {
            let from = emptied.unwrap_or_else(|| cleaning.end.seconds.saturating_sub(BACK));
            if cleaning.sprays.is_empty() {
                let before = nameless.partition_point(|(start, _)| *start < cleaning.end.seconds);
                cleaning.unnamed = nameless[..before].last().filter(|(start, _)| *start >= from).map(|&(_, at)| at);
                cleaning.unfilled = emptied.is_none() && cleaning.unnamed.is_none();
            }
            cleaning.reentry = longest(journal, zone, sprays, cleaning);
            emptied = Some(cleaning.end.seconds);
        }
    }
    let put = |rinse: &Rinse| rinse.ground(journal).is_some_and(|ground| !ground.blocks.is_empty());
    let mut rinses: Vec<Rinse> = by_rig.into_iter().flatten().filter(put).collect();
    rinses.sort_by(|one, other| (one.start, one.end, words(one)).cmp(&(other.start, other.end, words(other))));
    for (at, rinse) in rinses.iter().enumerate() {
        let blocks = rinse.ground(journal).into_iter().flat_map(|ground| &ground.blocks);
        for block in blocks.filter_map(|block| block.id) {
            let list: &mut Vec<usize> = &mut by_block[BlockId::index(block)];
            if list.last() != Some(&at) {
                list.push(at);
            }
        }
    }
    (rinses, by_block)
}

/// The longest re-entry interval of what is in the water, from the end of the cleaning.
fn longest(journal: &Journal, zone: &Zone, sprays: &[SprayFacts], rinse: &Rinse) -> Option<(usize, Hold)> {
    let doses = rinse.sprays.iter().flat_map(|&at| sprays[at].doses.iter().map(move |dose| (at, dose)));
    let holds = doses.filter_map(|(at, dose)| {
        let stated = journal.material(dose.material).reentry?;
        let until = reentry_after(zone, rinse.end, stated.value)?;
        Some((at, Hold { until, material: dose.material, span: stated.span }))
    });
    holds.max_by_key(|(_, hold)| hold.until)
}
