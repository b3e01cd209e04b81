//! Numbers as written, and as printed.

use foliary::quantity::{Exact, NumberTrouble};
use proptest::prelude::*;

use super::number;

#[test]
fn every_way_of_writing_a_number() {
    for (words, num, den) in [
        ("12", 12, 1),
        ("0.5", 1, 2),
        (".5", 1, 2),
        ("1/2", 1, 2),
        ("1 1/2", 3, 2),
        ("-3", -3, 1),
        ("-1 1/4", -5, 4),
        ("\u{2212}2", -2, 1),
        ("½", 1, 2),
        ("1½", 3, 2),
        ("2 ¾", 11, 4),
        ("0.40", 2, 5),
        ("007", 7, 1),
        ("3.125", 25, 8),
        ("0", 0, 1),
        ("0.000", 0, 1),
        ("-0", 0, 1),
        ("6/4", 3, 2),
        (" 8 ", 8, 1),
        ("999999999999999999", 999_999_999_999_999_999, 1),
        ("0.000000000000000001", 1, 1_000_000_000_000_000_000),
    ] {
        assert_eq!(Exact::parse(words), Ok(Exact::new(num, den).unwrap()), "{words}");
    }
}

#[test]
fn what_is_not_a_number_is_refused() {
    for words in [
        "", " ", "-", ".", "5.", "1.2.3", "1,000", "1,5", "1e3", "1/2/3", "1.5/2", "1/2.5", "/2", "1/", "1 1/", "one",
        "--1", "1-1/2", "1 -1/2", "12a", "½½", "0x1", "١", "1 2", "NaN", "inf", "+3",
    ] {
        assert_eq!(Exact::parse(words), Err(NumberTrouble::NotANumber), "{words}");
    }
    for words in ["1/0", "1 1/0", "0/0"] {
        assert_eq!(Exact::parse(words), Err(NumberTrouble::ZeroDenominator), "{words}");
    }
    for words in [
        "1000000000000000000",
        "0.0000000000000000001",
        "123456789.0123456789",
        "1/1000000000000000000",
        "999999999999999999 1/3",
        &"9".repeat(5000),
    ] {
        assert_eq!(Exact::parse(words), Err(NumberTrouble::TooLarge), "{words}");
    }
}

#[test]
fn decimals_round_half_away_from_zero() {
    for (words, places, printed) in [
        ("2.5", 0, "3"),
        ("-2.5", 0, "-3"),
        ("2.4999", 0, "2"),
        ("0.125", 2, "0.13"),
        ("-0.125", 2, "-0.13"),
        ("9.996", 2, "10"),
        ("1/3", 4, "0.3333"),
        ("2/3", 4, "0.6667"),
        ("1.50", 4, "1.5"),
        ("100", 3, "100"),
        ("-0.001", 2, "0"),
        ("0", 5, "0"),
    ] {
        assert_eq!(number(words).decimal(places), printed, "{words} to {places}");
    }
    let tiny = Exact::new(1, i128::MAX).unwrap();
    assert_eq!(tiny.decimal(40), "0.0000000000000000000000000000000000000059");
    assert_eq!(tiny.figures(2), "0.0000000000000000000000000000000000000059");
    assert_eq!(Exact::new(i128::MAX - 1, i128::MAX).unwrap().decimal(3), "1");
}

#[test]
fn figures_keep_whole_digits() {
    for (words, figures, printed) in [
        ("1234.5", 3, "1235"),
        ("0.012345", 3, "0.0123"),
        ("226.796", 3, "227"),
        ("0.48562", 3, "0.486"),
        ("11.1111", 3, "11.1"),
        ("99.96", 3, "100"),
        ("0", 3, "0"),
        ("-0.09999", 3, "-0.1"),
    ] {
        assert_eq!(number(words).figures(figures), printed, "{words} to {figures}");
    }
}

#[test]
fn nothing_wraps() {
    let large = Exact::new(i128::MAX, 1).unwrap();
    assert_eq!(large.add(Exact::ONE), None);
    assert_eq!(large.neg().sub(Exact::ONE), None, "the least number has no opposite");
    assert_eq!(large.mul(large), None);
    assert_eq!(Exact::ONE.div(Exact::ZERO), None);
    assert_eq!(Exact::ZERO.recip(), None);
    assert_eq!(Exact::new(1, 0), None);
    assert_eq!(Exact::new(i128::MIN, 1), None);
    assert_eq!(Exact::new(1, i128::MIN), None);
    assert_eq!(Exact::new(3, -6), Exact::new(-1, 2));
    assert!(large > large.sub(Exact::ONE).unwrap());
}

#[test]
fn whole_numbers_below_and_above() {
    for (words, floor, ceil) in [("2.5", 2, 3), ("-2.5", -3, -2), ("4", 4, 4), ("0", 0, 0), ("1/3", 0, 1)] {
        assert_eq!((number(words).floor(), number(words).ceil()), (floor, ceil), "{words}");
    }
    assert_eq!(number("-2.5").abs(), number("2.5"));
    assert_eq!(number("-0.25").recip(), Some(number("-4")));
    assert!((number("1/3").to_f64() - 1.0 / 3.0).abs() < 1e-15);
}

proptest! {
    #[test]
    fn no_words_are_a_panic(words in any::<String>()) {
        let _ = Exact::parse(&words);
    }

    #[test]
    fn decimals_are_read_digit_by_digit(whole in 0_u32..1_000_000, places in 1_usize..9, digits in 0_u64..100_000_000) {
        let digits = digits % 10_u64.pow(places as u32);
        let read = Exact::parse(&format!("{whole}.{digits:0places$}")).unwrap();
        let scale = 10_i128.pow(places as u32);
        prop_assert_eq!(Some(read), Exact::new(i128::from(whole) * scale + i128::from(digits), scale));
    }

    #[test]
    fn rounding_is_within_half_of_the_last_place(num in -1_000_000_000_i128..1_000_000_000, den in 1_i128..1_000_000, places in 0_u32..8) {
        let value = Exact::new(num, den).unwrap();
        let printed = number(&value.decimal(places));
        let off = printed.sub(value).unwrap().abs();
        prop_assert!(off.mul(Exact::new(2 * 10_i128.pow(places), 1).unwrap()).unwrap() <= Exact::ONE);
    }

    #[test]
    fn slow_digits_are_the_fast_ones(num in 1_i128..1_000_000, den in 1_i128..1_000_000) {
        // Ten times the rest does not fit here. Both are equal to some thirty digits.
        let (num, large) = (num % den, i128::MAX);
        let value = Exact::new(num * (large / den), large).unwrap();
        let near = Exact::new(num, den).unwrap();
        let off = number(&value.decimal(12)).sub(number(&near.decimal(12))).unwrap().abs();
        prop_assert!(off <= number("0.000000000001"));
    }

    #[test]
    fn sums_and_products_are_the_schoolbook_ones(a in -1_000_000_i128..1_000_000, b in 1_i128..10_000, c in -1_000_000_i128..1_000_000, d in 1_i128..10_000) {
        let (left, right) = (Exact::new(a, b).unwrap(), Exact::new(c, d).unwrap());
        prop_assert_eq!(left.add(right), Exact::new(a * d + c * b, b * d));
        prop_assert_eq!(left.sub(right), Exact::new(a * d - c * b, b * d));
        prop_assert_eq!(left.mul(right), Exact::new(a * c, b * d));
        prop_assert_eq!(left.div(right), Exact::new(a * d, b * c));
    }

    #[test]
    fn results_are_in_lowest_terms(a in any::<i64>(), b in 1..i64::MAX, c in any::<i64>(), d in 1..i64::MAX) {
        let exact = |num: i64, den: i64| Exact::new(i128::from(num), i128::from(den)).unwrap();
        let (left, right) = (exact(a, b), exact(c, d));
        for result in [left.add(right), left.sub(right), left.mul(right), left.div(right)].into_iter().flatten() {
            prop_assert_eq!(Some(result), Exact::new(result.numerator(), result.denominator()));
            prop_assert!(result.denominator() > 0);
        }
        prop_assert_eq!(left.mul(right).unwrap().div(right), (c != 0).then_some(left));
    }

    #[test]
    fn order_is_that_of_cross_products(a in -1000_i128..1000, b in 1_i128..1000, c in -1000_i128..1000, d in 1_i128..1000) {
        let (left, right) = (Exact::new(a, b).unwrap(), Exact::new(c, d).unwrap());
        prop_assert_eq!(left.cmp(&right), (a * d).cmp(&(c * b)));
        prop_assert_eq!(left == right, a * d == c * b);
    }
}
