//! Volumes that all disagree on one block in the same way: its area is the slip, not the sprays.

use std::collections::BTreeMap;

use rustc_hash::{FxHashMap, FxHashSet};

use super::amount_disagrees::alike;
use super::volume_disagrees::{CHECK, Fitting, Hit};
use super::{Findings, accepted, rates, say, scene, written};
use crate::quantity::{Dimension, Exact};
use crate::season::Season;
use crate::text::Span;
use crate::trade::{Clues, likely_slip};

/// From so many sprays on, the block's area is doubted rather than each of them.
const SPRAYS: usize = 2;
/// How many of them are shown.
const SHOWN: usize = 5;

/// Reports areas of blocks that at least two sprays disagree with by one factor (within 10 %) and none agrees with, and
/// gives them back. Where every block that a calibration was used on is off, the sprayer is as likely, and the sprays are
/// told one by one. A spray that accepts the finding has its own reason and is left out.
pub(super) fn report(
    season: &Season<'_>,
    hits: &[Hit<'_>],
    fitting: &Fitting,
    found: &mut Findings,
) -> FxHashSet<Span> {
    let accepting = accepted::entries(season, CHECK.code);
    let mut by_area: BTreeMap<Span, Vec<&Hit<'_>>> = BTreeMap::new();
    let mut blocks: FxHashMap<Span, Option<Span>> = FxHashMap::default();
    for hit in hits {
        let area = hit.area.map(|area| area.span);
        // `None` from the second block on.
        blocks
            .entry(hit.calibration.calibration.at.entry)
            .and_modify(|known| *known = known.filter(|_| *known == area))
            .or_insert(area);
        let accepts = accepting.contains(&hit.facts.spray(season.journal).at.entry.start);
        if let Some(area) = area.filter(|area| !accepts && !fitting.areas.contains(area)) {
            by_area.entry(area).or_default().push(hit);
        }
    }
    let sprayer = |hit: &Hit<'_>| {
        let calibration = hit.calibration.calibration.at.entry;
        !fitting.calibrations.contains(&calibration) && blocks.get(&calibration).is_none_or(Option::is_none)
    };
    by_area.retain(|_, hits| {
        hits.len() >= SPRAYS
            && hits.iter().all(|hit| alike(hit.off.ratio, hits[0].off.ratio, Exact::new(1, 10)) && !sprayer(hit))
    });
    let mut told: Vec<(&Span, &Vec<&Hit<'_>>)> = by_area.iter().collect();
    told.sort_by_key(|(area, _)| area.start);
    for (_, hits) in told {
        tell(season, hits, found);
    }
    by_area.into_keys().collect()
}

fn tell(season: &Season<'_>, hits: &[&Hit<'_>], found: &mut Findings) {
    let first = hits[0];
    let (Some(area), Some((put, output))) = (first.area, first.said()) else { return };
    let Some(fitting) = first.fitting_area(area.value) else { return };
    let place = scene::blocks(season, &first.facts.spray(season.journal).ground);
    let (has, fits) = rates::amounts(season, area.value, fitting);
    let rig = season.words(first.calibration.calibration.rig.span);
    let mut finding = found
        .finding(
            area.span,
            format!(
                "{} sprays of {place} took {} times what {rig} puts out on {has}, and none fits: the area is probably wrong",
                hits.len(),
                say::times(first.off.ratio)
            ),
        )
        .here("the area in force");
    for hit in hits.iter().take(SHOWN) {
        let spray = hit.facts.spray(season.journal);
        finding = finding.label(written::volume_place(spray), format!("{} times", say::times(hit.off.ratio)));
    }
    if hits.len() > SHOWN {
        finding = finding.working(format!("and {} more alike", hits.len() - SHOWN));
    }
    let measured = first.calibration;
    finding = finding.label(measured.place(), format!("measured on {}", say::day(measured.calibration.at.day)));
    let clues = Clues { of: Some(Dimension::Area), written: Some(area.value.unit), ..Clues::default() };
    let slip = first.off.ratio.recip().and_then(|ratio| likely_slip(ratio, &clues));
    found.add(
        finding
            .working(format!("{put} / {output} = {}", say::times(first.off.ratio)))
            .working(format!("with an area of {fits} they would agree"))
            .slip(slip)
            .help("measure the block again, or the sprayer; if the sprays are right as they are, accept this in the block with the reason")
            .source(
                "5 % off is the usual limit before a sprayer is set right (Ohio State University Extension, FABE-537); \
                 said here from 10 % on",
            ),
    );
}
