//! See the Markdown beside this file.

use chrono::NaiveDate;
use rustc_hash::FxHashMap;

use super::{Ahead, Check, Findings, When, say, scene};
use crate::finding::Level;
use crate::journal::{RigId, Written};
use crate::quantity::Exact;
use crate::season::{By, Measured, Season, SprayFacts};
use crate::syntax::EntryWord;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "calibration-old",
    level: Level::Warning,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "A sprayer used longer after it was measured than your own rule lets a calibration count",
    explain: include_str!("calibration_old.md"),
    run,
};

/// Sprays of one sprayer that went by one old calibration, or by none.
struct Stale<'s, 'j> {
    rig: RigId,
    rule: Written<Exact>,
    last: Option<&'s Measured<'j>>,
    first: &'s SprayFacts,
    sprays: usize,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Calibrate) {
        return;
    }
    let mut stale: Vec<Stale<'_, '_>> = Vec::new();
    // One finding for each sprayer and old calibration, however many sprays went by it.
    let mut places: FxHashMap<(RigId, Option<Span>), usize> = FxHashMap::default();
    let by = By { named: &[EntryWord::Rig], facts: &[], any: &[EntryWord::Calibrate] };
    let by_old = found.in_sprays(season, by, |_, facts| {
        let spray = facts.spray(season.journal);
        let rig = spray.rig?.id?;
        let rule = season.journal.rig(rig).recalibrate?;
        let setup = spray.setup.map(|setup| season.words(setup));
        let in_force = season.calibrations.in_force(rig, setup, spray.at.day);
        let latest = in_force.iter().copied().max_by_key(|one| one.calibration.at.day);
        let old = latest.is_none_or(|one| !counts(one, spray.at.day, rule.value));
        old.then_some((facts, rig, rule, latest))
    });
    for (facts, rig, rule, latest) in by_old {
        let key = (rig, latest.map(|one| one.calibration.at.entry));
        match places.get(&key) {
            Some(&place) => stale[place].sprays += 1,
            None => {
                places.insert(key, stale.len());
                stale.push(Stale { rig, rule, last: latest, first: facts, sprays: 1 });
            }
        }
    }
    for one in stale {
        tell(season, &one, found);
    }
}

/// Whether a calibration still counts on a day.
fn counts(one: &Measured<'_>, day: NaiveDate, rule: Exact) -> bool {
    let age = Exact::int(scene::between(one.calibration.at.day, day)).mul(Exact::int(86_400));
    age.is_none_or(|age| age <= rule)
}

fn tell(season: &Season<'_>, stale: &Stale<'_, '_>, found: &mut Findings) {
    let spray = stale.first.spray(season.journal);
    let rig = &season.journal.rig(stale.rig).named.name;
    let day = say::day(spray.at.day);
    let rule = scene::interval(stale.rule.value);
    let in_setup = spray.setup.map_or_else(String::new, |setup| format!(" in {}", season.words(setup).trim()));
    let headline = match stale.last {
        Some(last) => {
            let age = scene::days(scene::between(last.calibration.at.day, spray.at.day));
            format!("{rig} was used on {day}, {age} after it was last measured; your own rule is every {rule}")
        }
        None => format!("{rig} was used on {day} and had not been measured{in_setup}; your own rule is every {rule}"),
    };
    let at = spray.rig.map_or(spray.at.line, |rig| rig.span);
    let mut finding = found.finding(at, headline).here("used here").label(stale.rule.span, "your rule");
    if let Some(last) = stale.last {
        let on = say::day(last.calibration.at.day);
        finding = finding.label(last.calibration.at.line, format!("last measured on {on}"));
    }
    if stale.sprays > 1 {
        finding = finding.working(format!("{} sprays in all went by it", stale.sprays));
    }
    found.add(
        finding
            .help("measure the sprayer and write a `calibrate` entry; what it puts out decides every rate per ground")
            .source("the rule is your own, in the sprayer's `recalibrate` line"),
    );
}
