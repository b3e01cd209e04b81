//! The plan and the checks are one: a season sprayed exactly as planned raises nothing that the plan did not announce.

use std::collections::BTreeSet;

use foliary::Farm;
use foliary::check_farm;
use foliary::checks::check_named;
use foliary::text::Sources;

use super::{journal, spray, with_plan};

/// The planned rounds, written as done, and the codes that the plan announced for them.
fn executed(text: &str, today: &str) -> (String, BTreeSet<&'static str>) {
    with_plan(text, today, |season, plan| {
        let mut pages = String::new();
        let mut announced = BTreeSet::new();
        for line in &plan.lines {
            let program = season.journal.program(line.program);
            let mix = &season.journal.mix(program.mix.unwrap().id.unwrap()).named.name;
            let block = &season.journal.block(line.block).named.name;
            for round in &line.rounds {
                let volume = round.volume.unwrap().volume;
                pages.push_str(&format!("\n{}\n\nspray {block}\n    mix {mix}, {volume}\n", round.day));
                announced.extend(round.conflicts.iter().map(|conflict| conflict.by.word()));
            }
        }
        (pages, announced)
    })
}

fn found(text: &str) -> BTreeSet<&'static str> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let findings = check_farm(&sources, Farm { files: &[file], missing: &[] }, None);
    findings
        .into_iter()
        .map(|finding| finding.code)
        .filter(|code| check_named(code).unwrap().ahead.of_round().is_some())
        .collect()
}

const CROWDED: &str = "\nmaterial summer-oil\n    form liquid\n    class oil\n    reentry 12 h\n    preharvest none stated\n    season at most 2 sprays\n\n\
    material sulfur\n    form dry\n    reentry 24 h\n    preharvest 7 days\n    apart 12 days from oil\n    spacing 9 days\n\n\
    mix oil-wash\n    in 1 gal\n    put summer-oil 2 fl oz\n\nmix cover\n    in 1 gal\n    put sulfur 1 oz wt\n\n\
    program washes\n    mix oil-wash\n    blocks creek-pear\n    start 2026-06-02\n    rounds 3, every 14 to 20 days\n    volume 60 gal\n\n\
    program covers\n    mix cover\n    blocks creek-pear\n    start 2026-06-10\n    rounds 4, every 7 to 30 days\n    volume 60 gal\n";

#[test]
fn a_plan_sprayed_as_planned_raises_what_it_announced_and_nothing_else() {
    let text = journal(
        "    start 2026-05-14\n    rounds 3 to 4, every 7 to 10 days\n",
        &format!("{CROWDED}{}", spray("2026-05-15")),
    );
    let (pages, announced) = executed(&text, "2026-05-18");
    assert!(
        announced.contains("season-count-exceeded"),
        "three washes are planned where the label has two: {announced:?}"
    );
    assert!(!announced.contains("spacing-too-short"), "a day that is clear was found for it: {announced:?}");
    assert_eq!(found(&format!("{text}{pages}")), announced);
    assert!(found(&text).is_empty());
}
