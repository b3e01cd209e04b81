//! Laws that hold for every unit and every number.

use std::cmp::Ordering;

use foliary::quantity::{
    Amount, Dimension, Exact, Form, FormTrouble, Per, Rate, ShareOf, Unit, WrittenShare, show, show_apart, tidy,
};
use proptest::prelude::*;

fn any_unit() -> impl Strategy<Value = Unit> {
    unit_where(|_| true)
}

fn unit_where(fits: impl Fn(Unit) -> bool) -> impl Strategy<Value = Unit> {
    proptest::sample::select(Unit::all().filter(|unit| fits(*unit)).collect::<Vec<_>>())
}

/// Whole numbers, decimals and fractions, up to as many digits as can be read.
fn any_number() -> impl Strategy<Value = Exact> {
    let limit = 10_i128.pow(18);
    let parts = prop_oneof![
        (-1000_i128..1000, Just(1_i128)),
        (1 - limit..limit, Just(1_i128)),
        (-100_000_i128..100_000, (0_u32..6).prop_map(|places| 10_i128.pow(places))),
        (1 - limit..limit, (0_u32..18).prop_map(|places| 10_i128.pow(places))),
        (1 - limit..limit, (0_u32..59).prop_map(|twos| 1_i128 << twos)),
        (-1000_i128..1000, 1_i128..1000),
        (1 - limit..limit, 1..limit),
    ];
    parts.prop_map(|(num, den)| Exact::new(num, den).unwrap())
}

fn everyday_number() -> impl Strategy<Value = Exact> {
    (-1_000_000_i128..1_000_000, 1_i128..10_000).prop_map(|(num, den)| Exact::new(num, den).unwrap())
}

fn above_zero() -> impl Strategy<Value = Exact> {
    any_number().prop_map(|number| if number.is_zero() { Exact::ONE } else { number.abs() })
}

fn two_units(fit: impl Fn(Unit, Unit) -> bool) -> impl Strategy<Value = (Unit, Unit)> {
    let pairs = Unit::all().flat_map(|from| Unit::all().map(move |to| (from, to)));
    proptest::sample::select(pairs.filter(|(from, to)| fit(*from, *to)).collect::<Vec<_>>())
}

fn two_that_convert() -> impl Strategy<Value = (Unit, Unit)> {
    two_units(Unit::converts_to)
}

fn any_per() -> impl Strategy<Value = Per> {
    let unit = unit_where(|unit| {
        matches!(unit.dimension(), Dimension::Volume | Dimension::Area | Dimension::Length) || unit == Unit::TREE
    });
    (above_zero(), unit).prop_map(|(number, unit)| Per::counted(Amount::new(number, unit)).unwrap())
}

fn any_rate() -> impl Strategy<Value = Rate> {
    let amount_unit =
        unit_where(|unit| matches!(unit.dimension(), Dimension::Volume | Dimension::Mass | Dimension::Ounce));
    let share_unit = unit_where(|unit| matches!(unit.share_of(), Some(ShareOf::Volume | ShareOf::WeightInVolume)));
    prop_oneof![
        (any_number(), amount_unit, any_per())
            .prop_map(|(number, unit, per)| Rate::Of { amount: Amount::new(number, unit), per }),
        (everyday_number(), share_unit).prop_map(|(number, unit)| Rate::share(Amount::new(number, unit)).unwrap()),
        above_zero().prop_map(|number| Rate::one_in(number).unwrap()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn an_amount_reads_back_as_printed(number in any_number(), unit in any_unit()) {
        let amount = Amount::new(number, unit);
        prop_assert_eq!(Amount::parse(&amount.to_string()), Ok(amount), "{}", amount);
    }

    #[test]
    fn an_amount_as_shown_can_be_typed(number in everyday_number(), unit in any_unit()) {
        let amount = Amount::new(number, unit);
        let read = Amount::parse(&show(amount)).unwrap();
        prop_assert_eq!(read.unit, unit);
        // Four figures: off by at most half of the fourth.
        let off = read.value.sub(number).unwrap().abs();
        prop_assert!(off.mul(Exact::int(2000)).unwrap() <= number.abs(), "{} for {}", read, amount);
    }

    #[test]
    fn a_rate_reads_back_as_printed(rate in any_rate()) {
        prop_assert_eq!(Rate::parse(&rate.to_string()), Ok(rate), "{}", rate);
    }

    #[test]
    fn there_and_back_is_exact(number in everyday_number(), (from, to) in two_that_convert()) {
        let amount = Amount::new(number, from);
        let there = amount.in_unit(to).unwrap();
        prop_assert_eq!(there.unit, to);
        prop_assert_eq!(there.in_unit(from), Some(amount));
        prop_assert_eq!(amount.compare(there), Some(Ordering::Equal));
        prop_assert_eq!(amount.base(), there.base());
    }

    #[test]
    fn addition_commutes_across_units(a in everyday_number(), b in everyday_number(), (from, to) in two_that_convert()) {
        let (a, b) = (Amount::new(a, from), Amount::new(b, to));
        match (a.plus(b), b.plus(a)) {
            (Some(one), Some(other)) => {
                prop_assert_eq!(one.unit, from);
                prop_assert_eq!(one.compare(other), Some(Ordering::Equal));
                prop_assert_eq!(one.minus(b), Some(a));
            }
            (None, None) => prop_assert!(matches!(from.dimension(), Dimension::Temperature | Dimension::Acidity)),
            (one, other) => prop_assert!(false, "{:?} and {:?}", one, other),
        }
    }

    #[test]
    fn what_does_not_convert_is_never_added_or_compared((a, b) in two_units(|a, b| !a.converts_to(b))) {
        let (a, b) = (Amount::of(1, a), Amount::of(1, b));
        prop_assert_eq!(a.plus(b), None);
        prop_assert_eq!(a.compare(b), None);
        prop_assert_eq!(a.in_unit(b.unit), None);
        prop_assert_eq!(a.ratio(b), None);
    }

    #[test]
    fn settling_refuses_only_plain_ounces_of_unknown_form(number in any_number(), unit in any_unit()) {
        let amount = Amount::new(number, unit);
        let (dry, liquid) = (amount.settle(Some(Form::Dry)).unwrap(), amount.settle(Some(Form::Liquid)).unwrap());
        if unit == Unit::OZ {
            prop_assert_eq!(amount.settle(None), Err(FormTrouble));
            prop_assert_eq!(dry, Amount::new(number, Unit::OZ_WT));
            prop_assert_eq!(liquid, Amount::new(number, Unit::FL_OZ));
            prop_assert_eq!(amount.base(), None);
        } else {
            prop_assert_eq!(amount.settle(None), Ok(amount));
            prop_assert_eq!((dry, liquid), (amount, amount));
        }
    }

    #[test]
    fn two_that_differ_never_print_equal(a in any_number(), nudge in 1_i128..1_000_000_000_000_000_000, unit in any_unit()) {
        let (a, b) = (Amount::new(a, unit), Amount::new(a.add(Exact::new(1, nudge).unwrap()).unwrap(), unit));
        let (one, other) = show_apart(a, b);
        prop_assert_ne!(one, other);
    }

    #[test]
    fn tidying_changes_no_amount(number in everyday_number(), unit in any_unit(), system in 0_usize..3) {
        use foliary::quantity::System::{Imperial, Metric, Us};
        let amount = Amount::new(number, unit);
        let tidied = tidy(amount, [Us, Imperial, Metric][system], None);
        prop_assert_eq!(tidied.compare(amount), Some(Ordering::Equal));
        prop_assert_eq!(tidy(tidied, [Us, Imperial, Metric][system], None), tidied, "tidy is tidy");
    }

    #[test]
    fn what_a_volume_takes_is_the_rate_again(rate in any_rate(), volume in 1_i64..1000) {
        let volume = Amount::of(volume, Unit::GALLON);
        if let (Some(amount), false) = (rate.for_volume(volume), rate.is_plain_ounce()) {
            let per = Rate::Of { amount, per: Per::Volume(volume) };
            // Very long numbers may not fit on the way; never a wrong answer.
            if let Some(order) = per.compare(rate, None, None) {
                prop_assert_eq!(order, Ordering::Equal);
            }
        }
    }
}

#[test]
fn the_share_of_a_rate_is_kept_as_written() {
    let rate = Rate::ByVolume(Exact::new(1, 500).unwrap(), WrittenShare::OneIn);
    assert_eq!(rate.to_string(), "1:500");
    let rate = Rate::ByVolume(Exact::new(1, 500).unwrap(), WrittenShare::In(Unit::PERCENT_BY_VOLUME));
    assert_eq!(rate.to_string(), "0.2 % v/v");
}
