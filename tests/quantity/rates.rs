//! Rates: reading, applying, comparing.

use std::cmp::Ordering;

use foliary::quantity::{
    Amount, Basis, Density, Dimension, Exact, Form, FormTrouble, Per, QuantityTrouble, Rate, Unit, finished_from_water,
};

use super::{amount, density, number, rate};

#[test]
fn every_basis_is_read_and_printed_as_written() {
    for (words, basis, printed) in [
        ("0.4 oz per gal", Basis::FinishedVolume, "0.4 oz per gal"),
        ("0.4oz/gal", Basis::FinishedVolume, "0.4 oz per gal"),
        ("1/2 oz wt/gallon", Basis::FinishedVolume, "0.5 oz wt per gal"),
        ("2 lbs per 100 gal", Basis::FinishedVolume, "2 lb per 100 gal"),
        ("2 lb/100gal", Basis::FinishedVolume, "2 lb per 100 gal"),
        ("5 mL per L", Basis::FinishedVolume, "5 mL per L"),
        ("2 kg per 100 L", Basis::FinishedVolume, "2 kg per 100 L"),
        ("2 g/L", Basis::FinishedVolume, "2 g per L"),
        ("3 qt per acre", Basis::Area, "3 qt per acre"),
        ("45 kg PER ha", Basis::Area, "45 kg per ha"),
        ("3 fl oz per 1000 sq ft", Basis::Area, "3 fl oz per 1000 sq ft"),
        ("1 oz per 100 ft row", Basis::RowLength, "1 oz per 100 ft row"),
        ("1 oz per 1000 ft of row", Basis::RowLength, "1 oz per 1000 ft row"),
        ("20 mL per m", Basis::RowLength, "20 mL per m row"),
        ("2 oz wt per tree", Basis::Tree, "2 oz wt per tree"),
        ("2 oz wt per 3 trees", Basis::Tree, "2 oz wt per 3 trees"),
        ("0.5 % v/v", Basis::FinishedVolume, "0.5 % v/v"),
        ("2% w/v", Basis::FinishedVolume, "2 % w/v"),
        ("75 ppm", Basis::FinishedVolume, "75 ppm"),
        ("75 mg/L", Basis::FinishedVolume, "75 mg/L"),
        ("1:500", Basis::FinishedVolume, "1:500"),
        ("1/3 oz wt per 1 1/2 gal", Basis::FinishedVolume, "1/3 oz wt per 1.5 gal"),
    ] {
        let read = rate(words);
        assert_eq!(read.basis(), basis, "{words}");
        assert_eq!(read.to_string(), printed, "{words}");
        assert_eq!(rate(printed), read, "{words}");
    }
    assert_eq!(rate("1/3 oz wt per gal").show(), "0.3333 oz wt per gal");
    assert_eq!(rate("1:500").show(), "1:500");
    assert_eq!(rate("1/3 % v/v").show(), "0.3333 % v/v");
}

#[test]
fn read_from_pieces() {
    let oz = Amount::read("0.4", "oz").unwrap();
    assert_eq!(Rate::read(oz, None, "gal"), Ok(rate("0.4 oz per gal")));
    assert_eq!(Rate::read(oz, Some("100"), "gal"), Ok(rate("0.4 oz per 100 gal")));
    assert_eq!(Rate::read(oz, Some("100"), "ft row"), Ok(rate("0.4 oz per 100 ft row")));
    assert_eq!(Rate::read(oz, Some("1/0"), "gal").unwrap_err().to_string(), "the fraction has a 0 below the line");
}

#[test]
fn what_is_no_rate_says_why() {
    let trouble = |words: &str| Rate::parse(words).unwrap_err();
    assert_eq!(trouble("4 oz"), QuantityTrouble::NoBasis);
    assert_eq!(trouble("2:500"), QuantityTrouble::NoBasis);
    assert_eq!(trouble("1:0"), QuantityTrouble::NotPositive);
    assert_eq!(trouble("1:-5"), QuantityTrouble::NotPositive);
    assert_eq!(trouble("4 oz per 0 gal"), QuantityTrouble::NotPositive);
    assert_eq!(trouble("4 oz per -1 gal"), QuantityTrouble::NotPositive);
    assert_eq!(trouble("5 %"), QuantityTrouble::ShareOfWhat { written: Unit::PERCENT });
    assert_eq!(trouble("5 % w/w"), QuantityTrouble::ShareOfWhat { written: Unit::PERCENT_BY_WEIGHT });
    assert_eq!(trouble("4 oz per h"), QuantityTrouble::NotABasis { found: Dimension::Time });
    assert_eq!(trouble("4 oz per spray"), QuantityTrouble::NotABasis { found: Dimension::Count });
    let wrong = QuantityTrouble::WrongDimension { found: Dimension::Length, expected: Dimension::Ounce };
    assert_eq!(trouble("4 ft per gal"), wrong);
    assert_eq!(
        wrong.to_string(),
        "this is a length, and a weight or a volume is needed here, such as oz wt, fl oz, g, mL"
    );
    let unknown = QuantityTrouble::UnknownUnit { written: "galon".to_owned(), nearest: Some(Unit::GALLON) };
    assert_eq!(trouble("4 oz per galon"), unknown);
    assert_eq!(trouble("4 oz per "), QuantityTrouble::UnknownUnit { written: "oz per".to_owned(), nearest: None });
    assert_eq!(trouble("4"), QuantityTrouble::NoUnit);
    assert!(matches!(trouble("oz per gal"), QuantityTrouble::Number(_)));
}

#[test]
fn what_a_rate_takes() {
    assert_eq!(rate("0.4 oz wt per gal").for_volume(amount("60 gal")), Some(amount("24 oz wt")));
    assert_eq!(rate("2 lb per 100 gal").for_volume(amount("25 gal")), Some(amount("0.5 lb")));
    assert_eq!(rate("1 % v/v").for_volume(amount("3 gal")), Some(amount("0.03 gal")));
    assert_eq!(rate("2 % w/v").for_volume(amount("10 L")), Some(amount("200 g")));
    assert_eq!(rate("1:500").for_volume(amount("100 L")), Some(amount("0.2 L")));
    assert_eq!(rate("3 lb per acre").for_area(amount("3.5 acre")), Some(amount("10.5 lb")));
    assert_eq!(rate("1 oz per 100 ft row").for_row(amount("250 ft")), Some(amount("2.5 oz")));
    assert_eq!(rate("1 oz per 2 trees").for_trees(Exact::int(7)), Some(amount("3.5 oz")));
    // Only the rate's own kind of basis.
    assert_eq!(rate("3 lb per acre").for_volume(amount("60 gal")), None);
    assert_eq!(rate("3 lb per gal").for_area(amount("1 acre")), None);
    assert_eq!(rate("3 lb per gal").for_volume(amount("1 acre")), None);
    assert_eq!(rate("1 % v/v").for_volume(amount("1 lb")), None);
    assert_eq!(rate("3 lb per gal").for_row(amount("1 ft")), None);
    assert_eq!(rate("3 lb per gal").for_trees(Exact::ONE), None);
}

#[test]
fn plain_ounces_need_a_form() {
    let oz = rate("1 oz per gal");
    assert!(oz.is_plain_ounce());
    assert_eq!(oz.settle(None), Err(FormTrouble));
    assert_eq!(oz.settle(Some(Form::Dry)), Ok(rate("1 oz wt per gal")));
    assert_eq!(oz.settle(Some(Form::Liquid)), Ok(rate("1 fl oz per gal")));
    let equal = Some(Ordering::Equal);
    assert_eq!(oz.compare(rate("100 oz per 100 gal"), None, None), equal, "ounces against ounces");
    assert_eq!(oz.compare(rate("1 oz wt per gal"), None, None), None);
    assert_eq!(oz.compare(rate("1 oz wt per gal"), Some(Form::Dry), None), equal);
    assert_eq!(oz.compare(rate("1 fl oz per gal"), Some(Form::Liquid), None), equal);
    assert_eq!(oz.compare(rate("1 fl oz per gal"), Some(Form::Dry), None), None, "a weight against a volume");
}

#[test]
fn comparison_needs_one_kind_of_basis() {
    let compare = |left, right| rate(left).compare(rate(right), None, None);
    assert_eq!(compare("2 lb per 100 gal", "0.32 oz wt per gal"), Some(Ordering::Equal));
    assert_eq!(compare("2 lb per 100 gal", "0.24 % w/v"), Some(Ordering::Less));
    assert_eq!(compare("1:100", "1 % v/v"), Some(Ordering::Equal));
    assert_eq!(compare("1 kg per ha", "1 lb per acre"), Some(Ordering::Less));
    assert_eq!(compare("1 lb per acre", "1 lb per gal"), None);
    assert_eq!(compare("1 oz wt per tree", "1 oz wt per 100 ft row"), None);
    assert!(rate("1:100").same_basis(rate("1 lb per gal")));
    assert!(!rate("1 lb per acre").same_basis(rate("1 lb per gal")));
    assert_eq!(rate("3 lb per acre").ratio(rate("2 lb per acre"), None, None), Some(number("1.5")));
    assert_eq!(rate("3 lb per acre").ratio(rate("0 lb per acre"), None, None), None);
}

#[test]
fn density_bridges_weight_and_volume() {
    let water = density("1 g/mL");
    let heavy = density("1 tbsp = 14 g");
    assert_eq!(density("14 g = 1 tbsp"), heavy);
    assert_eq!(heavy.mass_of(amount("2 tbsp")).unwrap().in_unit(Unit::GRAM), Some(amount("28 g")));
    assert_eq!(heavy.volume_of(amount("7 g")).unwrap().in_unit(Unit::TBSP), Some(amount("0.5 tbsp")));
    assert_eq!(heavy.mass_of(amount("1 lb")), None);
    assert_eq!(heavy.show(), "0.9468 g/mL");
    assert_eq!(density(&heavy.to_string()), heavy);
    assert_eq!(heavy.volume_of(amount("1 L")), None);
    assert_eq!(rate("1 mL per L").compare(rate("1 g per L"), None, Some(water)), Some(Ordering::Equal));
    assert_eq!(rate("1 mL per L").compare(rate("1 g per L"), None, Some(density("1.3 kg/L"))), Some(Ordering::Greater));
    assert_eq!(Density::new(amount("0 g"), amount("1 mL")), None);
    assert_eq!(Density::new(amount("1 oz"), amount("1 gal")), None, "plain ounces are neither");
    assert_eq!(Density::parse("0 g/mL"), Err(QuantityTrouble::NotPositive));
    let wrong = QuantityTrouble::WrongDimension { found: Dimension::Ounce, expected: Dimension::Mass };
    assert_eq!(Density::parse("9 oz per gal"), Err(wrong));
}

#[test]
fn strength_of_the_finished_spray() {
    let half = rate("0.5 % v/v").per_ml(None, None, None).unwrap();
    assert_eq!((half.by_volume, half.by_weight), (Some(number("0.005")), None));
    let known = rate("0.5 % v/v").per_ml(None, Some(density("1.2 g/mL")), None).unwrap();
    assert_eq!((known.by_volume, known.by_weight), (Some(number("0.005")), Some(number("0.006"))));
    let weight = rate("6 g per L").per_ml(None, Some(density("1.2 g/mL")), None).unwrap();
    assert_eq!((weight.by_volume, weight.by_weight), (Some(number("0.005")), Some(number("0.006"))));
    let spray = Some(rate("500 L per ha"));
    let area = rate("1 kg per ha").per_ml(None, None, spray).unwrap();
    assert_eq!(area.by_weight, Some(number("0.002")));
    assert_eq!(rate("1 kg per ha").per_ml(None, None, None), None);
    assert_eq!(rate("1 kg per ha").per_ml(None, None, Some(rate("1 kg per ha"))), None, "no spray volume");
    assert_eq!(rate("1 oz per tree").per_ml(Some(Form::Dry), None, spray), None);
    assert_eq!(rate("1 oz per gal").per_ml(None, None, None), None);
}

#[test]
fn the_same_rate_in_other_words() {
    let gallon = Per::Volume(amount("1 gal"));
    assert_eq!(rate("1 % v/v").said_as(Unit::FL_OZ, gallon), Some(rate("1.28 fl oz per gal")));
    assert_eq!(rate("1.28 fl oz per gal").as_share(Unit::PERCENT_BY_VOLUME), Some(rate("1 % v/v")));
    assert_eq!(rate("2 g per L").as_share(Unit::PPM), Some(rate("2000 ppm")));
    assert_eq!(rate("2 g per L").as_share(Unit::PERCENT_WEIGHT_IN_VOLUME), Some(rate("0.2 % w/v")));
    assert_eq!(rate("2 g per L").as_share(Unit::PERCENT_BY_VOLUME), None);
    assert_eq!(rate("2 g per L").as_share(Unit::PERCENT), None);
    assert_eq!(rate("2 g per ha").as_share(Unit::PPM), None);
    assert_eq!(rate("2 g per L").said_as(Unit::FL_OZ, gallon), None);
    assert_eq!(rate("2 g per L").said_as(Unit::GRAM, Per::Area(amount("1 ha"))), None);
    assert_eq!(rate("1:500").times(Exact::int(2)), Some(rate("0.4 % v/v")));
    assert_eq!(rate("2 lb per acre").times(number("1/2")), Some(rate("1 lb per acre")));
}

#[test]
fn finished_volume_is_more_than_the_water() {
    let finished = finished_from_water(amount("4 gal"), &[amount("4 fl oz"), amount("1 pt")]).unwrap();
    assert_eq!(finished, Amount::new(number("4.15625"), Unit::GALLON));
    assert_eq!(finished_from_water(amount("4 gal"), &[amount("4 oz")]), None, "plain ounces must be settled");
    assert_eq!(finished_from_water(amount("4 lb"), &[]), None);
}
