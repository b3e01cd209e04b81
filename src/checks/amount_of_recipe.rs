//! Amounts that all disagree with a recipe in the same way: the recipe is the slip, not the sprays.

use rustc_hash::{FxHashMap, FxHashSet};

use super::amount_disagrees::{CHECK, Disagreement, Job, SET_HERE, alike};
use super::{Findings, accepted, loads_disagree, say};
use crate::journal::Mix;
use crate::quantity::{Dimension, Exact, Rate, show_apart};
use crate::season::Season;
use crate::text::Span;
use crate::trade::{Clues, likely_slip};

/// From so many sprays on, the recipe is doubted rather than each of them.
const SPRAYS: usize = 3;
/// How many of them are shown.
const SHOWN: usize = 5;

/// An ingredient of a recipe that every spray measured otherwise, by the same factor.
struct Doubted {
    /// Where the recipe sets it.
    put: Span,
    /// What disagrees: places in the jobs, and in what is off there.
    off: Vec<(usize, usize)>,
}

/// Reports recipes that at least three sprays disagree with by one factor (within 5 %) and none agrees with, and takes
/// what disagrees with them out of the jobs. A spray that accepts the finding has its own reason and is left out.
pub(super) fn report(season: &Season<'_>, jobs: &mut [Job<'_>], found: &mut Findings) {
    if jobs.len() < SPRAYS {
        return;
    }
    let doubted = doubted(season, jobs);
    let mut rest = doubted.as_slice();
    while let [first, ..] = rest {
        // Ingredients of one recipe that are all off alike are one slip, most likely of its `in`.
        let mix = mix_of(season, jobs, first);
        let same = |other: &Doubted| {
            let (one, other_at) = (first.off[0], other.off[0]);
            mix.is_some_and(|mix| mix.named.entry.covers(other.put))
                && other.off.len() == first.off.len()
                && alike(jobs[other_at.0].off[other_at.1].ratio, jobs[one.0].off[one.1].ratio, Exact::new(15, 1000))
        };
        let count = rest.iter().take_while(|one| same(one)).count().max(1);
        let (together, others) = rest.split_at(count);
        if let Some(mix) = mix {
            tell(season, jobs, mix, together, found);
        }
        rest = others;
    }
    let gone: FxHashSet<(usize, usize)> = doubted.iter().flat_map(|one| &one.off).copied().collect();
    if !gone.is_empty() {
        for (at, job) in jobs.iter_mut().enumerate() {
            let mut place = 0..;
            job.off.retain(|_| place.next().is_none_or(|place| !gone.contains(&(at, place))));
        }
    }
}

fn doubted(season: &Season<'_>, jobs: &[Job<'_>]) -> Vec<Doubted> {
    let accepting = accepted::entries(season, CHECK.code);
    let mut by_put: FxHashMap<Span, Vec<(usize, usize)>> = FxHashMap::default();
    for (at, job) in jobs.iter().enumerate() {
        let spray = season.sprays[job.at].spray(season.journal);
        if accepting.contains(&spray.at.entry.start) {
            continue;
        }
        for (place, one) in job.off.iter().enumerate() {
            let of_mix = one.dose.rate.is_some() && !spray.at.entry.covers(one.dose.span);
            if of_mix && one.with_recipe(spray) {
                by_put.entry(one.dose.span).or_default().push((at, place));
            }
        }
    }
    by_put.retain(|_, off| {
        let ratio = |&(at, place): &(usize, usize)| jobs[at].off[place].ratio;
        let first = ratio(&off[0]);
        off.len() >= SPRAYS && off.iter().all(|one| alike(ratio(one), first, Exact::new(5, 100)))
    });
    if !by_put.is_empty() {
        let agreed = agreed(season, jobs);
        by_put.retain(|put, _| !agreed.contains(put));
    }
    let mut doubted: Vec<Doubted> = by_put.into_iter().map(|(put, off)| Doubted { put, off }).collect();
    doubted.sort_by_key(|one| one.put.start);
    doubted
}

/// The amounts of recipes that some spray was measured out by.
fn agreed(season: &Season<'_>, jobs: &[Job<'_>]) -> FxHashSet<Span> {
    let off: FxHashSet<(usize, Span)> =
        jobs.iter().flat_map(|job| job.off.iter().map(|one| (job.at, one.dose.span))).collect();
    let mut agreed = FxHashSet::default();
    for (at, facts) in season.sprays.iter().enumerate() {
        let known = facts.doses.iter().filter(|dose| dose.measured.is_some() && dose.expected.is_some());
        for dose in known.filter(|dose| !off.contains(&(at, dose.span))) {
            if facts.spray(season.journal).loads.is_empty() || !loads_disagree::is_wrong(season, facts) {
                agreed.insert(dose.span);
            }
        }
    }
    agreed
}

fn mix_of<'j>(season: &Season<'j>, jobs: &[Job<'_>], one: &Doubted) -> Option<&'j Mix> {
    let (job, _) = one.off[0];
    let spray = season.sprays[jobs[job].at].spray(season.journal);
    Some(season.journal.mix(spray.mix?.mix.id?))
}

fn tell(season: &Season<'_>, jobs: &[Job<'_>], mix: &Mix, together: &[Doubted], found: &mut Findings) {
    let at = |(job, place): (usize, usize)| -> &Disagreement<'_> { &jobs[job].off[place] };
    let first = &together[0];
    let one = at(first.off[0]);
    let names: Vec<&str> = together.iter().map(|one| say::material(season, at(one.off[0]).dose.material)).collect();
    let (name, were) = (&mix.named.name, if names.len() == 1 { "was" } else { "were" });
    let mut finding = found
        .finding(
            first.put,
            format!(
                "{} {were} measured out at {} times what {name} takes, in all {} sprays that say how much",
                say::list(&names),
                say::times(one.ratio),
                first.off.len()
            ),
        )
        .here(SET_HERE);
    for other in &together[1..] {
        finding = finding.label(other.put, SET_HERE);
    }
    if let (Some(base), true) = (mix.base, together.len() > 1) {
        finding = finding.label(base.span, "for this much");
    }
    for &off in first.off.iter().take(SHOWN) {
        let one = at(off);
        let (measured, expected) = show_apart(one.measured.value, one.expected);
        finding = finding.label(one.measured.span, format!("{expected} by the recipe"));
        let line = format!("{measured} / {expected} = {}", say::times(one.ratio));
        if !finding.working.contains(&line) {
            finding = finding.working(line);
        }
    }
    if first.off.len() > SHOWN {
        finding = finding.working(format!("and {} more alike", first.off.len() - SHOWN));
    }
    let slip = || {
        let Rate::Of { amount, .. } = one.dose.rate? else { return None };
        let clues = Clues {
            of: Some(amount.dimension()).filter(|of| *of != Dimension::Ounce),
            written: Some(amount.unit),
            ..Clues::default()
        };
        Some(format!("in the recipe, {}", likely_slip(one.ratio.recip()?, &clues)?))
    };
    found.add(
        finding
            .slip(slip())
            .help("read the recipe again first: none of these sprays was measured out by it; put right whichever is wrong")
            .source("arithmetic of your own entries; within 5 % or half of the last digit nothing is said"),
    );
}
