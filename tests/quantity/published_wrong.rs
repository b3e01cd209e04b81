//! Published examples that are wrong, or are read wrong: none of them may come out here.

use foliary::quantity::{Exact, Rate, Unit};

use super::{amount, number, rate};

/// How far the printed number is from ours, as a share of ours.
fn off(printed: &str, ours: Exact) -> Exact {
    number(printed).sub(ours).unwrap().div(ours).unwrap().abs()
}

#[test]
fn six_times_concentrate_of_400_gallons_is_not_76() {
    // Good Fruit Grower, matching the spray to the tree, prints 76 gal; 2X, 3X and 4X there are right.
    let at_six = rate("400 gal per acre").times(number("1/6")).unwrap();
    assert_ne!(at_six, rate("76 gal per acre"));
    assert_eq!(at_six.show(), "66.67 gal per acre");
}

#[test]
fn a_gallon_is_not_3786_millilitres() {
    // University of Florida, EDIS WG013: rounded up, within a fiftieth of a percent.
    let gallon = amount("1 gal").in_unit(Unit::MILLILITRE).unwrap().value;
    assert_ne!(gallon, number("3786"));
    assert!(off("3786", gallon) < number("0.0002"));
}

#[test]
fn a_mile_an_hour_is_not_1_46_feet_a_second() {
    // University of Nebraska, pesticide education, math page: cut short after two decimals, where 1.47 is nearest.
    let feet = amount("1 mph").in_unit(Unit::FT_PER_S).unwrap().value;
    assert_eq!(feet, number("22/15"));
    assert_eq!(feet.decimal(2), "1.47");
}

#[test]
fn freezing_is_not_273_16() {
    // NCAR NCL crop functions add 273.16, the triple point of water; the Celsius zero is 273.15 K.
    let kelvin = amount("0 C").base().unwrap();
    assert_eq!(kelvin, number("273.15"));
    assert_eq!(amount("32 F").base(), Some(kelvin));
}

#[test]
fn an_old_british_recipe_is_in_imperial_gallons() {
    // Bordeaux mixture as 2 lb in 10 gal: a fifth too strong when the gallon is read as the US gallon.
    let ratio = |us: &str, imperial: &str| -> Exact {
        let (us, imperial): (Rate, Rate) = (rate(us), rate(imperial));
        us.ratio(imperial, None, None).unwrap()
    };
    let excess = ratio("2 lb per 10 gal", "2 lb per 10 imp gal");
    assert_eq!(excess.decimal(3), "1.201");
}

#[test]
fn half_a_teaspoon_of_baking_soda_is_not_half_of_4_grams() {
    // USDA SR28 prints 2.3 g for half a teaspoon; a copy rounds the teaspoon to 4 g.
    let soda = super::density("0.5 tsp = 2.3 g");
    let teaspoon = soda.mass_of(amount("1 tsp")).unwrap().in_unit(Unit::GRAM).unwrap();
    assert_eq!(teaspoon, amount("4.6 g"));
    assert_eq!(soda.grams_per_ml().decimal(3), "0.933");
}

#[test]
fn fluid_ounces_are_not_ounces() {
    // Purdue University, pesticide measurement: different units, one never measured with the other's cup.
    assert_eq!(amount("1 fl oz").in_unit(Unit::OZ_WT), None);
    assert_eq!(amount("1 oz").in_unit(Unit::FL_OZ), None);
    assert_eq!(amount("1 oz").plus(amount("1 oz wt")), None);
    assert_eq!(rate("1 oz per gal").as_share(Unit::PERCENT_BY_VOLUME), None);
}
