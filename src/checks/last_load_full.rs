//! See the Markdown beside this file.

use super::asked::TANK;
use super::{Ahead, Check, Findings, say};
use crate::finding::{Finding, Level};
use crate::journal::{Load, Spray};
use crate::quantity::{Amount, Exact, show, show_apart};
use crate::season::{Season, like};

pub(super) const CHECK: Check = Check {
    code: "last-load-full",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A partial load dosed as a full one",
    explain: include_str!("last_load_full.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.each_spray(season, TANK, |found, _, facts| {
        let spray = facts.spray(season.journal);
        if spray.loads.is_empty() {
            return;
        }
        if let Some(pair) = full_in_part(season, spray) {
            found.add(dosed_as_full(season, spray, pair, found));
        }
    });
}

/// Whether a partial load of a spray got as much of something as a full one.
pub(super) fn has(season: &Season<'_>, spray: &Spray) -> bool {
    full_in_part(season, spray).is_some()
}

/// A partial load with the same amount of something as a full one; the full load, the partial one, and which portion.
fn full_in_part<'s>(season: &Season<'_>, spray: &'s Spray) -> Option<(&'s Load, &'s Load, usize)> {
    let base = |load: &&Load| load.volume.and_then(Amount::base);
    let full = spray.loads.iter().filter(|load| base(load).is_some()).max_by_key(base)?;
    let whole = base(&full)?;
    let nearly = whole.mul(Exact::new(95, 100)?)?;
    spray.loads.iter().filter(|load| base(load).is_some_and(|part| part < nearly)).find_map(|load| {
        let same = load.portions.iter().position(|portion| {
            let (Some(id), Some(amount)) = (portion.material.id, portion.amount) else { return false };
            let in_full = full.portions.iter().find(|other| other.material.id == Some(id));
            in_full.and_then(|other| like(season.journal, id, other.amount?, amount.unit)) == Some(amount)
                && amount.value.is_positive()
        });
        Some((full, load, same?))
    })
}

fn dosed_as_full(
    season: &Season<'_>,
    spray: &Spray,
    (full, part, at): (&Load, &Load, usize),
    found: &Findings,
) -> Finding {
    let portion = &part.portions[at];
    let name = season.words(portion.material.span);
    let (Some(volume), Some(whole), Some(amount)) = (part.volume, full.volume, portion.amount) else {
        return found.finding(spray.at.line, "a partial load got as much as a full one");
    };
    let (small, large) = show_apart(volume, whole);
    let share = volume.ratio(whole).unwrap_or(Exact::ONE);
    let mut finding = found
        .finding(
            portion.span,
            format!("the load of {small} got {} of {name}, as much as the load of {large}", show(amount)),
        )
        .here("as much as in a full load")
        .label(part.volume_span, "partial load")
        .label(full.span, "full load")
        .working(format!("{small} / {large} = {} of a full load", say::times(share)));
    if let Some(needed) = amount.times(share) {
        let (had, needed) = show_apart(amount, needed);
        finding = finding.working(format!("{had} x {} = {needed} at the strength of the full load", say::times(share)));
    }
    let strength = share.recip().unwrap_or(Exact::ONE);
    finding
        .slip(Some(format!("a partial load dosed as a full one ({} times too strong)", say::times(strength))))
        .help("put the amount right with an `amend`; if the load really got that much, those rows had too much: read the label again")
        .source("proportion: a load takes its share of a full load's amounts")
}
