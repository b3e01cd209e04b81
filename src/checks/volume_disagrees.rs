//! See the Markdown beside this file.

use rustc_hash::FxHashSet;

use super::{Ahead, Check, Findings, When, area_of_block, area_over_block, rates, say, written};
use crate::finding::{Finding, Level};
use crate::journal::{Dated, Driving, PickedRows, Spray, in_force};
use crate::quantity::{Amount, Basis, Dimension, Exact, Rate, show, show_apart};
use crate::season::{By, Fact, Measured, Method, Season, SprayFacts, expected_area};
use crate::syntax::EntryWord as E;
use crate::text::Span;
use crate::trade::{Clues, likely_slip};

pub(super) const CHECK: Check = Check {
    code: "volume-disagrees",
    level: Level::Warning,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "A volume that disagrees with area and calibration",
    explain: include_str!("volume_disagrees.md"),
    run,
};

const BY: By = By { named: &[E::Block, E::Rig], facts: &[Fact::Volume, Fact::Area], any: &[E::Calibrate] };

fn run(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(E::Calibrate) {
        return;
    }
    if !season.calibrations.all().iter().any(|one| one.output().is_some()) {
        return;
    }
    let hits = found.in_sprays(season, BY, |_, facts| judged(season, facts).filter(|one| one.off.far));
    if hits.is_empty() {
        return;
    }
    let mut fitting = Fitting::default();
    let far: FxHashSet<usize> = hits.iter().map(|hit| hit.facts.index).collect();
    let others = season.sprays.iter().filter(|facts| !far.contains(&facts.index));
    for fits in others.filter_map(|facts| judged(season, facts)) {
        fitting.areas.extend(fits.area.map(|area| area.span));
        fitting.calibrations.insert(fits.calibration.calibration.at.entry);
    }
    let doubted = area_of_block::report(season, &hits, &fitting, found);
    let hits: Vec<Hit<'_>> =
        hits.into_iter().filter(|hit| !hit.area.is_some_and(|area| doubted.contains(&area.span))).collect();
    let place = |hit: &Hit<'_>| (written::volume_place(hit.facts.spray(season.journal)), None);
    found.tell(season, &hits, place, |found, hit| {
        Some(finding(season, hit.facts, hit.calibration, &hit.applied, hit.off, found))
    });
}

/// A spray held against the calibration that it is nearest to.
fn judged<'s>(season: &'s Season<'_>, facts: &'s SprayFacts) -> Option<Hit<'s>> {
    let spray = facts.spray(season.journal);
    let rig = spray.rig?.id?;
    // What was left of a spray broken off is not known.
    if spray.stopped.is_some() && spray.leftover.is_none() {
        return None;
    }
    let setup = spray.setup.map(|setup| season.words(setup));
    let in_force = season.calibrations.in_force(rig, setup, spray.at.day);
    if in_force.is_empty() {
        return None;
    }
    let applied = applied(season, facts)?;
    // Several outputs of one day are as many setups; any of them will do.
    let mut nearest: Option<(&Measured<'_>, Off)> = None;
    for one in in_force {
        for put_out in put_out(one, spray) {
            let Some(off) = off(&applied, put_out) else { continue };
            if nearest.is_none_or(|(_, known)| off.by < known.by) {
                nearest = Some((one, off));
            }
        }
    }
    let (calibration, off) = nearest?;
    Some(Hit { facts, calibration, applied, off, area: whole_block(season, facts) })
}

/// A spray and a calibration.
pub(super) struct Hit<'s> {
    pub(super) facts: &'s SprayFacts,
    pub(super) calibration: &'s Measured<'s>,
    applied: Applied,
    pub(super) off: Off,
    /// The area of its one block, where the spray goes by it.
    pub(super) area: Option<&'s Dated<Amount>>,
}

impl Hit<'_> {
    /// The area that the volume would fit.
    pub(super) fn fitting_area(&self, area: Amount) -> Option<Amount> {
        area.times(self.off.ratio)
    }

    /// What was put out and what was measured, in words.
    pub(super) fn said(&self) -> Option<(String, String)> {
        said(&self.applied, self.off.output)
    }
}

/// What sprays agree with: areas of blocks, and entries of calibrations.
#[derive(Default)]
pub(super) struct Fitting {
    pub(super) areas: FxHashSet<Span>,
    pub(super) calibrations: FxHashSet<Span>,
}

/// The area of a spray's only block, where the spray's area is what the block or its rows come to.
fn whole_block<'j>(season: &Season<'j>, facts: &SprayFacts) -> Option<&'j Dated<Amount>> {
    let spray = facts.spray(season.journal);
    let [block] = spray.ground.blocks.as_slice() else { return None };
    let own = expected_area(season.journal, block.id?, &spray.ground, spray.at.day)?;
    let area = in_force(&season.journal.block(block.id?).areas, spray.at.day)?;
    (facts.area?.ratio(own)? == Exact::ONE).then_some(area)
}

/// What went on the ground.
struct Applied {
    volume: Amount,
    area: Amount,
    left: Option<Amount>,
    /// By how much the area may be off, as a share of it.
    rounding: Exact,
}

/// How far a spray is off a calibration.
#[derive(Clone, Copy)]
pub(super) struct Off {
    /// The output that it was held against.
    output: PutOut,
    pub(super) ratio: Exact,
    by: Exact,
    far: bool,
}

fn applied(season: &Season<'_>, facts: &SprayFacts) -> Option<Applied> {
    let spray = facts.spray(season.journal);
    let (made, area) = (facts.finished?, facts.area?);
    let left = match &spray.leftover {
        Some(leftover) => Some(leftover.volume?),
        None => None,
    };
    let volume = left.map_or(Some(made), |left| made.minus(left))?;
    let rounding = match spray.over {
        Some(over) => written::rounding(season, over).value.div(over.value.value)?,
        None => {
            let (sum, off) = area_over_block::whole(season, spray, area.unit)?;
            off.div(sum.value)?
        }
    };
    (volume.value.is_positive() && area.value.is_positive()).then_some(Applied { volume, area, left, rounding })
}

/// What a sprayer puts out, for a way of driving.
#[derive(Clone, Copy)]
struct PutOut {
    rate: Rate,
    /// How often as much as measured, where the rows were driven in another way.
    times: Exact,
}

/// The outputs that a spray may go by: as written, or else by every reading of what was measured. Every other alley takes
/// half of what every alley takes; where a calibration does not say how its rows are driven, nothing is known of such a
/// spray.
fn put_out(one: &Measured<'_>, spray: &Spray) -> Vec<PutOut> {
    let alternate = spray.ground.rows.as_ref().is_some_and(|picked| picked.rows == PickedRows::Alternate);
    let half = Exact::new(1, 2).into_iter().chain([Exact::ONE]);
    let times: Vec<Exact> = match (alternate, one.calibration.driving.map(|driving| driving.value)) {
        (false, _) | (true, Some(Driving::AlternateRows)) => vec![Exact::ONE],
        // The area may be of the alleys driven, or of the whole block.
        (true, Some(Driving::BothSides | Driving::OneSide)) => half.collect(),
        (true, None) => Vec::new(),
    };
    let rates: Vec<Rate> = match one.written() {
        Some(written) => vec![written],
        None => one
            .ways
            .iter()
            .filter(|way| way.from != Method::Rated)
            .flat_map(|way| way.readings.iter().map(|reading| reading.output))
            .collect(),
    };
    let each = |&rate: &Rate| times.iter().filter_map(move |&times| Some(PutOut { rate: rate.times(times)?, times }));
    rates.iter().flat_map(each).collect()
}

/// Over 10 % off, even where the area was rounded the other way.
fn off(applied: &Applied, output: PutOut) -> Option<Off> {
    let Rate::Of { amount: volume, per } = output.rate else { return None };
    let ground = per.amount();
    let expected = volume.times(applied.area.ratio(ground)?)?;
    let ratio = applied.volume.ratio(expected)?;
    let by = ratio.sub(Exact::ONE)?;
    let tenth = Exact::new(1, 10)?;
    let nearest = if by.is_positive() {
        ratio.div(Exact::ONE.add(applied.rounding)?)?
    } else {
        let room = Exact::ONE.sub(applied.rounding)?;
        if !room.is_positive() {
            return None;
        }
        ratio.div(room)?
    };
    let still = nearest.sub(Exact::ONE)?;
    let same_side = still.is_positive() == by.is_positive();
    Some(Off { output, ratio, by: by.abs(), far: same_side && still.abs() > tenth })
}

fn finding(
    season: &Season<'_>,
    facts: &SprayFacts,
    measured: &Measured<'_>,
    applied: &Applied,
    off: Off,
    found: &Findings,
) -> Finding {
    let (spray, calibration) = (facts.spray(season.journal), measured.calibration);
    let names: Vec<&str> = spray.ground.blocks.iter().map(|block| season.words(block.span)).collect();
    let rig = season.words(calibration.rig.span);
    let at = written::volume_place(spray);
    let day = say::day(calibration.at.day);
    let percent = off.by.mul(Exact::int(100)).map_or_else(String::new, |percent| percent.figures(2));
    let more = if off.ratio > Exact::ONE { "more" } else { "less" };
    let driven = if off.output.times == Exact::ONE { "" } else { "through every other alley " };
    let Some((put, output)) = said(applied, off.output) else { return found.finding(at, "the volume is off") };
    let mut finding = found
        .finding(
            at,
            format!(
                "{put} went on {}, {percent} % {more} than the {output} that {rig} put out {driven}when measured on {day}",
                say::list(&names)
            ),
        )
        .here(format!("{percent} % {more} than measured"));
    if let Some(over) = spray.over {
        finding = finding.label(over.span, "on this ground");
    }
    if let Some(leftover) = &spray.leftover {
        finding = finding.label(leftover.span, "left over");
    }
    finding = finding.label(measured.place(), format!("measured on {day}"));
    if calibration.output.is_none()
        && let Some((_, worked)) = measured.worked_out()
    {
        finding.working.extend(worked.working.iter().chain(&worked.assumed).cloned());
    }
    if off.output.times != Exact::ONE {
        finding = finding.working(format!("every other alley takes half of what every alley takes: {output}"));
    }
    if let (Some(left), Some(made)) = (applied.left, facts.finished) {
        finding = finding.working(format!("{} - {} left = {}", show(made), show(left), show(applied.volume)));
    }
    let clues = Clues {
        of: Some(Dimension::Volume),
        written: Some(applied.volume.unit),
        basis: Some(Basis::Area),
        ..Clues::default()
    };
    finding
        .working(format!("{} / {} = {put}", show(applied.volume), show(applied.area)))
        .working(format!("{put} / {output} = {}", say::times(off.ratio)))
        .slip(alleys(off.ratio, measured).or_else(|| likely_slip(off.ratio, &clues)))
        .help("check volume and area; if both are right, the sprayer has changed: measure it again")
        .source(
            "5 % off is the usual limit before a sprayer is set right (Ohio State University Extension, FABE-537); said \
             here from 10 % on",
        )
}

/// The way of driving that half or twice the volume points to, for a sprayer that is driven between rows.
fn alleys(ratio: Exact, measured: &Measured<'_>) -> Option<String> {
    let driving = measured.calibration.driving?.value;
    let near = |constant: Exact| ratio.div(constant)?.sub(Exact::ONE)?.abs().le(&Exact::new(5, 100)?).then_some(());
    let (half, twice) = (near(Exact::new(1, 2)?).is_some(), near(Exact::int(2)).is_some());
    let slip = match driving {
        Driving::BothSides | Driving::OneSide if half => "every other alley driven, or one side shut, and not written",
        Driving::AlternateRows if twice => "every alley driven where every other one was measured",
        Driving::OneSide if twice => "both sides open where one was measured",
        _ => return None,
    };
    Some(format!("{slip} ({})", if half { "1/2 of it" } else { "2 times" }))
}

/// Both outputs in the words of the calibration.
fn said(applied: &Applied, output: PutOut) -> Option<(String, String)> {
    let Rate::Of { amount: volume, per } = output.rate else { return None };
    let Rate::Of { amount, .. } = rates::over(applied.volume, applied.area)?.said_as(volume.unit, per)? else {
        return None;
    };
    let (put, output) = show_apart(amount, volume);
    Some((format!("{put} {per}"), format!("{output} {per}")))
}
