//! See the Markdown beside this file.

use super::asked::SPRAYERS;
use super::{Ahead, Check, Findings, say, scene, written};
use crate::finding::Level;
use crate::journal::Calibration;
use crate::quantity::{Amount, Exact, Unit, show};
use crate::season::{Measured, Season, nozzles, per_minute, rated_flow};
use crate::trade::{UNEVEN_FROM, UNEVEN_STRICT, WORN_FROM, beyond, mean, off_mean};

pub(super) const CHECK: Check = Check {
    code: "nozzles-worn",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "Nozzles that give too much, too little or nothing",
    explain: include_str!("nozzles_worn.md"),
    run,
};

/// How many nozzles are shown one by one.
const SHOWN: usize = 12;

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, SPRAYERS, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    for one in season.calibrations.all() {
        if !one.calibration.catches.is_empty() && !season.has_unread_line(one.calibration.at.entry) {
            look(season, one, found);
        }
    }
}

/// A nozzle out of line: its number from one, and by which share it is over (or, below zero, under).
type Out = (usize, Exact);

fn look(season: &Season<'_>, one: &Measured<'_>, found: &mut Findings) {
    let calibration = one.calibration;
    let caught: Vec<Amount> = nozzles(calibration).into_iter().map(|(amount, _)| amount).collect();
    let flows = per_minute(calibration);
    if let Some((off, new)) = flows.as_deref().and_then(|flows| off_rated(calibration, flows)) {
        let out = out(season, calibration, &caught, off, WORN_FROM);
        if !out.is_empty() {
            let source = "10 % over a new nozzle at the same pressure: makers' handbooks; study guides of applicators' examinations in Illinois and Maryland";
            tell(season, one, &caught, &out, &format!("a new one, {} in a minute", show(new)), source, found);
            return;
        }
    }
    // Without one kind of nozzle, as airblast sprayers often have several, only a dry one is surely wrong.
    let alike = calibration.rated.is_some() || calibration.driving.is_none();
    let even = |flows: &[Amount]| Some((off_mean(flows)?, mean(flows)?));
    let flows = flows.unwrap_or_else(|| caught.clone());
    let Some((off, mean)) = even(&flows).filter(|_| flows.len() > 1) else { return };
    let minus_all = Exact::ONE.neg();
    let off = off.into_iter().map(|share| if alike || share == minus_all { share } else { Exact::ZERO }).collect();
    let out = out(season, calibration, &caught, off, UNEVEN_FROM);
    if !out.is_empty() {
        let source = "10 % off the mean: makers' handbooks; the stricter measure is 5 % (Alberta Agriculture, Agdex 606-1, p. 17)";
        tell(season, one, &caught, &out, &format!("the mean of all, {}", show(mean)), source, found);
    }
}

/// By which share each nozzle is off a new one, and what that gives in a minute; nothing where pressures are not known.
fn off_rated(calibration: &Calibration, flows: &[Amount]) -> Option<(Vec<Exact>, Amount)> {
    let new = rated_flow(calibration)?.per_minute();
    let off: Option<Vec<Exact>> = flows.iter().map(|flow| flow.ratio(new)?.sub(Exact::ONE)).collect();
    Some((off?, new))
}

/// The nozzles that are out by more than so many per cent, beyond what the written numbers were rounded by.
fn out(season: &Season<'_>, calibration: &Calibration, caught: &[Amount], off: Vec<Exact>, percent: i64) -> Vec<Out> {
    let rounding = calibration.catches.iter().flat_map(|catch| {
        let half = written::least_half_digit(season.words(catch.span));
        catch.amounts.iter().map(move |_| half)
    });
    let nearer = |share: Exact, part: Exact| {
        let by = share.abs().sub(part)?;
        Some(if share.is_negative() { by.neg() } else { by })
    };
    off.into_iter()
        .zip(caught)
        .zip(rounding)
        .enumerate()
        .filter_map(|(at, ((share, amount), half))| {
            // A dry nozzle is no rounded number.
            let part = half.div(amount.value).unwrap_or(Exact::ZERO);
            let least = nearer(share, part)?;
            (least.is_negative() == share.is_negative() && beyond(least, percent)).then_some((at + 1, share))
        })
        .collect()
}

fn tell(
    season: &Season<'_>,
    one: &Measured<'_>,
    caught: &[Amount],
    out: &[Out],
    against: &str,
    source: &str,
    found: &mut Findings,
) {
    let calibration = one.calibration;
    let rig = season.words(calibration.rig.span);
    let (over, rest): (Vec<&Out>, Vec<&Out>) = out.iter().partition(|(_, share)| share.is_positive());
    let (dry, under): (Vec<&Out>, Vec<&Out>) = rest.into_iter().partition(|(_, share)| *share == Exact::ONE.neg());
    let some = |nozzles: &[&Out], what: &str| (!nozzles.is_empty()).then(|| format!("{} {what}", numbers(nozzles)));
    let parts: Vec<String> =
        [some(&over, "over"), some(&under, "under"), some(&dry, "dry")].into_iter().flatten().collect();
    let by = if over.is_empty() && under.is_empty() { "" } else { " by over 10 %" };
    let headline = format!(
        "{} of {} nozzles of {rig} {} out of line{by}: {}",
        out.len(),
        caught.len(),
        if out.len() == 1 { "is" } else { "are" },
        say::list(&parts)
    );
    let Some(at) = calibration.catches.first() else { return };
    let mut finding = found.finding(at.span, headline).here(format!("held against {against}"));
    if let Some(rated) = calibration.rated {
        finding = finding.label(rated.span, "a new one");
    }
    if let (Some(rated), Some(pressure)) = (calibration.rated, calibration.pressure)
        && let Some(from) =
            rated.value.pressure.filter(|from| from.compare(pressure.value).is_some_and(|order| order.is_ne()))
    {
        finding = finding.working(format!(
            "at {} instead of {} a new one gives {}: flow goes with the square root of pressure",
            show(pressure.value),
            show(from),
            rated_flow(calibration).map_or_else(String::new, |flow| format!("{} in a minute", show(flow.per_minute())))
        ));
    }
    for (number, share) in out.iter().take(SHOWN) {
        let amount = caught.get(number - 1).copied().unwrap_or(Amount::of(0, Unit::FL_OZ));
        finding = finding.working(format!("nozzle {number}: {}, {}", show(amount), by_percent(*share)));
    }
    if out.len() > SHOWN {
        finding = finding.working(format!("and {} more", scene::count(out.len() - SHOWN, "nozzle")));
    }
    found.add(
        finding
            .working(if by.is_empty() {
                "a nozzle that gives nothing is shut or blocked".to_string()
            } else {
                format!("held against {against}; by the stricter measure {UNEVEN_STRICT} % is too much")
            })
            .help("clean or change them, and measure again")
            .source(source),
    );
}

/// `nozzle 3`, `nozzles 3, 5 and 8`; of many, how many.
fn numbers(nozzles: &[&Out]) -> String {
    match nozzles {
        [(one, _)] => format!("nozzle {one}"),
        few if few.len() <= 6 => {
            let numbers: Vec<String> = few.iter().map(|(number, _)| number.to_string()).collect();
            format!("nozzles {}", say::list(&numbers))
        }
        many => format!("{} nozzles", many.len()),
    }
}

/// `12 % over`, `15 % under`, `nothing`.
fn by_percent(share: Exact) -> String {
    if share == Exact::ONE.neg() {
        return "nothing".to_string();
    }
    let percent = share.abs().mul(Exact::int(100)).map_or_else(String::new, |percent| percent.figures(2));
    format!("{percent} % {}", if share.is_negative() { "under" } else { "over" })
}
