//! See the Markdown beside this file.

use super::asked::TANK;
use super::{Ahead, Check, Findings, last_load_full, rates, say, written};
use crate::finding::{Finding, Level};
use crate::journal::{Load, Spray, Written};
use crate::quantity::{Amount, Exact, show, show_apart};
use crate::season::{By, Season, SprayFacts};
use crate::syntax::EntryWord;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "loads-disagree",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "Loads or a leftover that do not fit the job or the tank",
    explain: include_str!("loads_disagree.md"),
    run,
};

const BY: By = By { named: &[EntryWord::Block, EntryWord::Material, EntryWord::Mix, EntryWord::Rig], ..TANK };

fn run(season: &Season<'_>, found: &mut Findings) {
    found.each_spray(season, BY, |found, _, facts| {
        let spray = facts.spray(season.journal);
        if let Some((load, tank)) = over_tank(season, spray) {
            found.add(too_large(season, spray, load, tank, found));
        } else if !spray.loads.is_empty() && !last_load_full::has(season, spray) {
            let finding = sum_off(season, facts).and_then(|sum| loads_off(season, facts, sum, found));
            if let Some(finding) = finding {
                found.add(finding);
            }
        }
        if let Some(finding) = left_over(facts, spray, found) {
            found.add(finding);
        }
    });
}

/// Whether the loads of a spray cannot be as they are written; then their amounts say nothing.
pub(super) fn is_wrong(season: &Season<'_>, facts: &SprayFacts) -> bool {
    last_load_full::has(season, facts.spray(season.journal)) || sum_off(season, facts).is_some()
}

/// The largest load that is over 5 % larger than the sprayer's tank.
fn over_tank<'s>(season: &Season<'_>, spray: &'s Spray) -> Option<(&'s Load, Written<Amount>)> {
    if spray.loads.is_empty() {
        return None;
    }
    let tank = season.journal.rig(spray.rig?.id?).tank?;
    let most = tank.value.base()?.mul(Exact::new(105, 100)?)?;
    let base = |load: &&Load| load.volume.and_then(Amount::base);
    let largest = spray.loads.iter().filter(|load| base(load).is_some()).max_by_key(base)?;
    (base(&largest)? > most).then_some((largest, tank))
}

fn too_large(season: &Season<'_>, spray: &Spray, load: &Load, tank: Written<Amount>, found: &Findings) -> Finding {
    let rig = spray.rig.map_or("the sprayer", |rig| season.words(rig.span));
    let volume = load.volume.unwrap_or(tank.value);
    let (held, holds) = rates::amounts(season, volume, tank.value);
    let (one, other) = show_apart(volume, tank.value);
    let ratio = volume.ratio(tank.value).unwrap_or(Exact::ONE);
    let clues = Clues { of: Some(volume.dimension()), written: Some(volume.unit), ..Clues::default() };
    found
        .finding(load.volume_span, format!("one load is {held}, but the tank of {rig} holds {holds}"))
        .here("more than fits")
        .label(tank.span, "tank set here")
        .working(format!("{one} / {other} = {}", say::times(ratio)))
        .slip(likely_slip(ratio, &clues))
        .help("put the load or the tank right; several loads alike are written `load 2 of ...`")
        .source("arithmetic of your own entries; up to 5 % over the tank nothing is said")
}

/// More left over than was made.
fn left_over(facts: &SprayFacts, spray: &Spray, found: &Findings) -> Option<Finding> {
    let leftover = spray.leftover.as_ref()?;
    let (left, made) = (leftover.volume?, facts.finished?);
    if left.ratio(made)? <= Exact::ONE {
        return None;
    }
    let (left, made) = show_apart(left, made);
    let mut finding = found
        .finding(leftover.span, format!("{left} was left over, but only {made} was made"))
        .here("more than there was");
    if written::volume_place(spray) != spray.at.line {
        finding = finding.label(written::volume_place(spray), "made");
    }
    Some(
        finding
            .help("put the volume or the leftover right; volumes and areas of this spray are reckoned from them")
            .source("arithmetic of your own entries"),
    )
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
