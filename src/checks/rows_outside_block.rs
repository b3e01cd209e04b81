//! See the Markdown beside this file.

use super::asked::ALONE;
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::{Ground, Layout, PickedRows};
use crate::season::{By, Season};
use crate::syntax::EntryWord as E;

pub(super) const CHECK: Check = Check {
    code: "rows-outside-block",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "Rows that the block does not have",
    explain: include_str!("rows_outside_block.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let journal = season.journal;
    found.each_spray(season, By { named: &[E::Block], ..ALONE }, |found, _, facts| {
        let spray = facts.spray(journal);
        look(season, &spray.ground, found);
        if let Some(leftover) = &spray.leftover {
            look(season, &leftover.ground, found);
        }
    });
    found.among(season, &[E::Observe, E::Block], |found| {
        journal.observations.iter().for_each(|seen| look(season, &seen.ground, found));
    });
    found.among(season, &[E::Work, E::Harvest, E::Block], |found| {
        scene::visits(season).for_each(|visit| look(season, visit.ground, found));
    });
    found.among(season, &[E::Skip, E::Clean, E::Weather, E::Forecast, E::Block], |found| {
        let rinses = journal.cleanings.iter().filter_map(|cleaning| cleaning.rinse.as_ref());
        let days = journal.weather.iter().chain(&journal.forecasts);
        let grounds = journal.skips.iter().map(|skip| &skip.ground).chain(days.map(|day| &day.ground));
        grounds.chain(rinses.map(|rinse| &rinse.ground)).for_each(|ground| look(season, ground, found));
    });
}

fn look(season: &Season<'_>, ground: &Ground, found: &mut Findings) {
    let Some(picked) = &ground.rows else { return };
    let PickedRows::Listed(rows) = &picked.rows else { return };
    let layouts = || ground.blocks.iter().map(|block| season.journal.block(block.id?).layout.as_ref());
    // A block whose rows are not known may have any.
    if ground.blocks.is_empty() || layouts().any(|layout| layout.is_none_or(|layout| layout.rows.is_empty())) {
        return;
    }
    let whole = |&(first, last): &(u32, u32)| layouts().flatten().any(|layout| covers(layout, first, last));
    if rows.iter().all(whole) {
        return;
    }
    let mut had: Vec<(u32, u32)> = layouts().flatten().flat_map(|layout| layout.rows.iter().copied()).collect();
    had.sort_unstable();
    let outside = outside(rows, &had);
    if outside.is_empty() {
        return;
    }
    let names: Vec<&str> = ground.blocks.iter().map(|block| season.words(block.span)).collect();
    let (names, have) = (say::list(&names), if ground.blocks.len() == 1 { "has" } else { "have" });
    let one = matches!(outside.as_slice(), [(first, last)] if first == last);
    let word = if one { "row" } else { "rows" };
    let mut finding = found
        .finding(picked.span, format!("{names} {have} no {word} {}, only {}", runs(&outside), runs(&joined(&had))))
        .here("not all of these are there");
    for layout in layouts().flatten() {
        finding = finding.label(layout.span, "rows set here");
    }
    found.add(
        finding
            .help("put the row numbers or the block right; if the block has grown, add the rows to its entry")
            .source("your own entry of the block"),
    );
}

fn covers(layout: &Layout, first: u32, last: u32) -> bool {
    layout.rows.iter().any(|&(from, to)| from <= first && last <= to)
}

/// The rows of some runs that lie in none of others, which are sorted.
fn outside(rows: &[(u32, u32)], had: &[(u32, u32)]) -> Vec<(u32, u32)> {
    let had = joined(had);
    let mut outside = Vec::new();
    for &(first, last) in rows {
        let mut next = Some(first);
        for &(from, to) in &had[had.partition_point(|run| run.1 < first)..] {
            let Some(row) = next.filter(|_| from <= last) else { break };
            if row < from {
                outside.push((row, from - 1));
            }
            next = to.checked_add(1).filter(|next| *next <= last);
        }
        if let Some(row) = next {
            outside.push((row, last));
        }
    }
    outside.sort_unstable();
    joined(&outside)
}

/// Sorted runs with those that touch or overlap made one.
fn joined(runs: &[(u32, u32)]) -> Vec<(u32, u32)> {
    let mut joined: Vec<(u32, u32)> = Vec::with_capacity(runs.len());
    for &(first, last) in runs {
        match joined.last_mut() {
            Some(known) if first <= known.1.saturating_add(1) => known.1 = known.1.max(last),
            _ => joined.push((first, last)),
        }
    }
    joined
}

/// `1 to 9, 12`.
fn runs(runs: &[(u32, u32)]) -> String {
    let run =
        |&(first, last): &(u32, u32)| if first == last { first.to_string() } else { format!("{first} to {last}") };
    runs.iter().map(run).collect::<Vec<_>>().join(", ")
}
