//! How much spray a planned round takes, and from what that is known.

use chrono::NaiveDate;

use crate::journal::{Block, BlockId, Canopy, PlannedVolume, Program, RigId, Spray, in_force};
use crate::quantity::{Amount, Exact, Per, Rate};
use crate::season::{Season, SprayFacts, block_area};
use crate::trade::{canopy_per_area, dilute_per_area};

/// A volume that is planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Planned {
    /// How much finished spray.
    pub volume: Amount,
    /// From what it is known.
    pub from: VolumeFrom,
}

/// From what a planned volume is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum VolumeFrom {
    /// The program says it.
    Program,
    /// As much per area as the block's last round had, which was on that day.
    LastRound(NaiveDate),
    /// What the sprayer put out when it was measured on that day.
    Calibration(NaiveDate),
    /// What it takes to wet the block to the drip, by its own entry.
    Dilute,
}

/// The volume of a round on a day; `None` where nothing says it.
pub(super) fn volume(
    season: &Season<'_>,
    program: &Program,
    block: BlockId,
    last: Option<&SprayFacts>,
    day: NaiveDate,
) -> Option<Planned> {
    let area = block_area(season.journal.block(block), day);
    let of_program = || match program.volume?.value {
        PlannedVolume::Each(volume) => Some(volume),
        PlannedVolume::PerArea(rate) => rate.for_area(area?),
    };
    let planned = |volume, from| Planned { volume, from };
    of_program()
        .map(|volume| planned(volume, VolumeFrom::Program))
        .or_else(|| {
            let last = last?;
            let volume = like_last(last, block, area)?;
            Some(planned(volume, VolumeFrom::LastRound(last.spray(season.journal).at.day)))
        })
        .or_else(|| {
            let last = last.map(|last| last.spray(season.journal));
            let setup = last.and_then(|last| last.setup).map(|span| season.words(span));
            let measured = rig(program, last).map(|rig| outputs(season, rig, setup, day)).unwrap_or_default();
            if !measured.is_empty() {
                // Where setups differ, no volume is better than that of one which may not be meant.
                let &(rate, measured_on) = agreed(&measured)?;
                return Some(planned(rate.for_area(area?)?, VolumeFrom::Calibration(measured_on)));
            }
            let dilute = wetting(season.journal.block(block), day)?.per_area.for_area(area?)?;
            let volume = match program.concentrate {
                Some(times) => dilute.times(times.value.recip()?)?,
                None => dilute,
            };
            Some(planned(volume, VolumeFrom::Dilute))
        })
}

/// The sprayer of a planned round: the program's, or the one of the last round.
pub(super) fn rig(program: &Program, last: Option<&Spray>) -> Option<RigId> {
    let rig = program.rig.or(last.and_then(|last| last.rig))?;
    rig.id
}

/// As much per area as a spray put down; the same volume where it was on this block alone and no area is known.
fn like_last(last: &SprayFacts, block: BlockId, area: Option<Amount>) -> Option<Amount> {
    let finished = last.finished?;
    match (last.area, area) {
        (Some(treated), Some(area)) => finished.times(area.ratio(treated)?),
        _ => last.touched.iter().all(|touched| touched.block == block).then_some(finished),
    }
}

/// What a sprayer puts out by its calibrations in force on a day, written or worked out, each with the day it was measured.
pub fn outputs(season: &Season<'_>, rig: RigId, setup: Option<&str>, day: NaiveDate) -> Vec<(Rate, NaiveDate)> {
    let measured = season.calibrations.in_force(rig, setup, day);
    measured.iter().filter_map(|one| Some((one.output()?, one.calibration.at.day))).collect()
}

/// The first of several outputs, where all are the same; nothing where they differ, since the setup then matters.
pub fn agreed(outputs: &[(Rate, NaiveDate)]) -> Option<&(Rate, NaiveDate)> {
    let (first, rest) = outputs.split_first()?;
    rest.iter().all(|(rate, _)| rate.ratio(first.0, None, None) == Some(Exact::ONE)).then_some(first)
}

/// What it takes to wet a block to the drip.
#[derive(Clone, Copy, Debug)]
pub struct Wetting {
    /// The spray per ground.
    pub per_area: Rate,
    /// The block's own `dilute`.
    pub dilute: Rate,
    /// The trees and the spacing of the rows, where `dilute` is for room in the trees.
    pub trees: Option<(Canopy, Amount)>,
}

/// What it takes to wet a block to the drip, by its `dilute` and `canopy` on a day; nothing where they do not say.
///
/// Source: A. Landers, Cornell University, "Tree Row Volume".
pub fn wetting(block: &Block, day: NaiveDate) -> Option<Wetting> {
    let dilute = in_force(&block.dilutes, day)?.value;
    if let Rate::Of { per: Per::Area(_), .. } = dilute {
        return Some(Wetting { per_area: dilute, dilute, trees: None });
    }
    let canopy = in_force(&block.canopies, day)?.value;
    let spacing = block.layout.as_ref()?.spacing?;
    let room = canopy_per_area(canopy.height, canopy.width, spacing)?;
    Some(Wetting { per_area: dilute_per_area(room, dilute)?, dilute, trees: Some((canopy, spacing)) })
}
