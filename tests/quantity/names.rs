//! The names of units.

use std::collections::BTreeMap;

use foliary::quantity::{Dimension, Unit};
use proptest::prelude::*;

#[test]
fn what_is_forgiven() {
    for (word, spellings) in [
        ("gal", &["gal", "Gal", "GAL.", "gallon", "Gallons", "gals", "US gal", "u.s. gallons"][..]),
        ("fl oz", &["fl oz", "floz", "Fl. Oz.", "fluid ounce", "fluid ounces", "fl-oz", "FLUID OZ"]),
        ("oz wt", &["oz wt", "oz av", "ozwt", "ounces weight", "oz. wt.", "avoirdupois ounces"]),
        ("oz", &["oz", "ounce", "Ounces", "oz."]),
        ("lb", &["lb", "lbs", "pound", "Pounds", "LB."]),
        ("imp gal", &["imp gal", "imperial gallons", "Imp. gal.", "UK gallon"]),
        ("sq ft", &["sq ft", "sqft", "ft2", "ft²", "ft^2", "square feet", "sq. ft."]),
        ("m2", &["m2", "m²", "sq m", "square metres", "square meter"]),
        ("m3", &["m3", "m³", "cubic metres"]),
        ("% v/v", &["% v/v", "%v/v", "percent v/v", "% by volume"]),
        ("% w/v", &["% w/v", "% W/V"]),
        ("% w/w", &["% w/w", "% by weight"]),
        ("%", &["%", "percent"]),
        ("ppm", &["ppm", "PPM", "parts per million"]),
        ("mph", &["mph", "MPH", "miles per hour", "mi/h"]),
        ("km/h", &["km/h", "kmh", "kph", "kilometres per hour"]),
        ("m/s", &["m/s", "meters per second"]),
        ("F", &["F", "f", "°F", "deg F", "º F", "degrees Fahrenheit"]),
        ("C", &["C", "°C", "deg C", "Celsius"]),
        ("psi", &["psi", "PSI", "lb/in²"]),
        ("kPa", &["kPa", "kpa", "kilopascals"]),
        ("min", &["min", "mins", "minute", "minutes"]),
        ("h", &["h", "hr", "hrs", "hour", "hours"]),
        ("day", &["day", "days", "d"]),
        ("week", &["week", "weeks", "wk", "wks"]),
        ("tree", &["tree", "trees"]),
        ("spray", &["spray", "sprays"]),
        ("acre", &["acre", "acres", "ac", "ac."]),
        ("ha", &["ha", "hectare", "hectares"]),
        ("tbsp", &["tbsp", "tablespoons", "Tbsp."]),
        ("tsp", &["tsp", "teaspoon", "teaspoons"]),
        ("mL", &["mL", "ml", "cc", "millilitres", "milliliters", "ML"]),
        ("L", &["L", "l", "litre", "liters"]),
        ("um", &["um", "µm", "microns"]),
        ("ton", &["ton", "tons", "short tons"]),
        ("tonne", &["tonne", "tonnes", "metric tons"]),
        ("gpg", &["gpg", "grains per gallon"]),
        ("pH", &["pH", "ph"]),
        ("in", &["in", "inch", "inches"]),
        ("ft", &["ft", "foot", "feet", "ft."]),
    ] {
        for spelling in spellings {
            assert_eq!(Unit::named(spelling).map(Unit::word), Some(word), "{spelling}");
        }
    }
}

#[test]
fn what_is_not_forgiven() {
    // `T` and `t` are tablespoon, teaspoon and tonne to different people; a dry ounce depends on the product's own
    // device (Penn State, pesticide measurement); blocks and stations are no units (Cornell, reporting of sales and use).
    for word in
        ["", " ", ".", "#", "t", "T", "dry oz", "dry ounces", "block", "station", "ms", "gs", "galt", "mole", "s.s"]
    {
        assert_eq!(Unit::named(word), None, "{word}");
    }
    assert_eq!(Unit::named(&"gallon".repeat(1000)), None);
    assert_eq!(Unit::named("g\u{0}"), None);
}

#[test]
fn every_name_reads_back() {
    let mut names: BTreeMap<String, Unit> = BTreeMap::new();
    for unit in Unit::all() {
        assert_eq!(Unit::named(unit.word()), Some(unit));
        assert_eq!(Unit::named(unit.word_after(foliary::quantity::Exact::ZERO)), Some(unit));
        for name in unit.aliases() {
            assert_eq!(Unit::named(name), Some(unit), "{name}");
            assert_eq!(Unit::named(&format!("{}.", name.to_uppercase())), Some(unit), "{name}");
            assert_eq!(names.insert(name.to_lowercase(), unit), None, "{name} twice");
        }
        if unit.dimension() == Dimension::Share {
            assert!(unit.share_of().is_some());
        } else {
            assert_eq!(unit.share_of(), None, "{unit}");
        }
    }
}

#[test]
fn slips_have_a_suggestion() {
    for (slip, meant) in [
        ("galon", "gal"),
        ("gla", "gal"),
        ("fluid onces", "fl oz"),
        ("tabelspoon", "tbsp"),
        ("acer", "acre"),
        ("hectar", "ha"),
        ("litr", "L"),
        ("minuets", "min"),
    ] {
        assert_eq!(Unit::nearest(slip).map(Unit::word), Some(meant), "{slip}");
    }
    for word in ["bucketful", "x", "", "m4", "ft4", &"g".repeat(100_000)] {
        assert_eq!(Unit::nearest(word), None, "{word}");
    }
}

proptest! {
    #[test]
    fn names_differing_only_in_digits_are_never_offered(word in "(m|ft|yd|cm|km|mm)[0-9]{1,2}") {
        let letters = |name: &str| name.chars().filter(|sign| sign.is_ascii_alphabetic()).collect::<String>();
        if let (None, Some(unit)) = (Unit::named(&word), Unit::nearest(&word)) {
            for name in unit.aliases().iter().chain([&unit.word()]) {
                prop_assert!(name.contains('/') || letters(name) != letters(&word), "{} for {}", unit, word);
            }
        }
    }

    #[test]
    fn no_words_are_a_panic(words in any::<String>()) {
        let _ = Unit::named(&words);
        let _ = Unit::nearest(&words);
        let _ = foliary::quantity::Amount::parse(&words);
        let _ = foliary::quantity::Rate::parse(&words);
        let _ = foliary::quantity::Density::parse(&words);
    }

    #[test]
    fn no_near_words_are_a_panic(words in "[-0-9 ./:½=°%−]{0,12}(oz|gal|ft row| per |/|%|²){0,4}[0-9 ]{0,3}(acre| row|gal)?") {
        let _ = foliary::quantity::Amount::parse(&words);
        let _ = foliary::quantity::Rate::parse(&words);
        let _ = foliary::quantity::Density::parse(&words);
    }
}
