//! See the Markdown beside this file.

use std::collections::BTreeMap;

use super::asked::RECORD;
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::{Duties, Exclusion, UnknownZone, Unsaid, exclusion_zone};
use crate::finding::Level;
use crate::journal::RigId;
use crate::rulebook::Demand;
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "exclusion-zone-unknown",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A sprayer of which too little is written to tell how far others must keep away",
    explain: include_str!("exclusion_zone_unknown.md"),
    run,
};

/// A zone that cannot be told, at the first spray with that sprayer.
struct Hit<'s> {
    unknown: UnknownZone<'s>,
    facts: &'s SprayFacts,
    more: usize,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    let zones = |demand: &Demand| matches!(demand, Demand::ExclusionZone { .. }).then_some(());
    if duties.of_kind(zones).next().is_none() {
        return;
    }
    // One finding a sprayer, and one for all sprays that name none.
    let mut hits: BTreeMap<Option<RigId>, Hit<'_>> = BTreeMap::new();
    // A sprayer that is declared nowhere has a finding of its own.
    let unknown = found.in_sprays(season, RECORD, |_, facts| match exclusion_zone(&duties, facts) {
        Exclusion::Unknown(unknown) => Some((facts, unknown)).filter(|(_, unknown)| !unknown.missing.is_empty()),
        _ => None,
    });
    for (facts, unknown) in unknown {
        let rig = facts.spray(season.journal).rig.and_then(|rig| rig.id);
        match hits.get_mut(&rig) {
            Some(hit) => hit.more += 1,
            None => {
                hits.insert(rig, Hit { unknown, facts, more: 0 });
            }
        }
    }
    for (rig, hit) in &hits {
        report(season, found, *rig, hit);
    }
}

fn report(season: &Season<'_>, found: &mut Findings, rig: Option<RigId>, hit: &Hit<'_>) {
    let spray = hit.facts.spray(season.journal);
    let unknown = &hit.unknown;
    let place = scene::blocks(season, &spray.ground);
    let sprayed = format!("the spray of {place} on {}", say::day(spray.at.day));
    let missing: Vec<&str> = unknown.missing.iter().map(|missing| missing.words()).collect();
    let most = say::amount(season, unknown.at_most);
    let least =
        unknown.at_least.map_or(String::new(), |zone| format!("at least {} and ", say::amount(season, zone.distance)));
    let subject = match rig {
        Some(rig) => format!("of {} it is not written", season.journal.rig(rig).named.name),
        None => "it is not written".to_string(),
    };
    let headline = format!(
        "how far others had to keep away from {sprayed}, {least}at most {most}, cannot be told: {subject} {}",
        say::list(&missing)
    );
    let at = spray.rig.map_or(spray.at.line, |rig| rig.span);
    let mut finding = found.finding(at, headline);
    if let Some(rig) = rig.map(|rig| season.journal.rig(rig)) {
        finding = finding.here("sprayed with this").label(rig.named.span, "belongs here");
        if let Some(droplets) = rig.droplets.filter(|_| unknown.missing.contains(&Unsaid::Droplets)) {
            finding = finding.label(droplets, "names no class of droplets");
        }
    }
    finding = finding
        .label(unknown.asked.adoption.adopted.name.span, "rulebook taken on here")
        .working(format!("{}: {most}", unknown.asked.cited()));
    if let Some(zone) = unknown.at_least {
        finding = finding.working(format!(
            "sure is {}, since {}: {}",
            say::amount(season, zone.distance),
            zone.why.words(season),
            zone.asked.cited()
        ));
    }
    if hit.more > 0 {
        finding = finding.working(format!("the same for {}", scene::count(hit.more, "later spray")));
    }
    if unknown.asked.from_memory() {
        finding.level = Level::Note;
    }
    found.add(
        finding.help(format!("until it is known, keep everyone but the handlers {most} away while spraying")).source(
            format!(
                "{}; classes of droplets, from fine to coarse: ANSI/ASAE S572, by accounts of it",
                unknown.asked.cited()
            ),
        ),
    );
}
