//! See the Markdown beside this file.

use super::asked::MATERIALS;
use super::{Ahead, Check, Findings, When, say, scene};
use crate::finding::Level;
use crate::journal::{BlockId, MaterialId};
use crate::quantity::Exact;
use crate::season::{ByRows, Rows, Season, SprayFacts, rows_treated};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "spacing-too-short",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::OnTheDay),
    summary: "Two applications closer than the shortest spacing",
    explain: include_str!("spacing_too_short.md"),
    run,
};

/// A spray that was broken off and finished within so many days is one application.
const FINISHED_WITHIN: i64 = 2;

/// Two applications of a material that are too close, on one block.
struct Hit {
    later: usize,
    earlier: usize,
    material: MaterialId,
    block: BlockId,
    asked: Exact,
    span: Span,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let spaced: Vec<bool> = season.journal.materials.iter().map(|material| !material.spacing.is_empty()).collect();
    if !spaced.contains(&true) {
        return;
    }
    let mut uses: Vec<(MaterialId, usize, Rows<'_>)> = Vec::new();
    let mut last: ByRows<'_, usize> = ByRows::default();
    let mut hits = found.on_blocks(season, MATERIALS, |_, block, sprays| {
        let mut hits: Vec<Hit> = Vec::new();
        uses.clear();
        for &at in sprays {
            let facts = &season.sprays[at];
            let mut seen: Option<MaterialId> = None;
            for dose in facts.doses.iter().filter(|dose| spaced[dose.material.index()]) {
                // A material that stands twice in one tank is still one application.
                if seen.replace(dose.material) == Some(dose.material) {
                    continue;
                }
                uses.extend(rows_treated(facts.spray(season.journal), block).map(|rows| (dose.material, at, rows)));
            }
        }
        uses.sort_by_key(|&(material, at, _)| (material, at));
        for uses in uses.chunk_by(|one, other| one.0 == other.0) {
            let material = uses[0].0;
            let asked = scene::stated_for(&season.journal.material(material).spacing, season.crop(block));
            let Some((asked, interval)) = asked else { continue };
            last.clear();
            for &(_, at, rows) in uses {
                let earlier = last.touching(rows).copied().filter(|&earlier| earlier != at).max();
                if let Some(earlier) = earlier.filter(|&earlier| too_close(season, earlier, at, asked)) {
                    hits.push(Hit { later: at, earlier, material, block, asked, span: interval.span });
                }
                last.put(rows, at, |_| true);
            }
        }
        hits
    });
    hits.sort_by_key(|hit| (hit.later, hit.material, hit.span, hit.earlier, hit.block));
    hits.dedup_by_key(|hit| (hit.later, hit.material, hit.earlier, hit.block));
    let same = |one: &Hit, other: &Hit| {
        (one.later, one.material, one.span, one.earlier) == (other.later, other.material, other.span, other.earlier)
    };
    for hits in hits.chunk_by(same) {
        report(season, found, hits);
    }
}

fn too_close(season: &Season<'_>, earlier: usize, later: usize, asked: Exact) -> bool {
    let (earlier, later) = (&season.sprays[earlier], &season.sprays[later]);
    let days = days_between(earlier, later);
    let spray = earlier.spray(season.journal);
    if days <= 0 || spray.stopped.is_some() && days <= FINISHED_WITHIN {
        return false;
    }
    match scene::whole_days(asked) {
        Some(asked) => days < asked,
        // Hours can be told only where both times are written.
        None => {
            let timed = !earlier.end_assumed && !later.spray(season.journal).sessions.is_empty();
            timed && Exact::int(later.start.seconds - earlier.end.seconds) < asked
        }
    }
}

fn days_between(earlier: &SprayFacts, later: &SprayFacts) -> i64 {
    scene::between(earlier.start.local.date(), later.start.local.date())
}

fn report(season: &Season<'_>, found: &mut Findings, hits: &[Hit]) {
    let Hit { later, earlier, material, asked, span, .. } = hits[0];
    let (later, earlier) = (&season.sprays[later], &season.sprays[earlier]);
    let material = say::material(season, material);
    let place = scene::named(season, hits.iter().map(|hit| hit.block));
    let days = days_between(earlier, later);
    let (after, least, working) = match scene::whole_days(asked) {
        Some(asked) => {
            let free =
                earlier.start.local.date().checked_add_days(chrono::Days::new(u64::try_from(asked).unwrap_or(0)));
            let free = free.map(|free| format!("; the earliest day is {}", say::day(free))).unwrap_or_default();
            let working = format!(
                "{} to {} is {}{free}",
                say::day(earlier.start.local.date()),
                say::day(later.start.local.date()),
                scene::days(days)
            );
            (scene::days(days), scene::days(asked), working)
        }
        None => {
            let between = later.start.seconds - earlier.end.seconds;
            let working =
                format!("from {} to {} is {}", say::moment(earlier.end), say::moment(later.start), say::time(between));
            (say::time(between), scene::hours(asked), working)
        }
    };
    let headline = format!("{material} went on {place} again after {after}; its entry asks for at least {least}");
    found.add(
        found
            .finding(later.spray(season.journal).at.line, headline)
            .here("again here")
            .label(earlier.spray(season.journal).at.line, "before that here")
            .label(span, "spacing set here")
            .working(working)
            .help("if the dates are right, note why; the product label sets how soon it may be sprayed again")
            .source("the spacing is the one in your material entry"),
    );
}
