//! See the Markdown beside this file.

use super::season_cap::{Exceeded, look};
use super::{Ahead, Check, Findings, When, say};
use crate::finding::{Finding, Level};
use crate::journal::CapAmount;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "season-count-exceeded",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "More sprays in a season than allowed",
    explain: include_str!("season_count_exceeded.md"),
    run,
};

/// How many earlier sprays are shown.
pub(super) const SHOWN: usize = 5;

fn run(season: &Season<'_>, found: &mut Findings) {
    look(season, found, true, |found, exceeded| finding(season, &exceeded, found));
}

fn finding(season: &Season<'_>, exceeded: &Exceeded<'_, '_>, found: &Findings) -> Option<Finding> {
    let (last, earlier) = exceeded.entries.split_last()?;
    let spray = season.sprays[last.spray].spray(season.journal);
    let block = block(season, exceeded);
    let CapAmount::Sprays(most) = exceeded.cap.cap.most else { return None };
    let (year, count, day) = (exceeded.year, exceeded.sum.floor(), say::day(spray.at.day));
    let of = of(season, exceeded).map(|of| format!(" of {of}")).unwrap_or_default();
    let whose = exceeded.cap.whose;
    let mut finding = found
        .finding(
            spray.at.line,
            format!("the spray of {day} is number {count}{of} on {block} in {year}; the limit of {whose} is {most}"),
        )
        .here(format!("number {count}"))
        .label(exceeded.cap.cap.span, "limit set here");
    for (at, entry) in earlier.iter().take(SHOWN).enumerate() {
        let spray = season.sprays[entry.spray].spray(season.journal);
        finding = finding.label(spray.at.line, format!("number {}: {}", at + 1, say::day(spray.at.day)));
    }
    if earlier.len() > SHOWN {
        finding = finding.working(format!("and {}", others(earlier.len() - SHOWN)));
    }
    Some(
        finding
            .working(format!("{count} sprays in {year}; at most {most}"))
            .working(match exceeded.row {
                None => "counted by block and calendar year; tanks of one day are one spray",
                Some(_) => "counted row by row and by calendar year; tanks of one day are one spray",
            })
            .source(source(season, exceeded)),
    )
}

/// The block, and the row of it where not all rows got the same.
pub(super) fn block(season: &Season<'_>, exceeded: &Exceeded<'_, '_>) -> String {
    let block = &season.journal.block(exceeded.block).named.name;
    match exceeded.row {
        Some(row) => format!("row {row} of {block}"),
        None => block.to_string(),
    }
}

/// `1 other`, `3 others`.
pub(super) fn others(count: usize) -> String {
    if count == 1 { "1 other".to_string() } else { format!("{count} others") }
}

/// What is capped.
pub(super) fn of<'j>(season: &Season<'j>, exceeded: &Exceeded<'_, 'j>) -> Option<&'j str> {
    match (&exceeded.cap.cap.of, exceeded.cap.material) {
        (Some(of), _) => Some(season.words(of.span)),
        (None, Some(material)) => Some(say::material(season, material)),
        (None, None) => None,
    }
}

pub(super) fn source(season: &Season<'_>, exceeded: &Exceeded<'_, '_>) -> String {
    match exceeded.cap.source {
        Some(source) => {
            format!("the `season` that you entered for {}; its source: {}", exceeded.cap.whose, season.words(source))
        }
        None => format!("the `season` that you entered for {}", exceeded.cap.whose),
    }
}
