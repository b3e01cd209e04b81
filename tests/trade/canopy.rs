//! Tree-row volume, dilute and concentrate, trees and rows on an acre, against worked examples as they are printed.

use foliary::quantity::{Exact, Rate};
use foliary::trade::{
    canopy_per_area, concentrate_per_area, concentration, dilute_per_area, in_concentrate, per_area_of_dilute,
    per_tree, row_on, trees_on,
};

use super::calibration::{amount, gpa, number, rate};

/// Cubic feet per acre, by the size of a cubic foot of 0.3048 m.
fn cubic_feet(height: &str, width: &str, rows: &str) -> f64 {
    let canopy = canopy_per_area(amount(height), amount(width), amount(rows)).unwrap();
    number(canopy, "1 m3 per acre") / 0.3048_f64.powi(3)
}

/// Gallons per acre that wet so much canopy, at so many gal per 1000 cu ft.
fn dilute(canopy: Rate, per_1000_cu_ft: &str) -> f64 {
    // 1000 cu ft are 28.316846592 m3.
    gpa(dilute_per_area(canopy, rate(&format!("{per_1000_cu_ft} gal per 28.316846592 m3"))))
}

#[test]
fn tree_row_volume() {
    // A. Landers, Cornell University, "Tree Row Volume": 8 ft high, 10 ft wide, rows of 18 ft: 193,600 cu ft per acre; at
    // 0.7 and at 1 gal per 1000 cu ft, 136 and 194 gal per acre.
    assert!((cubic_feet("8 ft", "10 ft", "18 ft") - 193_600.0).abs() < 1e-6);
    let canopy = canopy_per_area(amount("8 ft"), amount("10 ft"), amount("18 ft")).unwrap();
    assert!((dilute(canopy, "0.7") - 136.0).abs() < 0.5);
    assert!((dilute(canopy, "1") - 194.0).abs() < 0.5);
    // Penn State Tree Fruit Production Guide: 20 ft by 23 ft at 35 ft: 400 gal per acre; half that canopy, 200.
    let standard = canopy_per_area(amount("20 ft"), amount("23 ft"), amount("35 ft")).unwrap();
    assert!((dilute(standard, "0.7") - 400.0).abs() < 1.0);
    assert!((dilute(standard.times(Exact::new(1, 2).unwrap()).unwrap(), "0.7") - 200.0).abs() < 0.5);
    // Metric, from memory: height × width × 10,000 / row spacing.
    assert_eq!(canopy_per_area(amount("3 m"), amount("2 m"), amount("4 m")), Some(rate("15000 m3 per ha")));
}

#[test]
fn a_rate_per_ground_is_the_dilute_volume_already() {
    let canopy = canopy_per_area(amount("8 ft"), amount("10 ft"), amount("18 ft")).unwrap();
    assert_eq!(dilute_per_area(canopy, rate("250 gal per acre")), Some(rate("250 gal per acre")));
    assert_eq!(dilute_per_area(canopy, rate("2 oz wt per tree")), None);
}

#[test]
fn concentrates() {
    // Good Fruit Grower, "matching the spray to the tree": 400 gal per acre at 2, 3 and 4 times: 200, 133, 100.
    for (times, printed) in [(2, 200.0), (3, 133.0), (4, 100.0)] {
        let found = concentrate_per_area(rate("400 gal per acre"), Exact::int(times));
        assert!((gpa(found) - printed).abs() < 0.5, "{found:?}");
        assert_eq!(concentration(rate("400 gal per acre"), found.unwrap()), Some(Exact::int(times)));
    }
    // The amount per acre stays, the amount per tank is multiplied (A. Landers, Cornell University): at 2 lb per 100 gal,
    // dilute 400 gal per acre is 8 lb; in 100 gal per acre, 8 lb again.
    let mix = rate("2 lb per 100 gal");
    assert_eq!(per_area_of_dilute(mix, rate("400 gal per acre")), Some(rate("8 lb per acre")));
    assert_eq!(in_concentrate(mix, amount("100 gal"), Exact::int(4)), Some(amount("8 lb")));
    assert_eq!(concentrate_per_area(rate("400 gal per acre"), Exact::ZERO), None);
    assert_eq!(concentration(rate("400 gal per acre"), rate("2 lb per 100 gal")), None);
}

#[test]
fn jobs_and_strengths() {
    // "Agrochemical and Pesticide Safety", a chapter online: 3.5 acre at 15 gal per acre and 3 lb per acre.
    assert_eq!(rate("15 gal per acre").for_area(amount("3.5 acre")), Some(amount("52.5 gal")));
    assert_eq!(rate("3 lb per acre").for_area(amount("3.5 acre")), Some(amount("10.5 lb")));
    // NC State Extension, backpack worksheet: 8 fl oz per acre at 7.5 gal per acre is 1.06 oz per gal.
    let strength =
        rate("8 fl oz per acre").per_ml(None, None, Some(rate("7.5 gal per acre"))).unwrap().by_volume.unwrap();
    assert!((strength.to_f64() * 128.0 - 1.06).abs() < 0.01);
    // Extension text quoted in a list of NAFEX, 2009: 3 pt per acre at 65 gal per acre is 0.74 fl oz per gal.
    let strength = rate("3 pt per acre").per_ml(None, None, Some(rate("65 gal per acre"))).unwrap().by_volume.unwrap();
    assert!((strength.to_f64() * 128.0 / 0.74 - 1.0).abs() < 0.02);
    // British Columbia tree fruit guide, "Magnesium": 45 kg per ha at 2 kg per 100 L is 2250 L per ha.
    let volume = rate("45 kg per ha").ratio(rate("1 kg per ha"), None, None).unwrap().to_f64() / 2.0 * 100.0;
    assert_eq!(volume, 2250.0);
    assert_eq!(per_area_of_dilute(rate("2 kg per 100 L"), rate("2250 L per ha")), Some(rate("45 kg per ha")));
}

#[test]
fn trees_and_rows() {
    // A. Landers, Cornell University, "Tree Row Volume": 2420 ft of row on an acre at 18 ft; 4356 ft at 10 ft are an acre.
    assert_eq!(row_on(amount("1 acre"), amount("18 ft")), Some(amount("2420 ft")));
    assert_eq!(row_on(amount("1 acre"), amount("10 ft")), Some(amount("4356 ft")));
    assert_eq!(row_on(amount("1 ha"), amount("4 m")), Some(amount("2500 m")));
    // Penn State Extension, rates on a per-tree basis: 43,560 over the ground of a tree; the numbers are ours.
    assert_eq!(trees_on(amount("1 acre"), amount("20 ft"), amount("18 ft")), Exact::new(121, 1));
    assert_eq!(per_tree(rate("121 gal per acre"), amount("20 ft"), amount("18 ft")), Some(amount("1 gal")));
    for none in [
        row_on(amount("1 acre"), amount("0 ft")),
        row_on(amount("1 ft"), amount("18 ft")),
        per_tree(rate("121 gal per acre"), amount("0 ft"), amount("18 ft")),
        per_tree(rate("1 oz per tree"), amount("20 ft"), amount("18 ft")),
    ] {
        assert_eq!(none, None);
    }
    assert_eq!(trees_on(amount("1 acre"), amount("-20 ft"), amount("-18 ft")), None);
}
