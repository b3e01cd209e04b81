//! Examples that are printed wrong: what we reckon must not follow them. Each says which number is right, and why.

use foliary::quantity::Exact;
use foliary::trade::{
    Flow, canopy_per_area, concentrate_per_area, dilute_per_area, ounce_plot, output_at_speed, speed,
};

use super::calibration::{amount, gpa, rate};

#[test]
fn six_times_400_gallons() {
    // Good Fruit Grower, "matching the spray to the tree", prints 76 gal for 6 times of 400; 400 / 6 is 66.7.
    let found = gpa(concentrate_per_area(rate("400 gal per acre"), Exact::int(6)));
    assert!((found - 66.67).abs() < 0.01 && (found - 76.0).abs() > 9.0, "{found}");
}

#[test]
fn the_plot_of_a_128th_of_an_acre() {
    // A county blog of UF/IFAS prints 8.5 ft by 18.5 ft; 18.5 by 18.5 is right: 340.3 sq ft, where 8.5 by 18.5 is 157.
    let plot = ounce_plot().unwrap();
    let share = |one: &str, other: &str| amount(one).by(amount(other)).unwrap().ratio(plot).unwrap().to_f64();
    assert!((share("18.5 ft", "18.5 ft") - 1.0).abs() < 0.01);
    assert!((share("8.5 ft", "18.5 ft") - 0.46).abs() < 0.01);
}

#[test]
fn an_examination_answer_without_its_88() {
    // Florida pest control examinations handbook prints .15 × 12 × 43,560 / (48 × 5) = 327 gal per acre. Feet a minute are
    // 88 for each mph, which the printed sum leaves out: 3.71 is right.
    let nozzle = Flow::new(amount("0.15 gal"), amount("1 min")).unwrap();
    let found = gpa(output_at_speed(nozzle, amount("5 mph"), amount("48 in")));
    assert!((found - 3.7125).abs() < 1e-9, "{found}");
}

#[test]
fn a_factor_of_35() {
    // The worksheet of the University of Massachusetts gives width × height × 35 / row spacing as gal per acre, "1 gal per
    // 1450 cu ft". 43,560 / 1450 is 30.04; with 35 a gallon would be for 1245 cu ft.
    let canopy = canopy_per_area(amount("10 ft"), amount("10 ft"), amount("20 ft")).unwrap();
    // 1450 cu ft, in m3.
    let found = gpa(dilute_per_area(canopy, rate("1 gal per 41.0594275584 m3")));
    let factor = found * 20.0 / 100.0;
    assert!((factor - 30.04).abs() < 0.01 && (factor - 35.0).abs() > 4.0, "{factor}");
}

#[test]
fn seven_kilometres_an_hour() {
    // Alberta Agriculture, Agdex 606-1, p. 17, prints 6:48 over 800 m for 7 km/h; that is 7.06, and 6:51 is right.
    let at = |seconds: &str| speed(amount("800 m"), amount(seconds)).unwrap().value.to_f64();
    assert!((at("408 s") - 7.0588).abs() < 0.0001);
    assert!((at("411.43 s") - 7.0).abs() < 0.0001);
}

#[test]
fn feet_a_second_in_a_mile_an_hour() {
    // University of Nebraska-Lincoln, "Pesticide math", prints 1.46 ft a second for 1 mph, cut off: 22/15 = 1.4667 is right.
    assert_eq!(speed(amount("22 ft"), amount("15 s")), Some(amount("1 mph")));
    assert_ne!(speed(amount("1.46 ft"), amount("1 s")), Some(amount("1 mph")));
}

#[test]
fn imperial_gallons_of_an_old_recipe() {
    // A British recipe of "2 lb / 10 gal" is in imperial gallons: read as US gallons it is a fifth too strong.
    let strength = |words: &str| rate(words).per_ml(None, None, None).unwrap().by_weight.unwrap();
    let ratio = strength("2 lb per 10 gal").div(strength("2 lb per 10 imp gal")).unwrap().to_f64();
    assert!((ratio - 1.20095).abs() < 0.0001, "{ratio}");
}
