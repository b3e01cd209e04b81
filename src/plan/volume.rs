//! How much spray a planned round takes, and from what that is known.

use chrono::NaiveDate;

use crate::journal::{BlockId, Calibration, PlannedVolume, Program, RigId, Spray, in_force};
use crate::quantity::{Amount, Per, Rate};
use crate::season::{Season, SprayFacts, block_area};

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
            let rig = rig(program, last.map(|last| last.spray(season.journal)))?;
            let (calibration, rate) = latest(season, rig, day)?;
            Some(planned(rate.for_area(area?)?, VolumeFrom::Calibration(calibration.at.day)))
        })
        .or_else(|| {
            let rate = in_force(&season.journal.block(block).dilutes, day)?.value;
            let dilute = rate.for_area(area?)?;
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

/// The latest measured output of a sprayer up to a day, as a rate.
fn latest<'j>(season: &Season<'j>, rig: RigId, day: NaiveDate) -> Option<(&'j Calibration, Rate)> {
    let measured = season.journal.calibrations.iter().filter(|one| one.rig.id == Some(rig) && one.at.day <= day);
    let rates = measured.filter_map(|one| {
        let (amount, area) = one.output?.value;
        Some((one, Rate::Of { amount, per: Per::counted(area).ok()? }))
    });
    rates.max_by_key(|(one, _)| (one.at.day, std::cmp::Reverse(one.at.entry.start)))
}
