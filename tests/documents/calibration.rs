//! Calibration cards.

use chrono::NaiveDate;
use foliary::documents::{Book, CalibrationCards, Scope, calibration_cards};
use foliary::render::{Format, Templates};
use foliary::season::Season;
use foliary::text::Sources;
use foliary::{Farm, checks, compile_farm};

const RIGS: &str = include_str!("larkspur_rigs.spray");

/// The cards on 20 June 2026.
fn cards(journal: &str) -> Option<CalibrationCards> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", journal.to_string()).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, NaiveDate::from_ymd_opt(2026, 6, 20));
    let findings = checks::run(&season);
    calibration_cards(&Book::new(&season, &findings, &[file], &Scope::default()))
}

#[test]
fn the_cards_of_a_farm() {
    let templates = Templates::new(Vec::new()).unwrap();
    let view = cards(RIGS).unwrap();
    insta::assert_snapshot!(templates.fill("calibration", &view, Format::Markdown).unwrap());
    let html = templates.fill("calibration", &view, Format::Html).unwrap();
    assert_eq!(html.matches("class=\"card\"").count(), 3);
    assert!(html.contains("class=\"out\""));
}

#[test]
fn each_setup_stands_with_its_last_measuring() {
    let view = cards(&RIGS.replace(
        "2026-06-20 Sat\n",
        "2026-06-20 Sat\n\ncalibrate airblast\n    setup Second gear\n    output 112 gal per acre\n",
    ))
    .unwrap();
    let setups: Vec<(Option<&str>, Option<&str>, bool)> = view.cards[0]
        .setups
        .iter()
        .map(|setup| (setup.setup.as_deref(), setup.output.as_deref(), setup.overdue))
        .collect();
    // 18 gal on 220 ft of every other alley, 40 ft wide: 89.1 gal per acre.
    assert_eq!(
        setups,
        [
            (Some("Second gear"), Some("112 gal per acre"), false),
            (Some("third gear, top four shut"), Some("89.1 gal per acre"), true),
            (Some("second gear, all nozzles"), Some("119 gal per acre"), true),
        ]
    );
    assert_eq!(view.cards[1].setups[0].due, None);
}

#[test]
fn a_sprayer_never_measured_has_a_card_to_fill_in() {
    let view = cards("farm f\n    units metric\n    timezone Europe/Dublin\n\nrig gun\n    tank 200 L\n").unwrap();
    assert!(view.cards[0].setups.is_empty());
    assert_eq!(view.cards[0].blanks.len(), 6);
    assert!(view.cards[0].worksheet[0].contains("hundredth of a hectare"));
    assert!(cards("farm f\n    units US\n    timezone Europe/Dublin\n").is_none());
}

#[test]
fn a_tank_lasts_and_covers_what_the_measuring_says() {
    let view = cards(RIGS).unwrap();
    let second = view.cards[0].setups.iter().find(|setup| setup.output_by.as_deref() == Some("as written")).unwrap();
    // 100 gal at 12.02 gal a minute, and at 119 gal per acre.
    assert_eq!(second.tank_time.as_deref(), Some("8.32 min"));
    assert_eq!(second.tank_ground.as_deref(), Some("0.8403 acre (0.34 ha)"));
}
