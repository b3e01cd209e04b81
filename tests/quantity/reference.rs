//! Every unit that a general units library also knows has exactly the library's size.

use foliary::quantity::{Exact, Unit};

use super::number;

const TABLE: &str = include_str!("reference-units.csv");

fn rows() -> impl Iterator<Item = (Unit, Exact)> {
    TABLE.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| {
        let columns: Vec<&str> = line.split(',').collect();
        let factor = Exact::new(columns[3].parse().unwrap(), columns[4].parse().unwrap()).unwrap();
        (super::unit(columns[0]), factor)
    })
}

#[test]
fn every_size_is_the_librarys_but_the_acre() {
    for (unit, factor) in rows().filter(|(unit, _)| *unit != Unit::ACRE) {
        assert_eq!(unit.to_base(), factor, "{unit}");
    }
}

#[test]
fn the_librarys_acre_is_four_millionths_larger() {
    // It is 43,560 square survey feet of 1200/3937 m; ours is of 0.3048 m (85 FR 62698 gave up the survey foot).
    let (_, theirs) = rows().find(|(unit, _)| *unit == Unit::ACRE).unwrap();
    let foot = Exact::new(1200, 3937).unwrap();
    assert_eq!(theirs, foot.mul(foot).unwrap().mul(Exact::int(43_560)).unwrap());
    let excess = theirs.div(Unit::ACRE.to_base()).unwrap().sub(Exact::ONE).unwrap();
    let off = excess.sub(number("0.000004")).unwrap().abs();
    assert!(off < number("0.000000001"), "{}", excess.decimal(12));
}

#[test]
fn few_units_are_unknown_to_the_library() {
    let known: Vec<Unit> = rows().map(|(unit, _)| unit).collect();
    let unknown: Vec<&str> = Unit::all().filter(|unit| !known.contains(unit)).map(Unit::word).collect();
    let kitchen = ["metric cup", "metric tbsp", "metric tsp"];
    let others = ["oz", "% v/v", "% w/v", "% w/w", "ppm", "pH", "tree", "spray", "each"];
    assert_eq!(unknown, [&kitchen[..], &others[..]].concat());
    // Metric kitchen measures: from memory.
    for (word, millilitres) in kitchen.into_iter().zip([250, 15, 5]) {
        assert_eq!(super::unit(word).to_base(), Exact::int(millilitres));
    }
    // A share's base is one; parts per million in water are milligrams per litre.
    for word in ["% v/v", "% w/v", "% w/w"] {
        assert_eq!(super::unit(word).to_base(), number("0.01"));
    }
    assert_eq!(Unit::PPM.to_base(), super::unit("mg/L").to_base());
}
