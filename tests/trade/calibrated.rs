//! Sprayers measured, against what was sprayed, what was written and what new nozzles give.

use super::{codes, only};

const NONE: [&str; 0] = [];

/// A sprayer, its calibrations, and a spray of an acre.
fn journal(calibrations: &str, rows: &str, gallons: &str, more: &str) -> String {
    format!(
        "block oak\n    crop pear\n    area 1.00 acre\n    rows 1 to 10, 20 ft apart\n\nrig sprayer\n    tank 200 gal\n\n\
         material clay\n    form dry\n\nmix slurry\n    put clay 1 lb per gal\n\n2026-05-01\n\n{calibrations}\n\
         2026-05-14\n\nspray oak{rows}\n    mix slurry, {gallons} gal\n    rig sprayer\n    time 06:00 to 07:00\n{more}"
    )
}

fn calibrated(lines: &str) -> String {
    format!("calibrate sprayer\n{lines}\n")
}

#[test]
fn an_output_not_written_is_worked_out() {
    // 48 gal on 660 ft of 40 ft: 79.2 gal per acre.
    let used = calibrated("    driving alternate-rows\n    width 20 ft\n    course 660 ft\n    used 48 gal\n");
    for fits in ["79", "86", "73"] {
        assert_eq!(codes(&journal(&used, "", fits, "")), NONE, "{fits}");
    }
    let finding = only(&journal(&used, "", "160", ""), "volume-disagrees");
    assert!(finding.working.iter().any(|line| line == "48 gal on 660 ft × 40 ft = 79.2 gal per acre"), "{finding:?}");
    assert_eq!(finding.slip.as_deref(), Some("every alley driven where every other one was measured (2 times)"));
}

#[test]
fn alternate_rows_take_half_where_it_is_known_how_rows_are_driven() {
    let both = calibrated("    output 80 gal per acre\n    driving both-sides\n");
    let every_other = calibrated("    output 40 gal per acre\n    driving alternate-rows\n");
    let unsaid = calibrated("    output 80 gal per acre\n");
    let rows = " alternate rows";
    // 80 over the alleys that were driven, or 40 over the whole block.
    for gallons in ["40", "80"] {
        assert_eq!(codes(&journal(&both, rows, gallons, "")), NONE, "{gallons}");
        assert_eq!(codes(&journal(&unsaid, rows, gallons, "")), NONE, "{gallons}");
    }
    assert_eq!(codes(&journal(&every_other, rows, "40", "")), NONE);
    let finding = only(&journal(&both, rows, "30", ""), "volume-disagrees");
    assert!(finding.headline.contains("through every other alley"), "{}", finding.headline);
    let finding = only(&journal(&both, "", "40", ""), "volume-disagrees");
    assert!(finding.slip.unwrap().starts_with("every other alley driven"));
    assert_eq!(codes(&journal(&every_other, rows, "80", "")), ["volume-disagrees"]);
    // Nothing is known of sprays through every other alley where only the output is written.
    assert_eq!(codes(&journal(&unsaid, rows, "20", "")), NONE);
}

#[test]
fn a_spray_is_held_against_its_own_setup() {
    let two = calibrated("    output 80 gal per acre\n    setup second gear, all nozzles\n")
        + &calibrated("    output 40 gal per acre\n    setup third gear\n");
    assert_eq!(codes(&journal(&two, "", "80", "    setup Second gear\n")), NONE);
    assert_eq!(codes(&journal(&two, "", "80", "    setup third gear\n")), ["volume-disagrees"]);
    // No setup named: either may have been used. One that was never measured: nothing is known.
    assert_eq!(codes(&journal(&two, "", "80", "")), NONE);
    assert_eq!(codes(&journal(&two, "", "40", "")), NONE);
    assert_eq!(codes(&journal(&two, "", "60", "")), ["volume-disagrees"]);
    assert_eq!(codes(&journal(&two, "", "60", "    setup fifth gear\n")), NONE);
}

/// What one calibration raises.
fn alone(lines: &str) -> Vec<&'static str> {
    codes(&format!("rig sprayer\n    tank 200 gal\n\n2026-05-01\n\n{}", calibrated(lines)))
}

#[test]
fn an_output_agrees_within_five_percent_and_what_was_rounded() {
    // 6 gal twice a minute, 2.5 mph, 20 ft: 118.8 gal per acre.
    let output = |gallons: &str, driving: &str| {
        alone(&format!(
            "    output {gallons} gal per acre\n    driving {driving}\n    width 20 ft\n    speed 2.50 mph\n    caught 6.000 gal, 6.000 gal in 60.00 s\n"
        ))
    };
    for fits in ["118.8", "124.7", "112.9"] {
        assert_eq!(output(fits, "both-sides"), NONE, "{fits}");
    }
    for off in ["125.0", "112.5", "59.4", "237.6"] {
        assert_eq!(output(off, "both-sides"), ["output-disagrees"], "{off}");
    }
    // One side of each row or both: either is meant by somebody.
    for fits in ["118.8", "237.6"] {
        assert_eq!(output(fits, "one-side"), NONE, "{fits}");
    }
    assert_eq!(output("59.4", "one-side"), ["output-disagrees"]);
    assert_eq!(output("59.4", "alternate-rows"), NONE);
    // What is missing raises nothing, nor does a chart.
    assert_eq!(alone("    output 50 gal per acre\n    caught 6 gal in 60 s\n    width 20 ft\n"), NONE);
    assert_eq!(alone("    output 50 gal per acre\n    rated 1 gal in 1 min\n    width 20 ft\n    speed 2 mph\n"), NONE);
    // Small catches in whole ounces are rounded by more than 5 %.
    let small = |caught: &str| {
        alone(&format!(
            "    output 4.5 gal per acre\n    width 40 in\n    course 102 ft in 17.0 s\n    caught {caught} in 17.0 s\n"
        ))
    };
    assert_eq!(small("4 fl oz"), NONE);
    assert_eq!(small("4.0 fl oz"), ["output-disagrees"]);
}

#[test]
fn nozzles_are_held_to_ten_percent() {
    let rated = |caught: &str, pressures: (&str, &str)| {
        let (at, new) = pressures;
        alone(&format!("{at}    rated 0.400 gal in 1 min{new}\n    caught {caught} in 1 min\n"))
    };
    let same = ("    pressure 40 psi\n", " at 40 psi");
    for passes in ["0.360 gal", "0.440 gal"] {
        assert_eq!(rated(passes, same), NONE, "{passes}");
    }
    for worn in ["0.442 gal", "0.358 gal", "0.000 gal"] {
        assert_eq!(rated(worn, same), ["nozzles-worn"], "{worn}");
    }
    // Twice the flow at four times the pressure is as it should be.
    assert_eq!(rated("0.800 gal", ("    pressure 160 psi\n", " at 40 psi")), NONE);
    assert_eq!(rated("0.400 gal", ("    pressure 160 psi\n", " at 40 psi")), ["nozzles-worn"]);
    // Where only one pressure is written, nothing is known.
    assert_eq!(rated("0.800 gal", ("    pressure 160 psi\n", "")), NONE);
    assert_eq!(rated("0.800 gal", ("", " at 40 psi")), NONE);
    assert_eq!(rated("0.800 gal", ("", "")), ["nozzles-worn"]);
}

#[test]
fn nozzles_of_one_kind_are_held_against_one_another() {
    let caught = |more: &str, catches: &str| alone(&format!("{more}    caught {catches}\n"));
    assert_eq!(caught("", "10.0 fl oz, 10.5 fl oz, 9.5 fl oz in 20 s"), NONE);
    assert_eq!(caught("", "10.0 fl oz, 10.0 fl oz, 12.5 fl oz in 20 s"), ["nozzles-worn"]);
    // Those of a sprayer between rows differ on purpose; a dry one is none of it.
    assert_eq!(caught("    driving both-sides\n", "10.0 fl oz, 10.0 fl oz, 12.5 fl oz in 20 s"), NONE);
    assert_eq!(caught("    driving both-sides\n", "10.0 fl oz, 0 fl oz, 12.5 fl oz in 20 s"), ["nozzles-worn"]);
    // One nozzle has nothing beside it.
    assert_eq!(caught("", "10.0 fl oz in 20 s"), NONE);
}

#[test]
fn age_is_told_only_by_your_own_rule_and_once_for_each_calibration() {
    let journal = |rule: &str, days: [&str; 3]| {
        let spray = |day: &str| {
            format!("{day}\n\nspray oak\n    mix slurry, 80 gal\n    rig sprayer\n    time 06:00 to 07:00\n\n")
        };
        let sprays: String = days.map(spray).concat();
        format!(
            "block oak\n    crop pear\n    area 1.00 acre\n\nrig sprayer\n    tank 200 gal\n{rule}\nmaterial clay\n    form dry\n\n\
             mix slurry\n    put clay 1 lb per gal\n\n2026-05-01\n\n{}{sprays}",
            calibrated("    output 80 gal per acre\n")
        )
    };
    let rule = "    recalibrate every 30 days\n";
    // The thirtieth day still counts.
    assert_eq!(codes(&journal(rule, ["2026-05-01", "2026-05-20", "2026-05-31"])), NONE);
    let finding = only(&journal(rule, ["2026-05-20", "2026-06-01", "2026-06-10"]), "calibration-old");
    assert!(finding.headline.starts_with("sprayer was used on 1 June 2026, 31 days after"), "{}", finding.headline);
    assert!(finding.working.contains(&"2 sprays in all went by it".to_string()), "{finding:?}");
    // Before it was ever measured.
    assert_eq!(codes(&journal(rule, ["2026-04-20", "2026-05-20", "2026-05-31"])), ["calibration-old"]);
    assert_eq!(codes(&journal("", ["2026-04-20", "2026-06-20", "2026-09-30"])), NONE);
}
