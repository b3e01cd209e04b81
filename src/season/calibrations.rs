//! Sprayers measured: what each measuring comes to, and which of them counts for a spray.

use chrono::NaiveDate;

use super::output_ways::{Method, Way, Worked, ways};
use crate::journal::{Calibration, Journal, RigId, stage_words};
use crate::quantity::{Per, Rate};
use crate::text::{Sources, Span};

/// How many measurings of one sprayer are looked through at most, the latest first. More setups are no way of working, and
/// so time stays in proportion to the journal.
const MOST: usize = 64;

/// A sprayer measured, with what it comes to.
#[derive(Clone, Debug)]
pub struct Measured<'j> {
    /// The record.
    pub calibration: &'j Calibration,
    /// Which sprayer.
    pub rig: RigId,
    /// The output by every way that the facts allow.
    pub ways: Vec<Way>,
    /// The words of the setup: all of them, and those up to the first comma.
    setup: Option<(String, String)>,
}

impl Measured<'_> {
    /// The output as written.
    pub fn written(&self) -> Option<Rate> {
        let (amount, area) = self.calibration.output?.value;
        Some(Rate::Of { amount, per: Per::counted(area).ok()? })
    }

    /// The output by what was measured: by what was caught, or else by what filling up took, or else by the plot. What
    /// new nozzles would give is no measuring.
    pub fn worked_out(&self) -> Option<(&Way, &Worked)> {
        let way = self.ways.iter().find(|way| way.from != Method::Rated)?;
        Some((way, way.readings.first()?))
    }

    /// The output: as written, or else as worked out.
    pub fn output(&self) -> Option<Rate> {
        self.written().or(self.worked_out().map(|(_, reading)| reading.output))
    }

    /// Where the output stands, or else the record's first line.
    pub fn place(&self) -> Span {
        self.calibration.output.map_or(self.calibration.at.line, |output| output.span)
    }
}

/// Every measuring of a sprayer that is declared.
#[derive(Debug)]
pub struct Calibrations<'j> {
    /// By sprayer, then in the order of time.
    measured: Vec<Measured<'j>>,
}

impl<'j> Calibrations<'j> {
    pub(super) fn new(journal: &'j Journal, sources: &Sources) -> Self {
        let setup = |span: Span| {
            let words = sources.slice(span);
            (words.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" "), stage_words(words))
        };
        let one = |calibration: &'j Calibration| {
            let rig = calibration.rig.id?;
            Some(Measured { calibration, rig, ways: ways(calibration), setup: calibration.setup.map(setup) })
        };
        let mut measured: Vec<Measured<'j>> = journal.calibrations.iter().filter_map(one).collect();
        // Ties are broken by what is written, never by where: the order of files changes nothing.
        measured.sort_by_cached_key(|one| {
            let at = one.calibration.at;
            (one.rig, at.day, sources.slice(at.entry), at.entry.start)
        });
        Self { measured }
    }

    /// Every measuring of a sprayer, in the order of time.
    pub fn of(&self, rig: RigId) -> &[Measured<'j>] {
        let from = self.measured.partition_point(|one| one.rig < rig);
        let to = self.measured.partition_point(|one| one.rig <= rig);
        &self.measured[from..to]
    }

    /// Every measuring.
    pub fn all(&self) -> &[Measured<'j>] {
        &self.measured
    }

    /// The last measuring of a sprayer up to a day, whatever its setup.
    pub fn last(&self, rig: RigId, day: NaiveDate) -> Option<&Measured<'j>> {
        self.until(rig, day).last()
    }

    /// The measurings that count on a day for a sprayer in a setup; several of one day all count.
    ///
    /// Setups are compared like growth stages: case, hyphens and whatever follows the first comma do not matter, unless a
    /// setup has exactly the same words. Where a setup was never measured, those count that name none. Where no setup is
    /// named, the latest of each setup counts, since it may have been any.
    pub fn in_force(&self, rig: RigId, setup: Option<&str>, day: NaiveDate) -> Vec<&Measured<'j>> {
        let until = self.until(rig, day);
        let recent = || until.iter().rev().take(MOST);
        let latest = |fits: &dyn Fn(&Measured<'_>) -> bool| -> Vec<&Measured<'j>> {
            let Some(day) = recent().find(|one| fits(one)).map(|one| one.calibration.at.day) else { return Vec::new() };
            recent().filter(|one| one.calibration.at.day == day && fits(one)).collect()
        };
        let Some(setup) = setup else {
            let mut found: Vec<&Measured<'j>> = Vec::new();
            for one in recent() {
                let same = |known: &&Measured<'_>| known.setup == one.setup;
                if found
                    .iter()
                    .find(|known| same(known))
                    .is_none_or(|known| known.calibration.at.day == one.calibration.at.day)
                {
                    found.push(one);
                }
            }
            return found;
        };
        let whole = setup.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
        let first = stage_words(setup);
        let exact = latest(&|one| one.setup.as_ref().is_some_and(|(known, _)| *known == whole));
        if !exact.is_empty() {
            return exact;
        }
        let like = latest(&|one| one.setup.as_ref().is_some_and(|(_, known)| *known == first));
        if like.is_empty() { latest(&|one| one.setup.is_none()) } else { like }
    }

    fn until(&self, rig: RigId, day: NaiveDate) -> &[Measured<'j>] {
        let of = self.of(rig);
        &of[..of.partition_point(|one| one.calibration.at.day <= day)]
    }
}
