//! What people see.

use foliary::quantity::{Amount, Exact, Form, System, largest_units, show, show_apart, show_both, tidy};

use super::amount;

#[test]
fn exact_print() {
    for (words, printed) in [
        ("60 gallons", "60 gal"),
        ("1/3 cup", "1/3 cup"),
        ("1 1/3 gal", "1 1/3 gal"),
        ("0.40 oz wt", "0.4 oz wt"),
        ("1 days", "1 day"),
        ("0 day", "0 days"),
        ("3 day", "3 days"),
        ("-2 1/3 C", "-2 1/3 C"),
        ("52F", "52 F"),
        ("1/8 tsp", "0.125 tsp"),
    ] {
        assert_eq!(amount(words).to_string(), printed, "{words}");
    }
}

#[test]
fn rounded_print() {
    for (words, printed) in [
        ("1/3 gal", "0.3333 gal"),
        ("1234567 gal", "1234567 gal"),
        ("1234.567 lb", "1235 lb"),
        ("0.99999 day", "1 day"),
        ("1.00001 day", "1 day"),
        ("2/7 trees", "0.2857 tree"),
    ] {
        assert_eq!(show(amount(words)), printed, "{words}");
    }
}

#[test]
fn both_systems() {
    for (words, home, printed) in [
        ("60 gal", System::Us, "60 gal (227 L)"),
        ("24 oz wt", System::Us, "24 oz wt (680 g)"),
        ("1.2 acre", System::Us, "1.2 acre (0.486 ha)"),
        ("52 F", System::Us, "52 F (11.1 C)"),
        ("227 L", System::Us, "227 L (60 gal)"),
        ("227 L", System::Metric, "227 L (60 gal)"),
        ("60 gal", System::Metric, "60 gal (227 L)"),
        ("10 imp gal", System::Imperial, "10 imp gal (45.5 L)"),
        ("10 imp gal", System::Us, "10 imp gal (12 gal)"),
        ("1 fl oz", System::Us, "1 fl oz (29.6 mL)"),
        ("0.4 oz wt", System::Us, "0.4 oz wt (11.3 g)"),
        ("1000 sq ft", System::Us, "1000 sq ft (92.9 m2)"),
        ("3 mph", System::Us, "3 mph (4.83 km/h)"),
        ("40 psi", System::Us, "40 psi (2.76 bar)"),
        ("16 ft", System::Us, "16 ft (4.88 m)"),
        ("4 h", System::Us, "4 h"),
        ("74 %", System::Us, "74 %"),
        ("6 oz", System::Us, "6 oz"),
        ("3 trees", System::Metric, "3 trees"),
        ("0 gal", System::Us, "0 gal (0 mL)"),
    ] {
        assert_eq!(show_both(amount(words), home), printed, "{words}");
    }
}

#[test]
fn sensible_units() {
    for (words, system, form, printed) in [
        ("384 fl oz", System::Us, None, "3 gal"),
        ("2000 g", System::Metric, None, "2 kg"),
        ("3 qt", System::Us, None, "3 qt"),
        ("6 qt", System::Us, None, "1.5 gal"),
        ("24 oz", System::Us, Some(Form::Dry), "1.5 lb"),
        ("24 oz", System::Us, Some(Form::Liquid), "24 fl oz"),
        ("24 oz", System::Us, None, "24 oz"),
        ("0.125 fl oz", System::Us, None, "0.75 tsp"),
        ("0.4 oz wt", System::Us, None, "0.4 oz wt"),
        ("0.0005 kg", System::Metric, None, "500 mg"),
        ("4356 sq ft", System::Us, None, "0.1 acre"),
        ("90 min", System::Us, None, "90 min"),
        ("86 F", System::Metric, None, "30 C"),
    ] {
        assert_eq!(tidy(amount(words), system, form).to_string(), printed, "{words}");
    }
}

#[test]
fn largest_units_first() {
    // 40 CFR 156.10(d), as in Georgia rule 40-11-6: 1 pound 3 ounces, not 19 ounces.
    for (words, printed) in [
        ("19 oz wt", "1 lb 3 oz wt"),
        ("16 oz wt", "1 lb"),
        ("15.999 oz wt", "1 lb"),
        ("0.5 oz wt", "0.5 oz wt"),
        ("1 kg", "2 lb 3.27 oz wt"),
        ("40 fl oz", "1 qt 8 fl oz"),
        ("2.5 gal", "2 gal 2 qt"),
        ("0 lb", "0 oz wt"),
    ] {
        assert_eq!(largest_units(amount(words)).as_deref(), Some(printed), "{words}");
    }
    for words in ["19 oz", "1 acre", "-1 lb"] {
        assert_eq!(largest_units(amount(words)), None, "{words}");
    }
}

#[test]
fn two_that_differ_never_print_equal() {
    let shown = |a, b| show_apart(amount(a), amount(b));
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(shown("6 oz wt", "7 oz wt"), pair("6 oz wt", "7 oz wt"));
    assert_eq!(shown("1.00001 gal", "1.00002 gal"), pair("1.00001 gal", "1.00002 gal"));
    assert_eq!(shown("1/3 gal", "0.3333 gal"), pair("0.33333 gal", "0.3333 gal"));
    assert_eq!(shown("2 gal", "2 gal"), pair("2 gal", "2 gal"));
    assert_eq!(shown("10000.1 L", "10000.2 L"), pair("10000.1 L", "10000.2 L"));
    let (one, next) = (Exact::new(1, i128::MAX).unwrap(), Exact::new(1, i128::MAX - 1).unwrap());
    let litre = foliary::quantity::Unit::LITRE;
    let (one, next) = show_apart(Amount::new(one, litre), Amount::new(next, litre));
    assert_ne!(one, next);
}
