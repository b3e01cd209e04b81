//! Measuring a sprayer, against worked examples as they are printed.

use foliary::quantity::{Amount, Exact, Rate, Unit};
use foliary::trade::{
    Alleys, Flow, UNEVEN_STRICT, WORN_FROM, beyond, flow_for, ground_per_minute, ground_per_tank, mean, off_mean,
    ounce_course, ounce_plot, output, output_at_speed, output_of_plot, output_of_strip, over_rated, speed,
};

pub(super) fn amount(words: &str) -> Amount {
    Amount::parse(words).unwrap()
}

pub(super) fn rate(words: &str) -> Rate {
    Rate::parse(words).unwrap()
}

fn flow(volume: &str, time: &str) -> Flow {
    Flow::new(amount(volume), amount(time)).unwrap()
}

/// The number of a rate said in the words of another.
pub(super) fn number(rate: Rate, like: &str) -> f64 {
    let Rate::Of { amount, per } = self::rate(like) else { panic!("{like}") };
    let Some(Rate::Of { amount: said, .. }) = rate.said_as(amount.unit, per) else { panic!("{rate} in {like}") };
    said.value.to_f64()
}

pub(super) fn gpa(rate: Option<Rate>) -> f64 {
    number(rate.unwrap(), "1 gal per acre")
}

fn near(found: f64, printed: f64, off: f64) {
    assert!((found - printed).abs() <= off, "{found}, printed {printed}");
}

fn exactly(found: Option<Amount>, words: &str) {
    assert_eq!(found.unwrap().ratio(amount(words)), Some(Exact::ONE), "{found:?}, {words}");
}

#[test]
fn the_printed_constants_follow_from_the_units() {
    let of = |volume: &str, speed: &str, width: &str| {
        let Rate::Of { amount, .. } = output_at_speed(flow(volume, "1 min"), amount(speed), amount(width)).unwrap()
        else {
            panic!("no rate per area")
        };
        amount
    };
    // 5940: University of Florida IFAS, EDIS WG013; 495: Mesa County (Colorado) and the worksheet of the University of
    // Massachusetts; 46.4: Albany County (Wyoming) Weed and Pest; 600: a maker's handbook of a mistblower.
    assert_eq!(of("1 gal", "1 mph", "1 in"), amount("5940 gal"));
    assert_eq!(of("1 gal", "1 mph", "1 ft"), amount("495 gal"));
    assert_eq!(of("1 fl oz", "1 mph", "1 in"), amount("46.40625 gal"));
    assert_eq!(of("1 L", "1 km/h", "1 m"), amount("600 L"));
}

#[test]
fn boomless_nozzle_at_speed() {
    // Albany County (Wyoming) Weed and Pest, boomless calibration: 3.75 gal a minute, 5 mph, 222 in: 20 gal per acre.
    near(gpa(output_at_speed(flow("3.75 gal", "1 min"), amount("5 mph"), amount("222 in"))), 20.0, 0.1);
    // The same from 480 fl oz a minute.
    near(gpa(output_at_speed(flow("480 fl oz", "1 min"), amount("5 mph"), amount("222 in"))), 20.0, 0.1);
}

#[test]
fn strips_filled_up_again() {
    // Florida pest control examinations handbook, p. 213: 660 ft, 12 gal, 10 ft: 79.2 gal per acre.
    near(gpa(output_of_strip(amount("12 gal"), amount("660 ft"), amount("10 ft"))), 79.2, 0.05);
    // Good Fruit Grower, "calibration steps": 10 ft boom, 436 ft, 4 gal: 40 gal per acre.
    near(gpa(output_of_strip(amount("4 gal"), amount("436 ft"), amount("10 ft"))), 40.0, 0.2);
    // University of Nebraska-Lincoln, "Pesticide math": 8.25 ft by a mile, 16.5 by half, 33 by a quarter are an acre.
    for (course, width) in [("1 mile", "8.25 ft"), ("1/2 mile", "16.5 ft"), ("1/4 mile", "33 ft")] {
        assert_eq!(output_of_strip(amount("7 gal"), amount(course), amount(width)), Some(rate("7 gal per acre")));
    }
    // Extension text quoted in a list of NAFEX, 2009: 1.5 gal on 1000 sq ft are 65 gal per acre.
    near(gpa(output(amount("1.5 gal"), amount("1000 sq ft"))), 65.0, 0.5);
}

#[test]
fn ounces_are_gallons_on_their_course() {
    // LSU AgCenter, "Ounces Equal Gallons": lengths for nozzle spacings, printed in whole feet.
    let table = [
        (30, 136),
        (28, 146),
        (26, 157),
        (24, 170),
        (22, 185),
        (20, 204),
        (18, 227),
        (16, 255),
        (14, 291),
        (12, 340),
        (10, 408),
    ];
    for (inches, feet) in table {
        near(ounce_course(Amount::of(inches, Unit::INCH)).unwrap().value.to_f64(), feet as f64, 1.0);
    }
    // 40 in rows: 102 ft; 32 in rows: 127 ft. NC State Extension, backpack worksheet: 6 ft wide, 57 ft.
    near(ounce_course(amount("40 in")).unwrap().value.to_f64(), 102.0, 0.5);
    near(ounce_course(amount("32 in")).unwrap().value.to_f64(), 127.0, 1.0);
    near(ounce_course(amount("6 ft")).unwrap().value.to_f64(), 57.0, 0.5);
    assert_eq!(ounce_course(amount("1 ft")), Some(amount("340.3125 ft")));
    // 14 fl oz caught (LSU) are 14 gal per acre, 7.5 (NC State) are 7.5.
    for (caught, gallons) in [("14 fl oz", "14 gal per acre"), ("7.5 fl oz", "7.5 gal per acre")] {
        assert_eq!(output(amount(caught), ounce_plot().unwrap()), Some(rate(gallons)));
    }
    // The same by flow and speed: 14 fl oz in the 17 s that 102 ft took.
    let course = ounce_course(amount("40 in")).unwrap();
    let by_speed = output_at_speed(flow("14 fl oz", "17 s"), speed(course, amount("17 s")).unwrap(), amount("40 in"));
    assert_eq!(by_speed, Some(rate("14 gal per acre")));
}

#[test]
fn a_handgun_on_a_plot() {
    // Mesa County (Colorado), handgun: 18.5 ft by 18.5 ft in 75 s, 150 fl oz in 75 s: 150 gal per acre; a tank of 25 gal
    // covers 1/6 acre.
    let plot = amount("18.5 ft").by(amount("18.5 ft")).unwrap();
    let found = output_of_plot(flow("150 fl oz", "75 s"), plot, amount("75 s")).unwrap();
    near(gpa(Some(found)), 150.0, 1.5);
    near(ground_per_tank(amount("25 gal"), found).unwrap().value.to_f64(), 1.0 / 6.0, 0.002);
    // Caught for half the time, the same.
    assert_eq!(output_of_plot(flow("75 fl oz", "37.5 s"), plot, amount("75 s")), Some(found));
}

#[test]
fn metric_outputs() {
    // A maker's handbook of a mistblower: 12 nozzles of 1.02 L a minute, 6 km/h, rows of 3 m: 408 L per ha.
    let all = flow("1.02 L", "1 min").times(Exact::int(12)).unwrap();
    assert_eq!(output_at_speed(all, amount("6 km/h"), amount("3.0 m")), Some(rate("408 L per ha")));
    // A maker's handbook of a rotary atomizer: 8 km/h, 12 m: 0.16 ha a minute, and 16 L a minute for 100 L per ha.
    exactly(ground_per_minute(amount("8 km/h"), amount("12 m")), "0.16 ha");
    let needed = flow_for(rate("100 L per ha"), amount("8 km/h"), amount("12 m")).unwrap();
    exactly(Some(needed.per_minute()), "16 L");
    // Alberta Agriculture, Agdex 606-1, p. 17: 30 ac at 40 L per ac are 1200 L.
    exactly(rate("40 L per acre").for_area(amount("30 acre")), "1200 L");
}

#[test]
fn speeds() {
    // Alberta Agriculture, Agdex 606-1, p. 17: seconds over 800 m.
    for (seconds, printed) in [(360, 8.0), (320, 9.0), (288, 10.0), (262, 11.0), (240, 12.0)] {
        let found = speed(amount("800 m"), Amount::of(seconds, Unit::SECOND)).unwrap();
        assert_eq!(found.unit, Unit::KM_PER_H);
        near(found.value.to_f64(), printed, 0.05);
    }
    // Makers' handbooks: km/h = 360 / seconds over 100 m. 88 ft in 10 s: the course of a Hood River (Oregon) handbook of
    // good practice.
    assert_eq!(speed(amount("100 m"), amount("60 s")), Some(amount("6 km/h")));
    assert_eq!(speed(amount("88 ft"), amount("10 s")), Some(amount("6 mph")));
    // University of Nebraska-Lincoln: 88 ft in a minute are 1 mph.
    assert_eq!(speed(amount("88 ft"), amount("1 min")), Some(amount("1 mph")));
}

#[test]
fn orchard_sprayers_by_how_they_are_driven() {
    // University of Massachusetts Extension, block-specific worksheet: acres a minute = mph × ft / 495, gal a minute = gal
    // per acre × mph × ft / 495; the numbers are ours.
    let (speed, spacing) = (amount("2.5 mph"), amount("20 ft"));
    near(ground_per_minute(speed, spacing).unwrap().value.to_f64(), 0.10101, 0.0001);
    let per_minute = |alleys: Alleys| {
        let width = alleys.width(spacing).unwrap();
        flow_for(rate("300 gal per acre"), speed, width).unwrap().per_minute().value.to_f64()
    };
    near(per_minute(Alleys::BothSides), 30.30, 0.01);
    near(per_minute(Alleys::OneSide), 15.15, 0.01);
    near(per_minute(Alleys::EveryOther), 60.61, 0.01);
    // One side with its constant of 990, exactly.
    let one = Alleys::OneSide.width(amount("1 ft")).unwrap();
    assert_eq!(output_at_speed(flow("1 gal", "1 min"), amount("1 mph"), one), Some(rate("990 gal per acre")));
}

#[test]
fn nozzles_against_the_new_one_and_one_another() {
    // Makers' charts; examinations of Illinois and Maryland: 0.40 gal a minute new, 0.36 to 0.44 stays in service.
    let new = flow("0.40 gal", "1 min");
    let out = |caught: &str| beyond(over_rated(flow(caught, "1 min"), new).unwrap(), WORN_FROM);
    assert!(!out("0.36 gal") && !out("0.44 gal"));
    assert!(out("0.355 gal") && out("0.445 gal"));
    // Alberta Agriculture, Agdex 606-1, p. 17: 0.71 to 0.79 L a minute pass at a mean of 0.75.
    let mean_of = flow("0.75 L", "1 min");
    let out = |caught: &str| beyond(over_rated(flow(caught, "1 min"), mean_of).unwrap(), UNEVEN_STRICT);
    assert!(!out("0.7125 L") && !out("0.7875 L") && out("0.712 L") && out("0.788 L"));
    // A maker's handbook: 475, 507 and 504 mL in 19.7 s: a mean of 0.49 L, cut off.
    let catches = [amount("475 mL"), amount("507 mL"), amount("504 mL")];
    near(mean(&catches).unwrap().value.to_f64(), 495.3, 0.1);
    let off: Vec<f64> = off_mean(&catches).unwrap().iter().map(|share| share.to_f64()).collect();
    assert!(off[0] < -0.04 && off[1] > 0.02 && off.iter().sum::<f64>().abs() < 1e-12, "{off:?}");
}

#[test]
fn flow_goes_with_the_root_of_pressure() {
    // From memory: twice the flow takes four times the pressure.
    let nozzle = flow("0.4 gal", "1 min");
    let at = |psi: &str| nozzle.at_pressure(amount("40 psi"), amount(psi)).unwrap();
    assert_eq!(at("160 psi").per_minute(), amount("0.8 gal"));
    assert_eq!(at("10 psi").per_minute(), amount("0.2 gal"));
    assert_eq!(at("40 psi"), nozzle);
    near(at("60 psi").per_minute().value.to_f64(), 0.4 * 1.5_f64.sqrt(), 1e-8);
}

#[test]
fn times_and_loads() {
    assert_eq!(flow("2 gal", "30 s").time_for(amount("100 gal")), Some(amount("25 min")));
    assert_eq!(ground_per_tank(amount("100 gal"), rate("40 gal per acre")), Some(amount("2.5 acre")));
    assert_eq!(ground_per_tank(amount("400 L"), rate("200 L per ha")), Some(amount("2 ha")));
}

#[test]
fn what_cannot_be_measured_gives_nothing() {
    let none = [
        speed(amount("0 ft"), amount("10 s")),
        speed(amount("88 ft"), amount("0 s")),
        speed(amount("88 gal"), amount("10 s")),
        speed(amount("-88 ft"), amount("10 s")),
        ground_per_minute(amount("5 ft"), amount("5 ft")),
        ounce_course(amount("0 ft")),
        ounce_course(amount("5 gal")),
        ground_per_tank(amount("0 gal"), rate("40 gal per acre")),
        ground_per_tank(amount("100 gal"), rate("2 oz wt per gal")),
        mean(&[]),
        mean(&[amount("1 ft")]),
        mean(&[amount("1 fl oz"), amount("1 ft")]),
    ];
    assert!(none.iter().all(Option::is_none), "{none:?}");
    assert_eq!(output(amount("0 gal"), amount("1 acre")), None);
    assert_eq!(output(amount("1 gal"), amount("0 acre")), None);
    assert_eq!(output_of_strip(amount("1 gal"), amount("-5 ft"), amount("5 ft")), None);
    assert_eq!(Flow::new(amount("1 oz"), amount("1 min")), None);
    assert_eq!(off_mean(&[amount("0 gal"), amount("0 gal")]), None);
    let nozzle = flow("0.4 gal", "1 min");
    assert_eq!(nozzle.at_pressure(amount("0 psi"), amount("40 psi")), None);
    assert_eq!(nozzle.at_pressure(amount("40 ft"), amount("40 psi")), None);
    assert_eq!(nozzle.times(Exact::ZERO), None);
    // Too large for exact numbers, and never a panic.
    let huge = Amount::of(i64::MAX, Unit::MILE);
    assert_eq!(output_of_strip(amount("999999999999999999 gal"), huge, huge), None);
    let tiny = amount("0.000000000000000001 kPa");
    assert!(
        nozzle
            .at_pressure(tiny, amount("999999999999999999 kPa"))
            .is_none_or(|flow| flow.per_minute().value.is_positive())
    );
}
