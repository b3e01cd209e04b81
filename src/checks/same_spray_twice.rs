//! See the Markdown beside this file.

use rustc_hash::FxHashSet;

use super::asked::TANK;
use super::{Ahead, Check, Findings, accepted, say, written};
use crate::finding::{Finding, Level};
use crate::journal::{MaterialId, Session, Spray};
use crate::quantity::{Amount, Exact, show};
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "same-spray-twice",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "The same spray entered twice",
    explain: include_str!("same_spray_twice.md"),
    run,
};

/// How many earlier sprays of a block and day each is compared with.
const BACK: usize = 16;

fn run(season: &Season<'_>, found: &mut Findings) {
    let pairs = found.on_blocks(season, TANK, |_, _, sprays| pairs_of(season, sprays));
    for (one, other) in once(pairs) {
        let finding = finding(season, &season.sprays[one], &season.sprays[other], found);
        found.add(finding);
    }
}

/// The sprays that stand in the journal a second time, but those that accept it, as places in the season's list.
pub(super) fn doubled(season: &Season<'_>) -> FxHashSet<usize> {
    let accepting = accepted::entries(season, CHECK.code);
    let start = |at: usize| season.sprays[at].spray(season.journal).at.entry.start;
    let pairs = season.by_block.iter().flat_map(|sprays| pairs_of(season, sprays)).collect();
    let again = once(pairs).into_iter().map(|(one, other)| if start(one) <= start(other) { other } else { one });
    again.filter(|&again| !accepting.contains(&start(again))).collect()
}

/// Sprays of a block that are one and the same, as places in the season's list.
fn pairs_of(season: &Season<'_>, sprays: &[usize]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for (place, &later) in sprays.iter().enumerate() {
        let spray = season.sprays[later].spray(season.journal);
        let same_day = |earlier: &&usize| season.sprays[**earlier].spray(season.journal).at.day == spray.at.day;
        let before = sprays[..place].iter().rev().take(BACK).take_while(same_day);
        let twin = before.into_iter().find(|earlier| is_twin(season, **earlier, later));
        pairs.extend(twin.map(|&earlier| (earlier, later)));
    }
    pairs
}

/// Two sprays of several blocks meet in each of them.
fn once(mut pairs: Vec<(usize, usize)>) -> Vec<(usize, usize)> {
    pairs.sort_unstable();
    pairs.dedup();
    pairs
}

fn is_twin(season: &Season<'_>, one: usize, other: usize) -> bool {
    let (one, other) = (&season.sprays[one], &season.sprays[other]);
    let (first, second) = (one.spray(season.journal), other.spray(season.journal));
    same_ground(first, second)
        && same_tank(season, one, other)
        && times_meet(&first.sessions, &second.sessions)
        && !differ(first.rig.and_then(|rig| rig.id), second.rig.and_then(|rig| rig.id))
}

/// The same blocks, and not different rows of them.
fn same_ground(one: &Spray, other: &Spray) -> bool {
    let within = |one: &Spray, other: &Spray| {
        one.ground.blocks.iter().all(|block| other.ground.blocks.iter().any(|known| known.id == block.id))
    };
    let rows = |spray: &Spray| spray.ground.rows.as_ref().map(|picked| picked.rows.clone());
    let same_rows = match (&one.ground.rows, &other.ground.rows) {
        (Some(_), Some(_)) => rows(one) == rows(other),
        _ => true,
    };
    same_rows && one.ground.blocks.len() == other.ground.blocks.len() && within(one, other) && within(other, one)
}

/// The same mix, or without one the same materials, in amounts within 10 %.
fn same_tank(season: &Season<'_>, one: &SprayFacts, other: &SprayFacts) -> bool {
    let (first, second) = (one.spray(season.journal), other.spray(season.journal));
    let mix = |spray: &Spray| spray.mix.map(|used| used.mix.id);
    let materials = |facts: &SprayFacts| facts.doses.iter().map(|dose| dose.material).collect::<Vec<MaterialId>>();
    if mix(first) != mix(second) || mix(first) == Some(None) {
        return false;
    }
    if one.doses.is_empty() || materials(one) != materials(other) {
        return false;
    }
    if let (Some(one), Some(other)) = (one.finished, other.finished) {
        return within_tenth(one, other);
    }
    let mut compared = one
        .doses
        .iter()
        .zip(&other.doses)
        .filter_map(|(one, other)| Some(within_tenth(one.amount()?, other.amount()?)));
    match compared.next() {
        Some(first) => first && compared.all(|same| same),
        // Nothing to compare: only word for word.
        None => season.words(first.at.entry).trim_end() == season.words(second.at.entry).trim_end(),
    }
}

fn within_tenth(one: Amount, other: Amount) -> bool {
    let off = || other.ratio(one)?.sub(Exact::ONE);
    off().zip(Exact::new(1, 10)).is_some_and(|(off, most)| off.abs() <= most)
}

/// Whether times are equal, overlap, or are not written for one of the two.
fn times_meet(one: &[Session], other: &[Session]) -> bool {
    // Sessions are few; a spray with more is no slip of copying.
    if one.len() > BACK || other.len() > BACK {
        return false;
    }
    let meet = |one: &Session, other: &Session| {
        let (from, to) = (one.start.local, one.end.map(|end| end.local));
        let (other_from, other_to) = (other.start.local, other.end.map(|end| end.local));
        from == other_from
            || from < other_from && to.is_some_and(|to| other_from < to)
            || other_from < from && other_to.is_some_and(|to| from < to)
    };
    one.is_empty() || other.is_empty() || one.iter().any(|one| other.iter().any(|other| meet(one, other)))
}

/// Both known, and not the same.
fn differ<T: PartialEq>(one: Option<T>, other: Option<T>) -> bool {
    one.zip(other).is_some_and(|(one, other)| one != other)
}

fn finding(season: &Season<'_>, one: &SprayFacts, other: &SprayFacts, found: &Findings) -> Finding {
    let (one, other) = if one.spray(season.journal).at.line.start <= other.spray(season.journal).at.line.start {
        (one, other)
    } else {
        (other, one)
    };
    let (first, second) = (one.spray(season.journal), other.spray(season.journal));
    let blocks: Vec<&str> = second.ground.blocks.iter().map(|block| season.words(block.span)).collect();
    let what = match second.mix {
        Some(used) => season.words(used.mix.span).to_string(),
        None => say::list(&second.measured.iter().map(|one| season.words(one.material.span)).collect::<Vec<_>>()),
    };
    let with = if what.is_empty() { String::new() } else { format!(" with {what}") };
    let day = say::day(second.at.day);
    let amounts = match (one.finished, other.finished) {
        (Some(one), Some(other)) => format!(": {} and {}", show(one), show(other)),
        _ => String::new(),
    };
    let mut finding = found
        .finding(
            second.at.line,
            format!("the spray of {}{with} on {day} stands in the journal twice{amounts}", say::list(&blocks)),
        )
        .here("entered again")
        .label(first.at.line, "entered first");
    for (spray, words) in [(first, "first time"), (second, "second time")] {
        finding = match spray.sessions.first() {
            Some(session) => finding.label(session.span, words),
            None => finding.working(format!("no time is written for the {}", words.trim_end_matches(" time"))),
        };
    }
    if let (Some(a), Some(b)) = (one.finished, other.finished) {
        finding = finding.label(written::volume_place(first), show(a)).label(written::volume_place(second), show(b));
    }
    finding
        .help("take one of the two out; if it was a second tank, write its own times or rows")
        .source("common practice, no source: same block, day and tank, amounts within 10 %, and times that meet")
}
