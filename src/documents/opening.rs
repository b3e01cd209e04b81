//! The first line: what was done, and what it was followed by. Never more than the counts can say.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use super::book::Book;
use super::rows::sprays_on;
use super::series::{Point, Series, SeriesKind};
use super::words::{self, count, day_short, list};

/// What comes first in a season summary.
#[derive(Clone, Debug, Serialize)]
pub struct Opening {
    /// What was done: sprays, blocks, days.
    pub done: String,
    /// What was counted before and after, in a sentence.
    pub followed_by: Option<String>,
    /// Rows of one block that were counted on the same day after different numbers of sprays.
    pub side_by_side: Vec<String>,
    /// What the counts cannot say.
    pub cannot_say: Option<&'static str>,
}

const CANNOT_SAY: &str = "A count that follows a spray is not yet what the spray did: without untreated trees counted the same way on the same days, the record cannot show why anything changed.";

const SIDE_BY_SIDE_CANNOT_SAY: &str = "A count that follows a spray is not yet what the spray did. Rows side by side say more, but rows differ in more than their sprays: one pair of plots is no trial.";

/// `18 sprays on 3 blocks from 3 March to 12 September 2026`.
pub(super) fn done(book: &Book<'_>) -> String {
    let mut sprays = 0;
    let mut days: Option<(NaiveDate, NaiveDate)> = None;
    let mut treated = vec![false; book.journal().blocks.len()];
    for facts in book.sprays() {
        sprays += 1;
        let day = facts.spray(book.journal()).at.day;
        days = Some(days.map_or((day, day), |(first, last)| (first.min(day), last.max(day))));
        for touched in facts.touched.iter().filter(|touched| book.scope.has_block(touched.block)) {
            treated[touched.block.index()] = true;
        }
    }
    let Some((first, last)) = days else { return "No sprays are recorded".to_string() };
    let blocks: Vec<&str> =
        book.blocks().filter(|block| treated[block.index()]).map(|block| book.block(block)).collect();
    let ground = match blocks.as_slice() {
        [] => "ground that the journal does not name".to_string(),
        few if few.len() <= 2 => list(few),
        many => count(many.len(), "block", "blocks"),
    };
    format!("{} on {ground} {}", count(sprays, "spray", "sprays"), words::days(first, last))
}

/// The opening of a summary.
pub(super) fn opening(book: &Book<'_>, series: &[Series]) -> Opening {
    let compared: Vec<(&Series, Change)> =
        series.iter().filter_map(|series| Some((series, change(book, series)?))).collect();
    let followed_by = followed_by(&compared);
    let side_by_side = side_by_side(book, series);
    let cannot_say = match (followed_by.is_some(), side_by_side.is_empty()) {
        (true, true) => Some(CANNOT_SAY),
        (_, false) => Some(SIDE_BY_SIDE_CANNOT_SAY),
        (false, true) => None,
    };
    Opening { done: done(book), followed_by, side_by_side, cannot_say }
}

/// How the last count compares with the first.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Change {
    Lower,
    Higher,
    /// The intervals behind the two counts overlap: they may well be counts of the same.
    Unclear,
}

/// Compares the first and the last count of what was looked for, where the block was sprayed between them.
fn change(book: &Book<'_>, series: &Series) -> Option<Change> {
    let SeriesKind::Incidence = series.kind else { return None };
    let (first, last) = (series.points.first()?, series.points.last()?);
    let between = sprays_on(book, series.of, series.rows.as_ref(), first.day, last.day);
    if series.points.len() < 2 || between == 0 {
        return None;
    }
    if overlap(first, last)? {
        return Some(Change::Unclear);
    }
    Some(if last.value < first.value { Change::Lower } else { Change::Higher })
}

/// Whether the intervals of two counts overlap; `None` where one has none.
fn overlap(one: &Point, other: &Point) -> Option<bool> {
    let ((low, high), (other_low, other_high)) = (one.interval?, other.interval?);
    Some(low <= other_high && other_low <= high)
}

/// Rows of one block counted on the same day after different numbers of sprays: the nearest that most journals come to
/// untreated trees.
fn side_by_side(book: &Book<'_>, series: &[Series]) -> Vec<String> {
    let counted = |series: &Series| series.kind == SeriesKind::Incidence;
    let mut said = Vec::new();
    for (index, one) in series.iter().enumerate().filter(|(_, one)| counted(one)) {
        // Rows are in the order of blocks and what was looked for, so those that compare stand together.
        let next = series[index + 1..].iter().take_while(|other| other.of == one.of && other.kind == one.kind);
        for other in next.filter(|other| other.what.eq_ignore_ascii_case(&one.what)) {
            for point in &one.points {
                let Some(same_day) = other.points.iter().find(|other| other.day == point.day) else { continue };
                let new_year = NaiveDate::from_ymd_opt(point.day.year(), 1, 1).unwrap_or(point.day);
                let before = |series: &Series| sprays_on(book, series.of, series.rows.as_ref(), new_year, point.day);
                let (sprays, other_sprays) = (before(one), before(other));
                if sprays == other_sprays {
                    continue;
                }
                let side = |series: &Series, point: &Point, sprays: usize| {
                    format!("{} after {}: {}", series.block, count(sprays, "spray", "sprays"), point.said())
                };
                let unclear = if overlap(point, same_day) == Some(true) {
                    " The counts are too small, or too alike, to tell them apart."
                } else {
                    ""
                };
                said.push(format!(
                    "{}, {}. {}; {}.{unclear}",
                    one.what,
                    words::day(point.day),
                    side(one, point, sprays),
                    side(other, same_day, other_sprays),
                ));
            }
        }
    }
    said
}

/// All comparisons counted, and the longest one told: never the one that looks best.
fn followed_by(compared: &[(&Series, Change)]) -> Option<String> {
    let most = compared.iter().map(|(series, _)| series.points.len()).max()?;
    let (longest, change) = compared.iter().find(|(series, _)| series.points.len() == most)?;
    let (first, last) = (longest.points.first()?, longest.points.last()?);
    let (what, block) = (&longest.what, &longest.block);
    let [first, last] = [first, last].map(|point| format!("{} ({})", point.label, day_short(point.day)));
    let told = match change {
        Change::Lower => format!("{what} ({block}) went down from {first} to {last}"),
        Change::Higher => format!("{what} ({block}) went up from {first} to {last}"),
        Change::Unclear => format!(
            "{what} ({block}), {first} and then {last}: the counts are too small, or too alike, to tell whether it changed"
        ),
    };
    if compared.len() == 1 {
        return Some(format!("This was followed by: {told}."));
    }
    let number = |wanted| compared.iter().filter(|(_, change)| *change == wanted).count();
    let unclear = "too small, or too alike, to tell";
    let parts: Vec<String> = [(Change::Lower, "lower"), (Change::Higher, "higher"), (Change::Unclear, unclear)]
        .into_iter()
        .filter(|&(change, _)| number(change) > 0)
        .map(|(change, word)| (number(change), word))
        .map(|(number, word)| format!("{number} {} {word}", if number == 1 { "was" } else { "were" }))
        .collect();
    let longest = if compared.iter().filter(|(series, _)| series.points.len() == most).count() > 1 {
        "The first of the longest rows of counts"
    } else {
        "The longest row of counts"
    };
    Some(format!(
        "Of {} things counted both before and after sprays, at the last count {}. {longest}: {told}.",
        compared.len(),
        list(&parts),
    ))
}
