//! How far others keep away: by the method, by droplets, by height, and what has to be known for it.

use foliary::duty::{Duties, Exclusion, Unsaid, exclusion_zone};
use foliary::quantity::show;
use foliary::season::Season;
use foliary::text::Sources;
use foliary::{Farm, compile_farm};

/// What a zone comes to for a sprayer of which these fields are said, in a block of which these are.
fn zone(rulebook: &str, block: &str, rig: &str) -> String {
    let text = format!(
        "farm f\n    timezone America/Boise\n    rulebook {rulebook}\n\nblock b\n    crop pear\n    area 1 acre\n{block}\n\
         rig cart\n    tank 100 gal\n{rig}\nmaterial sulfur\n    form dry\n    registration 99999-12\n\n\
         2026-05-14\n\nspray b\n    measured sulfur 3 lb\n    volume 100 gal\n    time 06:00 to 07:00\n    rig cart\n"
    );
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, None);
    let duties = Duties::new(&season);
    match exclusion_zone(&duties, &season.sprays[0]) {
        Exclusion::NotAsked => "not asked".to_string(),
        Exclusion::NoneNeeded(_) => "none".to_string(),
        Exclusion::Zone(zone) => format!("{}, since {}", show(zone.distance), zone.why.words(&season)),
        Exclusion::Unknown(unknown) => {
            let least = unknown.at_least.map_or("none".to_string(), |zone| show(zone.distance));
            format!("{least} or {}: {:?}", show(unknown.at_most), unknown.missing)
        }
    }
}

fn worked(rig: &str) -> String {
    zone("us-worker-protection", "    workers yes\n", rig)
}

#[test]
fn the_widest_zone_counts_and_says_why() {
    assert_eq!(worked("    method Airblast, both sides\n"), "100 ft, since its method is Airblast, both sides");
    assert_eq!(
        worked("    method boom\n    droplets fine to medium\n    height 20 in\n"),
        "100 ft, since its droplets are fine, finer than medium"
    );
    assert_eq!(
        worked("    method boom\n    droplets medium\n    height 31 cm\n"),
        "25 ft, since it sprays from 31 cm above the ground, more than 12 in"
    );
    // Not higher than the limit, to the hair.
    assert_eq!(worked("    method boom\n    droplets medium\n    height 1 ft\n"), "none");
    assert_eq!(worked("    method boom\n    droplets VC\n    height 6 in\n"), "none");
}

#[test]
fn what_cannot_widen_the_zone_need_not_be_known() {
    let unknown = |missing: &[Unsaid]| format!("{missing:?}");
    let three = unknown(&[Unsaid::Method, Unsaid::Droplets, Unsaid::Height]);
    assert_eq!(worked(""), format!("none or 100 ft: {three}"));
    let droplets = unknown(&[Unsaid::Droplets]);
    assert_eq!(worked("    method boom\n    height 20 in\n"), format!("25 ft or 100 ft: {droplets}"));
    assert_eq!(
        worked("    method boom\n    droplets hollow cone\n    height 6 in\n"),
        format!("none or 100 ft: {droplets}")
    );
    let height = unknown(&[Unsaid::Height]);
    assert_eq!(worked("    method boom\n    droplets coarse\n"), format!("none or 25 ft: {height}"));
}

#[test]
fn nobody_is_asked_where_no_rule_holds() {
    let airblast = "    method airblast\n";
    assert_eq!(zone("us-worker-protection", "    workers no\n", airblast), "not asked");
    assert_eq!(zone("us-worker-protection", "    workers yes\n    enclosed yes\n", airblast), "not asked");
    assert_eq!(zone("us-organic", "    workers yes\n", airblast), "not asked");
    assert_eq!(zone("us-worker-protection until 2026-05-13", "    workers yes\n", airblast), "not asked");
}
