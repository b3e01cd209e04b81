//! See the Markdown beside this file.

use super::asked::SPRAYERS;
use super::{Ahead, Check, Findings, say, written};
use crate::finding::Level;
use crate::journal::{Calibration, Driving};
use crate::quantity::{Amount, Exact, Rate, show_apart};
use crate::season::{Measured, Method, Season, Worked};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "output-disagrees",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "An output that disagrees with what was measured for it",
    explain: include_str!("output_disagrees.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, SPRAYERS, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    for one in season.calibrations.all() {
        look(season, one, found);
    }
}

/// A sum that the written output is held against.
struct Off<'m> {
    from: Method,
    worked: &'m Worked,
    /// The written output over the sum.
    ratio: Exact,
}

fn look(season: &Season<'_>, one: &Measured<'_>, found: &mut Findings) {
    let calibration = one.calibration;
    let (Some(output), Some(rate)) = (calibration.output, one.written()) else { return };
    if season.has_unread_line(calibration.at.entry) {
        return;
    }
    let mut first: Option<Off<'_>> = None;
    for way in one.ways.iter().filter(|way| way.from != Method::Rated) {
        for worked in &way.readings {
            let Some(ratio) = rate.ratio(worked.output, None, None) else { continue };
            // One reading that fits is enough: what the others take as so is not so.
            let Some(room) = room(season, calibration, way.from) else { continue };
            let Some(off) = ratio.sub(Exact::ONE) else { continue };
            if off.abs() <= room {
                return;
            }
            first.get_or_insert(Off { from: way.from, worked, ratio });
        }
    }
    let Some(off) = first else { return };
    let Some((said, sum)) = said(rate, off.worked.output) else { return };
    let rig = season.words(calibration.rig.span);
    let more = if off.ratio > Exact::ONE { "more" } else { "less" };
    let percent = off.ratio.sub(Exact::ONE).and_then(|by| by.abs().mul(Exact::int(100)));
    let percent = percent.map_or_else(String::new, |percent| percent.figures(2));
    let what = match off.from {
        Method::Used => "what filling up again took",
        _ => "what was caught",
    };
    let mut finding = found
        .finding(
            output.span,
            format!(
                "The output of {rig} is written as {said}, {percent} % {more} than the {sum} that {what} on {} comes to",
                say::day(calibration.at.day)
            ),
        )
        .here(format!("{percent} % {more} than measured"));
    for span in places(calibration, off.from) {
        finding = finding.label(span, "measured");
    }
    finding.working.extend(off.worked.working.iter().chain(&off.worked.assumed).cloned());
    found.add(
        finding
            .working(format!("{said} / {sum} = {}", say::times(off.ratio)))
            .slip(slip(calibration, off.ratio))
            .help("reckon it again from what was measured; leave `output` out and it is worked out")
            .source("University of Florida IFAS, EDIS WG013, and Ohio State University Extension, FABE-537: 5 % off is the usual limit"),
    );
}

/// By how much the two may differ: 5 %, and what the written numbers were rounded by, up to a quarter.
fn room(season: &Season<'_>, calibration: &Calibration, from: Method) -> Option<Exact> {
    Exact::new(5, 100)?.add(rounded(season, calibration, from)?.min(Exact::new(1, 4)?))
}

/// By which share the numbers may be off because they were rounded.
fn rounded(season: &Season<'_>, calibration: &Calibration, from: Method) -> Option<Exact> {
    let part = |span: Span, of: Amount| written::half_digit(season.words(span)).div(of.value);
    let time = |span: Span, time: Amount| {
        let words = season.words(span).rsplit_once(" in ").map_or("", |(_, time)| time);
        written::half_digit(words).div(time.value)
    };
    let output = calibration.output?;
    let own = part(output.span, output.value.0)?;
    if from == Method::Used {
        let used = calibration.used?;
        return own.add(part(used.span, used.value)?);
    }
    let mut most = Exact::ZERO;
    for catch in &calibration.catches {
        let least = catch.amounts.iter().filter(|amount| amount.value.is_positive()).map(|amount| amount.value).min();
        let off = written::least_half_digit(season.words(catch.span)).div(least?)?;
        most = most.max(off.add(catch.time.map_or(Some(Exact::ZERO), |of| time(catch.span, of))?)?);
    }
    let course = calibration.course.and_then(|course| Some((course.span, course.value.time?)));
    let plot = calibration.plot.and_then(|plot| Some((plot.span, plot.value.time?)));
    [course, plot].into_iter().flatten().try_fold(own.add(most)?, |sum, (span, of)| sum.add(time(span, of)?))
}

/// Where the numbers of a sum stand.
fn places(calibration: &Calibration, from: Method) -> Vec<Span> {
    let caught = calibration.catches.first().map(|catch| catch.span);
    let used = calibration.used.map(|used| used.span);
    let first = if from == Method::Used { used } else { caught };
    first.into_iter().chain(calibration.width.map(|width| width.span)).collect()
}

/// Both outputs in the words of the written one.
fn said(written: Rate, sum: Rate) -> Option<(String, String)> {
    let Rate::Of { amount, per } = written else { return None };
    let Rate::Of { amount: other, .. } = sum.said_as(amount.unit, per)? else { return None };
    let (one, other) = show_apart(amount, other);
    Some((format!("{one} {per}"), format!("{other} {per}")))
}

/// The slip that the ratio points to: one side for both, every alley for every other one, one nozzle for all.
fn slip(calibration: &Calibration, ratio: Exact) -> Option<String> {
    let near = |constant: Exact| {
        let off = || ratio.div(constant)?.sub(Exact::ONE);
        off().zip(Exact::new(5, 100)).is_some_and(|(off, most)| off.abs() <= most)
    };
    let half = Exact::new(1, 2)?;
    let (twice, halved) = (near(Exact::int(2)), near(half));
    match calibration.driving.map(|driving| driving.value) {
        Some(Driving::BothSides) if halved => {
            Some("one side reckoned where both spray, or every other alley (1/2 of it)".into())
        }
        Some(Driving::BothSides) if twice => Some("both sides caught and counted twice (2 times)".into()),
        Some(Driving::OneSide) if halved => Some("one side reckoned as both (1/2 of it)".into()),
        Some(Driving::AlternateRows) if twice => {
            Some("every alley reckoned where every other one is driven (2 times)".into())
        }
        None if twice => Some("both sides, or two nozzles, counted where one was caught (2 times)".into()),
        None if halved => Some("one side, or one of two nozzles, counted where both spray (1/2 of it)".into()),
        _ => None,
    }
}
