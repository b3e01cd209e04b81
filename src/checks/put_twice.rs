//! One material that stands in a tank twice: what the mix has of it and what the spray puts in besides, added up.

use super::rate_outside_range::{Off, finding, has_basis, judge};
use super::{Findings, rates, written};
use crate::quantity::{Amount, Basis, Exact, show};
use crate::season::{Dose, Season, SprayFacts, like, share_put_down};

/// Up to so many doses are compared each with each.
const FEW: usize = 16;

/// Finds what is above a range only together. Anything above it by itself is told by itself.
pub(super) fn look<'j>(season: &Season<'j>, facts: &SprayFacts, crops: &[Option<&'j str>], found: &mut Findings) {
    let again = |(at, dose): (usize, &Dose)| facts.doses[..at].iter().any(|one| one.material == dose.material);
    if facts.doses.len() <= FEW && !facts.doses.iter().enumerate().any(again) {
        return;
    }
    let mut doses: Vec<&Dose> = facts.doses.iter().collect();
    doses.sort_by_key(|dose| dose.material);
    for doses in doses.chunk_by(|one, other| one.material == other.material).filter(|doses| doses.len() > 1) {
        let hit = [(Basis::FinishedVolume, facts.finished), (Basis::Area, facts.area)]
            .into_iter()
            .find_map(|(basis, counted)| over(season, facts, doses, crops, basis, counted?));
        if let Some(hit) = hit {
            report(season, facts, doses, hit, found);
        }
    }
}

/// What went in together, on what, and for which crop that is too much.
struct Hit<'j> {
    off: Off<'j>,
    crop: Option<&'j str>,
    together: Amount,
    counted: Amount,
}

fn over<'j>(
    season: &Season<'j>,
    facts: &SprayFacts,
    doses: &[&Dose],
    crops: &[Option<&'j str>],
    basis: Basis,
    counted: Amount,
) -> Option<Hit<'j>> {
    let (spray, first) = (facts.spray(season.journal), doses[0]);
    let material = season.journal.material(first.material);
    // What was measured out is written for all lines together, and holds whatever the recipe says.
    let concentrate = doses.iter().any(|dose| dose.times != Exact::ONE);
    if concentrate || doses.iter().any(|dose| dose.measured.is_some()) || !has_basis(material, basis) {
        return None;
    }
    let unit = first.expected?.unit;
    let mut together = Amount::new(Exact::ZERO, unit);
    for dose in doses {
        together = together.plus(like(season.journal, dose.material, dose.expected?, unit)?)?;
    }
    let down = if basis == Basis::Area { share_put_down(facts, spray)? } else { Exact::ONE };
    let rate = |amount: Amount| rates::over(amount.times(down)?, counted);
    crops.iter().find_map(|&crop| {
        let above = |amount: Amount| Some(judge(material, crop, [rate(amount)?; 2])?.above());
        if doses.iter().any(|dose| dose.expected.and_then(above) == Some(true)) {
            return None;
        }
        let off = judge(material, crop, [rate(together)?; 2]).filter(|off| off.above())?;
        Some(Hit { off, crop, together, counted })
    })
}

fn report(season: &Season<'_>, facts: &SprayFacts, doses: &[&Dose], hit: Hit<'_>, found: &mut Findings) {
    let spray = facts.spray(season.journal);
    let own = doses.iter().rev().find(|dose| spray.at.entry.covers(dose.span));
    let at = own.map_or(written::volume_place(spray), |dose| dose.span);
    let Hit { off, crop, together, counted } = hit;
    let blocks: Vec<&str> = spray.ground.blocks.iter().map(|block| season.words(block.span)).collect();
    let place = format!("in all on {}", super::list(&blocks));
    let mut finding = finding(season, found, doses[0].material, &off, at, &place, crop);
    for dose in doses.iter().filter(|dose| dose.span != at) {
        finding = finding.label(dose.span, "with this");
    }
    let parts: Vec<String> = doses.iter().filter_map(|dose| Some(show(dose.expected?))).collect();
    finding.working.insert(0, format!("{} = {} in {}", parts.join(" + "), show(together), show(counted)));
    found.add(finding);
}
