//! What each measuring of a sprayer comes to, and which counts for a spray.

use chrono::NaiveDate;
use foliary::quantity::Rate;
use foliary::season::{Method, Season};
use foliary::text::Sources;
use foliary::{Farm, compile_farm};

const FARM: &str = "farm f\n    units US\n    timezone America/Boise\n\nrig sprayer\n    tank 100 gal\n\n";

fn with_season<T>(pages: &str, use_season: impl FnOnce(&Season<'_>) -> T) -> T {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{FARM}{pages}")).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    assert!(journal.troubles.is_empty(), "{pages}\n{:?}", journal.troubles);
    use_season(&Season::new(&journal, &sources, None))
}

/// Every output of the only calibration, by how it was measured; gal per acre, the likeliest reading first.
fn outputs(lines: &str) -> Vec<(Method, Vec<f64>)> {
    let lines: String = lines.lines().map(|line| format!("    {}\n", line.trim())).collect();
    let gpa = |rate: Rate| {
        let ratio = rate.ratio(Rate::parse("1 gal per acre").unwrap(), None, None).unwrap();
        (ratio.to_f64() * 100.0).round() / 100.0
    };
    with_season(&format!("2026-04-10\n\ncalibrate sprayer\n{lines}"), |season| {
        let [one] = season.calibrations.all() else { panic!("one calibration") };
        let all = one.ways.iter().map(|way| (way.from, way.readings.iter().map(|worked| gpa(worked.output)).collect()));
        all.collect()
    })
}

#[test]
fn ounces_over_the_course_are_gallons_with_a_clock_and_without() {
    // LSU AgCenter, "Ounces Equal Gallons": 40 in, 102 ft in 17 s, 14 fl oz: 14 gal per acre, the course being 102.09 ft.
    let timed = outputs("width 40 in\ncourse 102.09375 ft in 17 s\ncaught 14 fl oz in 17 s");
    assert_eq!(timed, [(Method::Caught, vec![14.0])]);
    assert_eq!(outputs("width 40 in\ncourse 102.09375 ft in 17 s\ncaught 14 fl oz"), timed);
    assert_eq!(outputs("width 40 in\ncourse 102.09375 ft\ncaught 14 fl oz"), timed);
    assert_eq!(outputs("width 40 in\nspeed 3 mph\ncaught 14 fl oz"), []);
}

#[test]
fn a_narrow_width_is_one_nozzles_and_a_wide_one_that_of_all() {
    let boom = outputs("width 20 in\ncourse 204.1875 ft in 20 s\ncaught 10 fl oz, 12 fl oz, 14 fl oz in 20 s");
    assert_eq!(boom, [(Method::Caught, vec![12.0, 36.0])]);
    let wide = outputs("width 20 ft\nspeed 2.5 mph\nopen 12 nozzles\ncaught 1 gal, 1 gal in 60 s");
    assert_eq!(wide, [(Method::Caught, vec![118.8, 9.9])]);
    // A nozzle alone covers its width, whatever that is.
    assert_eq!(outputs("width 222 in\nspeed 5 mph\ncaught 3.75 gal in 1 min"), [(Method::Caught, vec![20.07])]);
}

#[test]
fn between_rows_the_way_of_driving_decides() {
    let rows =
        |driving: &str| outputs(&format!("driving {driving}\nwidth 20 ft\nspeed 2.5 mph\ncaught 6 gal, 6 gal in 60 s"));
    assert_eq!(rows("both-sides"), [(Method::Caught, vec![118.8])]);
    assert_eq!(rows("alternate-rows"), [(Method::Caught, vec![59.4])]);
    // One side of each row, or both: both can be meant.
    assert_eq!(rows("one-side"), [(Method::Caught, vec![237.6, 118.8])]);
}

#[test]
fn filling_up_plots_and_new_nozzles() {
    // Good Fruit Grower, "calibration steps": 10 ft, 436 ft, 4 gal: 39.96, printed 40.
    assert_eq!(outputs("width 10 ft\ncourse 436 ft\nused 4 gal"), [(Method::Used, vec![39.96])]);
    // Mesa County (Colorado), handgun: 18.5 ft by 18.5 ft, 150 fl oz: 149.15, printed 150.
    assert_eq!(outputs("plot 18.5 ft by 18.5 ft in 75 s\ncaught 150 fl oz"), [(Method::Plot, vec![149.15])]);
    assert_eq!(outputs("plot 18.5 ft by 18.5 ft in 75 s\nused 150 fl oz"), [(Method::Used, vec![149.15])]);
    // 0.4 gal a minute at 40 psi are 0.8 at 160; a chart is no measuring, and stands last.
    let chart = outputs("width 20 in\nspeed 4 mph\npressure 160 psi\nrated 0.4 gal in 1 min at 40 psi");
    assert_eq!(chart, [(Method::Rated, vec![59.4])]);
    assert_eq!(outputs("width 20 in\nspeed 4 mph\nrated 0.4 gal in 1 min at 40 psi"), []);
}

#[test]
fn a_setup_goes_by_its_own_calibration() {
    let pages = "2026-04-10\n\ncalibrate sprayer\n    output 10 gal per acre\n    setup Second-gear, all nozzles\n\n\
                 calibrate sprayer\n    output 20 gal per acre\n    setup second gear, top shut\n\n\
                 2026-05-10\n\ncalibrate sprayer\n    output 30 gal per acre\n    setup third gear\n\n\
                 2026-06-10\n\ncalibrate sprayer\n    output 40 gal per acre\n    setup second gear, all nozzles\n\n\
                 2026-07-10\n\ncalibrate sprayer\n    output 50 gal per acre\n";
    with_season(pages, |season| {
        let rig = season.calibrations.all()[0].rig;
        let outputs = |setup: Option<&str>, day: &str| -> Vec<String> {
            let day: NaiveDate = day.parse().unwrap();
            let found = season.calibrations.in_force(rig, setup, day);
            found.iter().map(|one| one.output().unwrap().to_string()).collect()
        };
        // Up to the first comma all of a day are alike, unless the words are the same.
        assert_eq!(outputs(Some("second gear"), "2026-05-30"), ["20 gal per acre", "10 gal per acre"]);
        assert_eq!(outputs(Some("Second gear, top shut"), "2026-08-01"), ["20 gal per acre"]);
        assert_eq!(outputs(Some("second gear"), "2026-06-10"), ["40 gal per acre"]);
        // A setup never measured goes by what names none.
        assert_eq!(outputs(Some("fifth gear"), "2026-07-09"), Vec::<String>::new());
        assert_eq!(outputs(Some("fifth gear"), "2026-07-10"), ["50 gal per acre"]);
        // No setup: it may have been any.
        assert_eq!(outputs(None, "2026-06-09"), ["30 gal per acre", "20 gal per acre", "10 gal per acre"]);
        assert_eq!(outputs(None, "2026-04-09"), Vec::<String>::new());
    });
}
