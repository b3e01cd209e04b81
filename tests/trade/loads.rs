//! Loads of the tank, and amounts in the tools at hand.

use foliary::quantity::{Amount, Density, Exact, Unit};
use foliary::trade::{Loads, measure};
use proptest::prelude::*;

fn amount(words: &str) -> Amount {
    Amount::parse(words).unwrap()
}

fn tools(words: &[&str]) -> Vec<Amount> {
    words.iter().map(|words| amount(words)).collect()
}

/// `2 x 1 cup + 1 x 1 tbsp`.
fn said(of: &str, with: &[&str], bridge: Option<&str>) -> String {
    let bridge = bridge.map(|words| Density::parse(words).unwrap());
    let measured = measure(amount(of), &tools(with), bridge).unwrap();
    let scoops: Vec<String> = measured.scoops.iter().map(|scoop| format!("{} x {}", scoop.count, scoop.tool)).collect();
    scoops.join(" + ")
}

/// Computed from a worked example of job size (3.5 acres at 15 gal an acre and 3 lb an acre: 52.5 gal and 10.5 lb),
/// "Agrochemical and Pesticide Safety Handbook", with a tank of 25 gal.
#[test]
fn the_last_load_is_dosed_by_its_own_volume() {
    let total = amount("15 gal").times(amount("3.5 acre").value).unwrap();
    let product = amount("3 lb").times(amount("3.5 acre").value).unwrap();
    assert_eq!((total, product), (amount("52.5 gal"), amount("10.5 lb")));
    let loads = Loads::new(total, amount("25 gal")).unwrap();
    assert_eq!((loads.full, loads.last, loads.count()), (2, Some(amount("2.5 gal")), 3));
    assert_eq!(loads.in_full(product), Some(amount("5 lb")));
    assert_eq!(loads.in_last(product), Some(amount("0.5 lb")));
}

#[test]
fn a_job_can_fill_the_tank_to_the_brim_or_less() {
    let exact = Loads::new(amount("50 gal"), amount("25 gal")).unwrap();
    assert_eq!((exact.full, exact.last, exact.in_last(amount("1 lb"))), (2, None, None));
    let small = Loads::new(amount("3 gal"), amount("25 gal")).unwrap();
    assert_eq!((small.full, small.last), (0, Some(amount("3 gal"))));
    assert_eq!(small.in_last(amount("1 lb")), Some(amount("1 lb")));
    assert_eq!(Loads::one(amount("30 gal")).unwrap().count(), 1);
    for (total, tank) in [("0 gal", "25 gal"), ("50 gal", "0 gal"), ("50 lb", "25 gal"), ("50 gal", "25 lb")] {
        assert_eq!(Loads::new(amount(total), amount(tank)), None, "{total} {tank}");
    }
    // More loads than anybody can count are no job.
    assert_eq!(Loads::new(amount("900000000000 gal"), amount("1 tsp")), None);
}

#[test]
fn tools_are_used_from_the_largest() {
    assert_eq!(said("10 tbsp", &["1 cup", "1 tbsp", "1/4 tsp"], None), "10 x 1 tbsp");
    assert_eq!(said("20.3 fl oz", &["1 cup", "1 tbsp", "1/4 tsp"], None), "2 x 1 cup + 8 x 1 tbsp + 7 x 0.25 tsp");
    // What rounds up to a full cup is a cup.
    assert_eq!(said("7.99 fl oz", &["1 cup", "1 tbsp"], None), "1 x 1 cup");
    assert_eq!(said("145 g", &["5 g"], None), "29 x 5 g");
    // One scale, not two.
    assert_eq!(said("145 g", &["1 g", "50 g", "0.1 g"], None), "145 x 1 g");
    assert_eq!(said("3 g", &["1 g", "50 g", "0.1 g"], None), "30 x 0.1 g");
}

/// 12 teaspoons are 4 tablespoons are a quarter of a cup: NIST Handbook 44, Appendix C.
#[test]
fn a_dry_material_needs_a_weighed_spoon_and_a_liquid_its_density() {
    assert_eq!(said("84 g", &["1 cup", "1 tbsp"], Some("14 g per tbsp")), "6 x 1 tbsp");
    assert_eq!(measure(amount("84 g"), &tools(&["1 cup", "1 tbsp"]), None), None);
    assert_eq!(said("1 gal", &["1 oz wt"], Some("8 lb/gal")), "128 x 1 oz wt");
    assert_eq!(measure(amount("1 gal"), &tools(&["1 oz wt"]), None), None);
    // A scale is used for a weight even where spoons would do, unless it is too coarse for it.
    assert_eq!(said("84 g", &["1 tbsp", "1 g"], Some("14 g per tbsp")), "84 x 1 g");
    assert_eq!(said("14 g", &["1 tbsp", "20 g"], Some("14 g per tbsp")), "1 x 1 tbsp");
    assert_eq!(measure(amount("1 gal"), &[], Density::parse("8 lb/gal").ok()), None);
}

#[test]
fn a_tool_that_is_too_coarse_is_said_with_one_that_is_fine_enough() {
    let measured = measure(amount("1.4 tsp"), &tools(&["1 tsp"]), None).unwrap();
    assert_eq!(measured.amount, amount("1 tsp"));
    assert_eq!(measured.off(), Exact::new(-4, 14));
    assert!(measured.is_coarse());
    assert_eq!(measured.finer(), Some(amount("0.1 mL")));
    let lost = measure(amount("0.4 g"), &tools(&["1 g"]), None).unwrap();
    assert!(lost.scoops.is_empty() && lost.amount.value.is_zero() && lost.is_coarse());
    assert_eq!(lost.finer(), Some(amount("0.01 g")));
    let fine = measure(amount("20.2 tsp"), &tools(&["1/2 tsp"]), None).unwrap();
    assert!(!fine.is_coarse());
}

/// An amount may be the most that a label allows: 10.51 is not 11.
#[test]
fn an_amount_is_rounded_down_unless_hardly_anything_is_added() {
    assert_eq!(said("10.51 oz wt", &["1 oz wt"], None), "10 x 1 oz wt");
    assert_eq!(said("10.9 oz wt", &["1 oz wt"], None), "11 x 1 oz wt");
    assert_eq!(said("10.89 oz wt", &["1 oz wt"], None), "10 x 1 oz wt");
    assert_eq!(said("0.99 tsp", &["1 tsp"], None), "", "1.01 % more is too much");
}

fn number() -> impl Strategy<Value = Exact> {
    (1i128..100_000, 1i128..1_000).prop_map(|(top, bottom)| Exact::new(top, bottom).unwrap())
}

proptest! {
    #[test]
    fn loads_add_up_to_the_job(total in number(), tank in number(), product in number()) {
        let (total, tank) = (Amount::new(total, Unit::GALLON), Amount::new(tank, Unit::LITRE));
        let product = Amount::new(product, Unit::POUND);
        let loads = Loads::new(total, tank).unwrap();
        let full = Exact::int(i64::from(loads.full));
        let mut volume = tank.times(full).unwrap();
        let mut amount = loads.in_full(product).unwrap().times(full).unwrap();
        if let Some(last) = loads.last {
            prop_assert!(last.compare(tank).unwrap().is_lt());
            volume = volume.plus(last).unwrap();
            amount = amount.plus(loads.in_last(product).unwrap()).unwrap();
        }
        prop_assert_eq!(volume.in_unit(Unit::GALLON), Some(total));
        prop_assert_eq!(amount, product);
    }

    #[test]
    fn less_than_a_step_is_lost_and_hardly_anything_added(
        wanted in number(),
        sizes in proptest::collection::vec((1i128..40, 1i128..9), 1..5),
        weight in any::<bool>(),
    ) {
        let unit = if weight { Unit::GRAM } else { Unit::TSP };
        let tools: Vec<Amount> =
            sizes.iter().map(|&(top, bottom)| Amount::new(Exact::new(top, bottom).unwrap(), unit)).collect();
        let wanted = Amount::new(wanted, unit);
        let measured = measure(wanted, &tools, None).unwrap();
        let off = measured.amount.minus(wanted).unwrap().value;
        let step = measured.step.in_unit(unit).unwrap().value;
        prop_assert!(off.abs() < step);
        prop_assert!(off <= wanted.value.div(Exact::int(100)).unwrap());
        let mut sum = Amount::new(Exact::ZERO, unit);
        for scoop in &measured.scoops {
            sum = sum.plus(scoop.tool.times(Exact::int(scoop.count as i64)).unwrap()).unwrap();
        }
        prop_assert_eq!(sum.in_unit(measured.amount.unit), Some(measured.amount));
        prop_assert!(measured.scoops.windows(2).all(|pair| pair[0].tool.compare(pair[1].tool).unwrap().is_gt()));
        if let Some(finer) = measured.finer() {
            let again = measure(wanted, &[finer], None).unwrap();
            prop_assert!(!again.is_coarse());
        }
    }
}
