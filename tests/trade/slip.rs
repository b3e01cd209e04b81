//! The slip finder: every constant is found both ways, and what fits no slip stays without one.

use foliary::quantity::{Amount, Basis, Dimension, Exact, Per, Rate, Unit};
use foliary::trade::{Clues, likely_slip};
use proptest::prelude::*;

fn number(words: &str) -> Exact {
    Exact::parse(words).unwrap()
}

fn clues(of: Dimension) -> Clues {
    Clues { of: Some(of), ..Clues::default() }
}

fn written(of: Dimension, unit: Unit) -> Clues {
    Clues { written: Some(unit), ..clues(of) }
}

fn gallons_per_acre(gallons: i64) -> Rate {
    Rate::Of { amount: Amount::of(gallons, Unit::GALLON), per: Per::Area(Amount::of(1, Unit::ACRE)) }
}

/// Clues, a ratio, the words for a number too large by it, and the words for one too small.
fn known() -> Vec<(Clues, Exact, &'static str, &'static str)> {
    let (mass, volume, area) = (Dimension::Mass, Dimension::Volume, Dimension::Area);
    let per_area = Clues { basis: Some(Basis::Area), ..clues(mass) };
    let sprayed = Clues { basis: Some(Basis::Area), ..clues(volume) };
    let half_tank = Clues { part_of_tank: Exact::new(1, 2), ..clues(volume) };
    let at_300 = Clues { spray_per_ground: Some(gallons_per_acre(300)), ..clues(mass) };
    let at_50 = Clues { spray_per_ground: Some(gallons_per_acre(50)), ..clues(mass) };
    let per_gallon = Clues { basis: Some(Basis::FinishedVolume), ..clues(mass) };
    vec![
        (clues(mass), number("10"), "a decimal point one place too far to the right", "one place too far to the left"),
        (clues(volume), number("100"), "two places too far to the right", "two places too far to the left"),
        (Clues::default(), number("10"), "too far to the right", "too far to the left"),
        (clues(mass), number("16"), "lb where oz wt was meant", "oz wt where lb was meant"),
        (clues(mass), number("28.35"), "oz wt where g was meant", "g where oz wt was meant"),
        (clues(mass), number("453.6"), "lb where g was meant", "g where lb was meant"),
        (clues(mass), number("2.2046"), "kg where lb was meant", "lb where kg was meant"),
        (clues(volume), number("8"), "cup where fl oz was meant", "fl oz where cup was meant"),
        (clues(volume), number("4"), "gal where qt was meant", "qt where gal was meant"),
        (clues(volume), number("3"), "tbsp where tsp was meant", "tsp where tbsp was meant"),
        (clues(volume), number("2"), "qt where pt was meant", "pt where qt was meant"),
        (written(volume, Unit::PINT), number("2"), "pt where cup was meant", "pt where qt was meant"),
        (written(volume, Unit::CUP), number("16"), "cup where tbsp was meant", "cup where gal was meant"),
        (clues(volume), number("128"), "gal where fl oz was meant", "fl oz where gal was meant"),
        (clues(volume), number("1.20095"), "imp gal where gal was meant", "gal where imp gal was meant"),
        (clues(volume), number("3.785"), "gal where L was meant", "L where gal was meant"),
        (clues(volume), number("29.57"), "fl oz where mL was meant", "mL where fl oz was meant"),
        (clues(area), number("2.47105"), "ha where acre was meant", "acre where ha was meant"),
        (clues(area), number("43.56"), "acres where units of 1,000 sq ft", "units of 1,000 sq ft where acres"),
        (clues(area), number("43560"), "acre where sq ft was meant", "sq ft where acre was meant"),
        (per_area, number("2.471"), "per acre where per ha was meant", "per ha where per acre was meant"),
        (
            per_area,
            number("43.56"),
            "per 1,000 sq ft where per acre was meant",
            "per acre where per 1,000 sq ft was meant",
        ),
        (per_gallon, number("3.785"), "per L where per gal was meant", "per gal where per L was meant"),
        (sprayed, number("9.354"), "L per ha taken as gal per acre", "gal per acre taken as L per ha"),
        (
            half_tank,
            number("2"),
            "a full tank's amount in a tank filled to 1/2",
            "for a tank filled to 1/2 in a full one",
        ),
        (
            at_300,
            number("3"),
            "a rate per acre taken as one per 100 gal, at 300 gal",
            "per 100 gal taken as one per acre",
        ),
        (at_50, number("0.5"), "a rate per acre taken as one per 100 gal", "a rate per 100 gal taken as one per acre"),
    ]
}

#[test]
fn every_constant_is_found_both_ways() {
    for (clues, ratio, large, small) in known() {
        let found = likely_slip(ratio, &clues).unwrap_or_default();
        assert!(found.contains(large), "{ratio} {clues:?}: {found}");
        let found = likely_slip(ratio.recip().unwrap(), &clues).unwrap_or_default();
        assert!(found.contains(small), "1/{ratio} {clues:?}: {found}");
    }
}

#[test]
fn the_ratio_is_said_as_it_is() {
    let said = |ratio: &str| likely_slip(number(ratio), &clues(Dimension::Mass)).unwrap();
    assert_eq!(said("16"), "lb where oz wt was meant (16 times)");
    assert_eq!(said("1/16"), "oz wt where lb was meant (1/16 of it)");
    assert_eq!(said("15.93"), "lb where oz wt was meant (about 15.9 times)");
    assert_eq!(said("0.0353"), "g where oz wt was meant (about 1/28.3 of it)");
}

#[test]
fn a_unit_written_takes_only_pairs_that_it_belongs_to() {
    let fluid_ounces = written(Dimension::Volume, Unit::FL_OZ);
    assert_eq!(likely_slip(number("4"), &fluid_ounces), None);
    assert!(likely_slip(number("2"), &fluid_ounces).unwrap().starts_with("fl oz where tbsp was meant"));
    assert_eq!(likely_slip(number("2"), &written(Dimension::Mass, Unit::POUND)), None);
}

#[test]
fn the_unit_named_as_written_is_the_one_that_was_written() {
    let one_in = |of: i128| Exact::new(1, of).unwrap();
    // A third of what it should be, in tablespoons: nobody wrote a teaspoon.
    assert_eq!(likely_slip(one_in(3), &written(Dimension::Volume, Unit::TBSP)), None);
    let teaspoons = likely_slip(one_in(3), &written(Dimension::Volume, Unit::TSP)).unwrap();
    assert!(teaspoons.starts_with("tsp where tbsp was meant"), "{teaspoons}");
    assert_eq!(likely_slip(one_in(16), &written(Dimension::Mass, Unit::POUND)), None);
    assert_eq!(likely_slip(number("43.56").recip().unwrap(), &written(Dimension::Area, Unit::ACRE)), None);
}

#[test]
fn a_ratio_that_fits_nothing_has_no_slip() {
    for ratio in ["0", "-10", "1", "1.5", "5", "7", "11", "13", "20", "50", "90", "110", "1000000"] {
        for of in [Dimension::Mass, Dimension::Volume] {
            assert_eq!(likely_slip(number(ratio), &clues(of)), None, "{ratio} {of:?}");
        }
    }
    // Without a word about what was measured, only the decimal point is left.
    assert_eq!(likely_slip(number("16"), &Clues::default()), None);
    // At 100 gal per acre both bases come to the same.
    let at_100 = Clues { spray_per_ground: Some(gallons_per_acre(100)), ..clues(Dimension::Mass) };
    assert_eq!(likely_slip(number("1.06"), &at_100), None);
}

fn any_clues() -> impl Strategy<Value = Clues> {
    let all: Vec<Clues> = known().into_iter().map(|(clues, ..)| clues).collect();
    proptest::sample::select(all)
}

proptest! {
    #[test]
    fn nothing_is_named_near_one(clues in any_clues(), thousandths in 950_i128..=1050) {
        prop_assert_eq!(likely_slip(Exact::new(thousandths, 1000).unwrap(), &clues), None);
    }

    #[test]
    fn what_is_off_by_less_than_a_hundredth_is_still_found(at in 0..27_usize, off in -10_i128..=10) {
        let (clues, ratio, large, _) = known().swap_remove(at);
        let ratio = ratio.mul(Exact::new(1000 + off, 1000).unwrap()).unwrap();
        let found = likely_slip(ratio, &clues).unwrap_or_default();
        prop_assert!(found.contains(large), "{ratio}: {found}");
    }

    #[test]
    fn ratios_between_the_slips_of_weight_stay_silent(millis in 1_i128..2_000_000) {
        let ratio = Exact::new(millis, 1000).unwrap();
        let constants = ["10", "100", "16", "28.349523125", "453.59237", "2.2046226218", "1000"];
        let off = |constant: &str| {
            let constant = number(constant);
            let of = |wanted: Exact| ratio.div(wanted).unwrap().sub(Exact::ONE).unwrap().abs();
            of(constant).min(of(constant.recip().unwrap()))
        };
        let nearest = constants.iter().map(|constant| off(constant)).min().unwrap();
        let found = likely_slip(ratio, &clues(Dimension::Mass));
        prop_assert_eq!(found.is_some(), nearest <= number("0.015"), "{}: {:?}", ratio, found);
    }

    #[test]
    fn no_ratio_panics(top in any::<i64>(), bottom in 1_i64.., clues in any_clues()) {
        let ratio = Exact::new(i128::from(top), i128::from(bottom)).unwrap();
        let one = likely_slip(ratio, &clues);
        prop_assert_eq!(one.clone(), likely_slip(ratio, &clues));
    }
}
