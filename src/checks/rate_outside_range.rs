//! See the Markdown beside this file.

use super::asked::TANK;
use super::{Ahead, Check, Findings, When, put_twice, rates, say, written};
use crate::finding::{Finding, Level};
use crate::journal::{Material, MaterialId, RateRange, Spray, same_crop};
use crate::quantity::{Amount, Basis, Dimension, Exact, Per, Rate, show};
use crate::season::{Dose, Season, SprayFacts, share_put_down};
use crate::text::Span;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "rate-outside-range",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "An ingredient outside the rate that its label or plan allows",
    explain: include_str!("rate_outside_range.md"),
    run,
};

/// A rate that no range of its basis allows, with the bound that it is nearest to.
#[derive(Clone, Copy)]
pub(super) struct Off<'j> {
    range: &'j RateRange,
    rate: Rate,
    bound: Rate,
    ratio: Exact,
}

impl Off<'_> {
    pub(super) fn above(&self) -> bool {
        self.ratio > Exact::ONE
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    if season.journal.materials.iter().any(|material| !material.rates.is_empty()) {
        recipes(season, found);
        sprays(season, found);
    }
}

/// What recipes say, on the crops that they were used on.
fn recipes(season: &Season<'_>, found: &mut Findings) {
    let crops = season.crops_of_mixes();
    for (index, recipe) in season.recipes.iter().enumerate() {
        let used: &[Option<&str>] = if crops[index].is_empty() { &[None] } else { &crops[index] };
        for part in &recipe.parts {
            let (Some(id), Some(rate)) = (part.material.id, part.rate) else { continue };
            let mut said: Vec<Span> = Vec::new();
            for &crop in used {
                let Some(off) = judge(season.journal.material(id), crop, [rate; 2]) else { continue };
                if !said.contains(&off.range.span) {
                    said.push(off.range.span);
                    let mix = &season.journal.mixes[index].named.name;
                    found.add(finding(season, found, id, &off, part.span, &format!("in {mix}"), crop));
                }
            }
        }
    }
}

/// What sprays put in otherwise than the recipe says.
fn sprays(season: &Season<'_>, found: &mut Findings) {
    let mut crops = Vec::new();
    found.each_spray(season, TANK, |found, _, facts| {
        let spray = facts.spray(season.journal);
        if facts.doses.iter().all(|dose| season.journal.material(dose.material).rates.is_empty()) {
            return;
        }
        crops.clear();
        season.crops_of(facts, &mut crops);
        for dose in &facts.doses {
            look_at_dose(season, facts, spray, dose, &crops, found);
        }
        put_twice::look(season, facts, &crops, found);
    });
}

/// A dose against the ranges that the recipe alone could not be held to.
fn look_at_dose<'j>(
    season: &Season<'j>,
    facts: &SprayFacts,
    spray: &Spray,
    dose: &Dose,
    crops: &[Option<&'j str>],
    found: &mut Findings,
) {
    let material = season.journal.material(dose.material);
    if material.rates.is_empty() {
        return;
    }
    let own = written::is_own(season, spray, dose);
    // A rate per tree or per row is held to ranges of its own kind, whatever it comes to.
    if let (true, Some(rate)) = (own && dose.measured.is_none(), dose.rate)
        && matches!(rate.basis(), Basis::Tree | Basis::RowLength)
    {
        let names: Vec<&str> = spray.ground.blocks.iter().map(|block| season.words(block.span)).collect();
        let off = crops.iter().find_map(|&crop| Some((judge(material, crop, [rate; 2])?, crop)));
        if let Some((off, crop)) = off {
            let place = format!("on {}", say::list(&names));
            found.add(finding(season, found, dose.material, &off, dose.span, &place, crop));
        }
        return;
    }
    let Some(amount) = written::went_in(season, spray, dose) else { return };
    let mut said: Vec<Span> = Vec::new();
    for &crop in crops {
        for (basis, counted) in [(Basis::FinishedVolume, facts.finished), (Basis::Area, facts.area)] {
            let from_recipe = !own && dose.rate.is_some_and(|rate| rate.basis() == basis);
            let Some(counted) = counted.filter(|_| !from_recipe && has_basis(material, basis)) else { continue };
            // What was left in the tank did not go on the ground; a rate written for the ground is what it says.
            let as_written = dose.measured.is_none() && dose.rate.is_some_and(|rate| rate.basis() == basis);
            let down =
                if basis == Basis::Area && !as_written { share_put_down(facts, spray) } else { Some(Exact::ONE) };
            // A range per volume is for dilute spray, and is held against what that would have in it.
            let times = if basis == Basis::FinishedVolume { dose.times } else { Exact::ONE };
            let Some(down) = down.and_then(|down| down.div(times)).filter(|down| down.is_positive()) else { continue };
            let Some(put) = amount.times(down) else { continue };
            let (Some(rate), Some(room)) = (rates::over(put, counted), rounded(season, spray, dose, counted, down))
            else {
                continue;
            };
            // The number as written is named, but only what lies outside however it was rounded is reported.
            let Some(off) = judge(material, crop, room).map(|off| Off { rate, ..off }) else { continue };
            // What the mix itself has wrong has been said there.
            let of_mix = own && !spray.at.entry.covers(dose.span);
            let recipe = dose.rate.filter(|rate| of_mix && rate.basis() == basis);
            let told = recipe
                .and_then(|rate| judge(material, crop, [rate; 2]))
                .is_some_and(|recipe| recipe.above() == off.above() && !farther(off.ratio, recipe.ratio));
            if told || said.contains(&off.range.span) {
                continue;
            }
            said.push(off.range.span);
            let at = written::place(spray, dose);
            let names: Vec<&str> = spray.ground.blocks.iter().map(|block| season.words(block.span)).collect();
            let place = format!("on {}", say::list(&names));
            let mut finding = finding(season, found, dose.material, &off, at, &place, crop);
            let word = if basis == Basis::Area { "on" } else { "in" };
            finding.working.insert(0, format!("{} {word} {} is {}", show(put), show(counted), shown(&off, material).0));
            if let (true, Some(concentrate)) = (times != Exact::ONE, spray.concentrate) {
                let words = format!(
                    "{} in {} times the strength is {} for dilute spray, which the range is for",
                    show(amount),
                    say::times(times),
                    show(put)
                );
                finding.working.insert(0, words);
                finding = finding.label(concentrate.span, "concentrate");
            } else if let (true, Some(leftover)) = (put != amount, &spray.leftover) {
                let words = format!("of {} made up, {} went on: the rest was left", show(amount), show(put));
                finding.working.insert(0, words);
                finding = finding.label(leftover.span, "left over");
            }
            let ground = dose.rate.and_then(|rate| per_ground(facts.finished, facts.area, rate, off.bound));
            if ground.is_some() {
                let clues = Clues { spray_per_ground: ground, ..Clues::default() };
                finding.slip = likely_slip(off.ratio, &clues).or(finding.slip);
            }
            let counted_at = if basis == Basis::Area { spray.over.map(|over| over.span) } else { None };
            let counted_at = counted_at.unwrap_or_else(|| written::volume_place(spray));
            if counted_at != at {
                finding = finding.label(counted_at, format!("{word} {}", show(counted)));
            }
            found.add(finding);
        }
    }
}

/// The least and the most that an amount may have been before it was rounded, as rates.
/// `down` is the share of it that counts.
fn rounded(season: &Season<'_>, spray: &Spray, dose: &Dose, counted: Amount, down: Exact) -> Option<[Rate; 2]> {
    let amount = written::went_in(season, spray, dose)?;
    let exact = Amount::new(Exact::ZERO, amount.unit);
    let off = match dose.measured {
        Some(measured) if measured.value == amount => {
            written::measured_rounding(season, spray, dose.material, measured)?
        }
        _ => exact,
    };
    let over = |amount: Amount| rates::over(amount.times(down)?, counted);
    Some([over(amount.minus(off)?)?, over(amount.plus(off)?)?])
}

/// Whether a ratio is over 5 % farther off than another.
fn farther(ratio: Exact, than: Exact) -> bool {
    let more = if ratio > Exact::ONE { ratio.div(than) } else { than.div(ratio) };
    more.zip(Exact::new(105, 100)).is_none_or(|(more, most)| more > most)
}

/// Whether any range of a material is counted that way.
pub(super) fn has_basis(material: &Material, basis: Basis) -> bool {
    material.rates.iter().flat_map(|range| [range.least, range.most]).flatten().any(|rate| rate.basis() == basis)
}

/// A rate, given as the least and the most it may be, against the ranges for a crop: those written for the crop, or else
/// those for all. Of several ranges of one basis, one that allows it is enough; ranges of another basis are not compared.
pub(super) fn judge<'j>(material: &'j Material, crop: Option<&str>, [least, most]: [Rate; 2]) -> Option<Off<'j>> {
    let (form, density) = (material.form(), material.bridge());
    let is_for = |range: &RateRange| crop.is_some_and(|crop| range.crops.iter().any(|known| same_crop(known, crop)));
    let own = material.rates.iter().any(is_for);
    let mut nearest: Option<Off<'j>> = None;
    for range in material.rates.iter().filter(|range| if own { is_for(range) } else { range.crops.is_empty() }) {
        let over = range.most.and_then(|bound| Some((bound, least.ratio(bound, form, density)?)));
        let under = range.least.and_then(|bound| Some((bound, most.ratio(bound, form, density)?)));
        let off = match (over, under) {
            (Some((bound, ratio)), _) if ratio > Exact::ONE => Off { range, rate: least, bound, ratio },
            (_, Some((bound, ratio))) if ratio < Exact::ONE => Off { range, rate: most, bound, ratio },
            // Not comparable: says nothing.
            (None, None) => continue,
            _ => return None,
        };
        let off_by = |off: &Off<'_>| if off.above() { Some(off.ratio) } else { off.ratio.recip() };
        if nearest.is_none_or(|known| off_by(&off).zip(off_by(&known)).is_some_and(|(own, known)| own < known)) {
            nearest = Some(off);
        }
    }
    nearest
}

fn shown(off: &Off<'_>, material: &Material) -> (String, String) {
    rates::beside(off.rate, off.bound, Some(material))
}

pub(super) fn finding(
    season: &Season<'_>,
    found: &Findings,
    id: MaterialId,
    off: &Off<'_>,
    at: Span,
    place: &str,
    crop: Option<&str>,
) -> Finding {
    let material = season.journal.material(id);
    let name = say::material(season, id);
    let (rate, bound) = shown(off, material);
    let on = crop.filter(|_| !off.range.crops.is_empty()).map(|crop| format!(" on {crop}")).unwrap_or_default();
    let (side, limit) = if off.above() { ("above", "most") } else { ("below", "least") };
    let mut finding =
        found.finding(at, format!("{name} {place} is {rate}, {side} the {limit} that its entry allows{on}, {bound}"));
    if !off.above() {
        finding.level = Level::Warning;
    }
    let ratio = off.rate.ratio(off.bound, material.form(), material.bridge()).unwrap_or(off.ratio);
    let of = match off.rate {
        Rate::Of { amount, .. } => Some(amount),
        _ => None,
    };
    let clues = Clues {
        of: of.map(Amount::dimension).filter(|of| *of != Dimension::Ounce),
        written: of.map(|amount| amount.unit),
        basis: Some(off.bound.basis()),
        ..Clues::default()
    };
    finding
        .here(format!("{} times the {limit}", say::times(ratio)))
        .label(off.range.span, "range set here")
        .working(format!("{rate} / {bound} = {}", say::times(ratio)))
        .slip(likely_slip(ratio, &clues))
        .help("read the label again; then put right whichever of the two is wrong")
        .source(match material.source {
            Some(source) => format!("the `rate` that you entered for {name}; its source: {}", season.words(source)),
            None => format!("the `rate` that you entered for {name}"),
        })
}

/// The finished spray per ground, where one of two rates is counted by 100 gal (or L) and the other by ground.
fn per_ground(finished: Option<Amount>, area: Option<Amount>, one: Rate, other: Rate) -> Option<Rate> {
    let hundred = Exact::int(100);
    let (volume, ground) = match (one, other) {
        (Rate::Of { per: Per::Volume(volume), .. }, Rate::Of { per: per @ Per::Area(_), .. })
        | (Rate::Of { per: per @ Per::Area(_), .. }, Rate::Of { per: Per::Volume(volume), .. })
            if volume.value == hundred =>
        {
            (volume.unit, per)
        }
        _ => return None,
    };
    rates::over(finished?, area?)?.said_as(volume, ground)
}
