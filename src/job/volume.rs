//! How much finished spray a job takes, and from what that is known.

use crate::checks::day;
use crate::journal::{PlannedVolume, Program, RigId};
use crate::plan::{Wetting, agreed, outputs, wetting};
use crate::quantity::{Amount, Dimension, Exact, Per, Rate, show};
use crate::season::{Season, SprayFacts};

/// A volume, and how it was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Planned {
    /// How much finished spray.
    pub volume: Amount,
    /// From what, with the arithmetic, a sentence each.
    pub said: Vec<String>,
}

/// The finished spray of a job whose draft is in the season: as given (`60 gal`, `75 gal per acre`), or else by the
/// program, the sprayer's calibration in force, or what it takes to wet the trees, over the concentration.
///
/// # Errors
/// A sentence that says what is missing.
pub fn planned(
    season: &Season<'_>,
    draft: &SprayFacts,
    given: Option<&str>,
    program: Option<&Program>,
    rig: Option<RigId>,
) -> Result<Planned, String> {
    let spray = draft.spray(season.journal);
    if let Some(words) = given {
        return by_words(words, draft);
    }
    if let Some(volume) = program.and_then(|program| program.volume) {
        let whose = program.map_or("", |program| &*program.named.name);
        return match volume.value {
            PlannedVolume::Each(each) => {
                let blocks = i64::try_from(draft.touched.len()).unwrap_or(1);
                let total = each.times(Exact::int(blocks)).ok_or_else(too_large)?;
                let times = if blocks == 1 { String::new() } else { format!(" x {blocks} blocks = {}", show(total)) };
                Ok(Planned {
                    volume: total,
                    said: vec![format!("As the program {whose} has it: {}{times}.", show(each))],
                })
            }
            PlannedVolume::PerArea(rate) => over_ground(rate, draft, &format!("As the program {whose} has it")),
        };
    }
    let setup = spray.setup.map(|span| season.words(span));
    let measured = rig.map(|rig| outputs(season, rig, setup, spray.at.day)).unwrap_or_default();
    if let Some(&(output, measured_on)) = agreed(&measured) {
        return over_ground(output, draft, &format!("By the calibration of {}", day(measured_on)));
    }
    if !measured.is_empty() {
        let said: Vec<String> = measured.iter().map(|(rate, on)| format!("{} on {}", rate.show(), day(*on))).collect();
        return Err(format!(
            "the sprayer was measured in several setups ({}); say with --setup which it is, or give --volume",
            said.join(", ")
        ));
    }
    if let Some(dilute) = dilute(season, draft) {
        let times = spray.concentrate.map_or(Exact::ONE, |times| times.value);
        let volume = times.recip().and_then(|part| dilute.volume.times(part)).map(writable).ok_or_else(too_large)?;
        let mut said = dilute.said;
        if times != Exact::ONE {
            said.push(format!(
                "{} dilute / {} = {} of concentrate.",
                show(dilute.volume),
                times.figures(4),
                show(volume)
            ));
        }
        return Ok(Planned { volume, said });
    }
    Err("how much spray the job takes is not known: give --volume (60 gal, or 75 gal per acre), or write a `volume` in the \
         program, a `calibrate` of the sprayer, or a `dilute` of the block"
        .to_string())
}

/// A volume that was reckoned, as it is said and written: where three decimals do not say it in full, to four figures. What
/// is measured and what is recorded are reckoned from that, so that both are the same.
fn writable(volume: Amount) -> Amount {
    let in_full = volume.value.mul(Exact::int(1000)).is_some_and(|thousand| thousand.is_integer());
    let said = || Exact::parse(&volume.value.figures(4)).ok().filter(|value| value.is_positive());
    if in_full { volume } else { said().map_or(volume, |value| Amount::new(value, volume.unit)) }
}

/// A calibration beside ground with other rows: what the sprayer puts out on rows so far apart, in a sentence for each
/// block whose rows stand over 5 % closer or wider than where it was measured, driven between rows.
///
/// At the same flow and speed the output falls as the width grows: gal per acre = 495 × gal a minute / (mph × ft)
/// (University of Florida IFAS, EDIS WG013). The 5 % are those that calibration is held to (Ohio State University
/// Extension, FABE-537).
pub fn of_other_rows(season: &Season<'_>, facts: &SprayFacts) -> Vec<String> {
    let journal = season.journal;
    let spray = facts.spray(journal);
    let Some(rig) = spray.rig.and_then(|rig| rig.id) else { return Vec::new() };
    let setup = spray.setup.map(|span| season.words(span));
    let measured = season.calibrations.in_force(rig, setup, spray.at.day);
    let mut said = Vec::new();
    for one in measured.iter().filter(|one| one.calibration.driving.is_some()) {
        for touched in facts.touched.iter().filter(|touched| !touched.leftover) {
            let block = journal.block(touched.block);
            let sentence = || {
                let (width, output) = (one.calibration.width?.value, one.output()?);
                let spacing = block.layout.as_ref()?.spacing?;
                let part = width.ratio(spacing)?;
                (part.sub(Exact::ONE)?.abs() > Exact::new(5, 100)?).then_some(())?;
                let Rate::Of { amount, per } = output else { return None };
                let there = Rate::Of { amount: amount.times(part)?, per };
                Some(format!(
                    "the sprayer was measured for rows {} apart ({}); the rows of {} are {} apart, where the same flow \
                     and speed put out {}",
                    show(width),
                    output.show(),
                    block.named.shown(),
                    show(spacing),
                    there.show()
                ))
            };
            said.extend(sentence().filter(|sentence| !said.contains(sentence)));
        }
    }
    said
}

fn too_large() -> String {
    "the numbers are too large to be reckoned with".to_string()
}

fn by_words(words: &str, draft: &SprayFacts) -> Result<Planned, String> {
    let unreadable = || format!("--volume {words}: a volume is written `60 gal`, or per ground `75 gal per acre`");
    if let Ok(volume) = Amount::parse(words) {
        if volume.dimension() != Dimension::Volume || !volume.value.is_positive() {
            return Err(unreadable());
        }
        return Ok(Planned { volume, said: vec![format!("As asked for: {}.", show(volume))] });
    }
    match Rate::parse(words) {
        Ok(rate @ Rate::Of { amount, per: Per::Area(_) })
            if amount.dimension() == Dimension::Volume && amount.value.is_positive() =>
        {
            over_ground(rate, draft, "As asked for")
        }
        _ => Err(unreadable()),
    }
}

fn over_ground(rate: Rate, draft: &SprayFacts, from: &str) -> Result<Planned, String> {
    let area = draft.area.ok_or_else(|| {
        format!("{from} it is {}, but the area is not known: give --area, or write the block's `area`", rate.show())
    })?;
    let volume = rate.for_area(area).map(writable).ok_or_else(too_large)?;
    Ok(Planned { volume, said: vec![format!("{from}: {} x {} = {}.", rate.show(), show(area), show(volume))] })
}

/// What it takes to wet the ground of a spray to the drip, by the `dilute` and `canopy` of its blocks; `None` where one of
/// them does not say.
pub fn dilute(season: &Season<'_>, facts: &SprayFacts) -> Option<Planned> {
    let day = facts.spray(season.journal).at.day;
    let mut total: Option<Amount> = None;
    let mut said = Vec::new();
    for touched in facts.touched.iter().filter(|touched| !touched.leftover) {
        let block = season.journal.block(touched.block);
        let Wetting { per_area, dilute, trees } = wetting(block, day)?;
        let canopy = trees.map_or_else(String::new, |(canopy, spacing)| {
            format!(
                "trees {} high and {} wide in rows {} apart, {}; ",
                show(canopy.height),
                show(canopy.width),
                show(spacing),
                dilute.show()
            )
        });
        let volume = per_area.for_area(touched.area?)?;
        said.push(format!(
            "Dilute spraying of {}: {canopy}{} x {} = {}.",
            block.named.shown(),
            per_area.show(),
            show(touched.area?),
            show(volume)
        ));
        total = Some(match total {
            Some(sum) => sum.plus(volume)?,
            None => volume,
        });
    }
    Some(Planned { volume: total?, said })
}
