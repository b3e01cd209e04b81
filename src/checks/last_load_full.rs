//! See the Markdown beside this file.

use super::{Check, Findings, rates, say, written};
use crate::finding::{Finding, Level};
use crate::journal::{Load, Spray, Written};
use crate::quantity::{Amount, Exact, show, show_apart};
use crate::season::{Season, SprayFacts, like};

pub(super) const CHECK: Check = Check {
    code: "last-load-full",
    level: Level::Error,
    summary: "A partial load dosed as a full one",
    explain: include_str!("last_load_full.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for facts in &season.sprays {
        let spray = facts.spray(season.journal);
        if spray.loads.is_empty() {
            continue;
        }
        match full_in_part(season, spray) {
            Some(pair) => found.add(dosed_as_full(season, spray, pair, found)),
            None => {
                let finding = sum_off(season, facts).and_then(|sum| loads_off(season, facts, sum, found));
                if let Some(finding) = finding {
                    found.add(finding);
                }
            }
        }
    }
}

/// Whether the loads of a spray cannot be as they are written; then their amounts say nothing.
pub(super) fn is_wrong(season: &Season<'_>, facts: &SprayFacts) -> bool {
    full_in_part(season, facts.spray(season.journal)).is_some() || sum_off(season, facts).is_some()
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

/// What all loads hold together, where that is not what was made.
fn sum_off(season: &Season<'_>, facts: &SprayFacts) -> Option<Amount> {
    let spray = facts.spray(season.journal);
    let made = facts.finished?;
    let mut sum = Amount::new(Exact::ZERO, made.unit);
    let mut rounding = written::rounding(season, Written::new(made, written::volume_place(spray))).value;
    for load in &spray.loads {
        let (volume, count) = (load.volume?, Exact::int(i64::from(load.count)));
        sum = sum.plus(volume.times(count)?)?;
        let off = written::rounding(season, Written::new(volume, load.volume_span)).times(count)?;
        rounding = rounding.add(off.in_unit(made.unit)?.value)?;
    }
    let room = made.value.mul(Exact::new(5, 100)?)?.max(rounding);
    let is_off = |made: Amount| sum.value.sub(made.value).is_some_and(|off| off.abs() > room);
    // Loads may be written as the water that the mix was put into.
    let water = spray.mix.filter(|used| used.water).and_then(|used| used.volume?.value.in_unit(sum.unit));
    (is_off(made) && water.is_none_or(is_off)).then_some(sum)
}

fn loads_off(season: &Season<'_>, facts: &SprayFacts, sum: Amount, found: &Findings) -> Option<Finding> {
    let spray = facts.spray(season.journal);
    let (first, last) = (spray.loads.first()?, spray.loads.last()?);
    let (held, made) = rates::amounts(season, sum, facts.finished?);
    let parts: Vec<String> = spray
        .loads
        .iter()
        .map(|load| match load.count {
            1 => season.words(load.volume_span).to_string(),
            count => format!("{count} x {}", season.words(load.volume_span)),
        })
        .collect();
    let mut finding = found
        .finding(last.span, format!("the loads hold {held} together, but {made} was made"))
        .here(format!("{} = {held}", parts.join(" + ")))
        .label(written::volume_place(spray), format!("{made} made"));
    finding = finding.working(format!("{} = {held}; {made} was made", parts.join(" + ")));
    // Loads all alike and too much by less than one of them: the last was a partial one.
    let alike = spray.loads.iter().all(|load| load.volume == first.volume);
    let excess = sum.minus(facts.finished?)?;
    let rest = last.volume?.minus(excess)?;
    if alike && excess.value.is_positive() && rest.value.is_positive() {
        let share = rest.ratio(last.volume?)?;
        finding = finding.slip(Some(format!("the last load was a partial one of {}, dosed as a full one", show(rest))));
        for portion in &last.portions {
            let Some(needed) = portion.amount.and_then(|amount| amount.times(share)) else { continue };
            finding = finding.working(format!(
                "{} of {} takes {} of {}",
                show(rest),
                season.words(spray.mix.map_or(last.volume_span, |used| used.mix.span)),
                show(needed),
                season.words(portion.material.span)
            ));
        }
    }
    Some(
        finding
            .help("write each load as it was filled, the last one too")
            .source("arithmetic of your own entries; within 5 % or the last digits nothing is said"),
    )
}
