//! Exact numbers as digits: in full, or rounded for people.

use std::fmt;

use super::Exact;

/// As many decimals as reading takes; longer ones are printed as a fraction.
const MOST_PLACES: u32 = 18;
const READABLE: i128 = 10_i128.pow(18);

impl Exact {
    /// Rounded half away from zero to that many decimals; trailing zeros are trimmed.
    pub fn decimal(self, places: u32) -> String {
        let (whole, mut rest, bottom) = self.parts();
        let mut digits = Vec::with_capacity(places as usize);
        for _ in 0..places {
            if rest == 0 {
                break;
            }
            let digit;
            (digit, rest) = next_digit(rest, bottom);
            digits.push(b'0' + digit);
        }
        let mut whole = whole;
        // `rest` is below `bottom`, so the difference cannot go below zero.
        if rest != 0 && rest >= bottom - rest {
            let mut carry = true;
            for digit in digits.iter_mut().rev() {
                if *digit == b'9' {
                    *digit = b'0';
                } else {
                    *digit += 1;
                    carry = false;
                    break;
                }
            }
            whole += u128::from(carry);
        }
        while digits.last() == Some(&b'0') {
            digits.pop();
        }
        let mut text = String::new();
        if self.is_negative() && (whole != 0 || !digits.is_empty()) {
            text.push('-');
        }
        text.push_str(&whole.to_string());
        if !digits.is_empty() {
            text.push('.');
            text.extend(digits.into_iter().map(char::from));
        }
        text
    }

    /// Rounded to that many figures that count, but never in the digits before the decimal point: 1234.5 to three
    /// figures is `1235`, 0.012345 is `0.0123`.
    pub fn figures(self, figures: u32) -> String {
        let (whole, mut rest, bottom) = self.parts();
        if whole != 0 {
            let before = whole.ilog10() + 1;
            return self.decimal(figures.saturating_sub(before));
        }
        let mut zeros = 0;
        while rest != 0 {
            let digit;
            (digit, rest) = next_digit(rest, bottom);
            if digit != 0 {
                break;
            }
            zeros += 1;
        }
        self.decimal(zeros + figures)
    }

    /// Whole part, rest and denominator, without the sign.
    fn parts(self) -> (u128, u128, u128) {
        let bottom = self.denominator().unsigned_abs();
        let top = self.numerator().unsigned_abs();
        (top / bottom, top % bottom, bottom)
    }

    /// How many decimals write it in full, when it ends.
    fn places_in_full(self) -> Option<u32> {
        let mut bottom = self.denominator();
        let twos = bottom.trailing_zeros();
        bottom >>= twos;
        let mut fives = 0;
        while bottom % 5 == 0 {
            bottom /= 5;
            fives += 1;
        }
        (bottom == 1).then_some(twos.max(fives))
    }
}

/// The next decimal digit of `rest / bottom`, and what is left. `rest` is below `bottom`, which is below 2^127.
fn next_digit(rest: u128, bottom: u128) -> (u8, u128) {
    if let Some(ten) = rest.checked_mul(10) {
        // Below ten, since `rest` is below `bottom`.
        return ((ten / bottom) as u8, ten % bottom);
    }
    let (mut digit, mut left) = (0, 0);
    for _ in 0..10 {
        left += rest;
        if left >= bottom {
            left -= bottom;
            digit += 1;
        }
    }
    (digit, left)
}

/// In full, so that it reads back as the same number: a decimal when it ends soon enough, otherwise `1 1/3`.
impl fmt::Display for Exact {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_integer() {
            return write!(out, "{}", self.numerator());
        }
        if let Some(places) = self.places_in_full().filter(|places| *places <= MOST_PLACES) {
            let scale = 10_i128.pow(places) / self.denominator();
            // A longer decimal could not be read back; the fraction below can.
            if self.numerator().checked_mul(scale).is_some_and(|digits| digits.abs() < READABLE) {
                return out.write_str(&self.decimal(places));
            }
        }
        let (whole, rest, bottom) = self.parts();
        let sign = if self.is_negative() { "-" } else { "" };
        match whole {
            0 => write!(out, "{sign}{rest}/{bottom}"),
            _ => write!(out, "{sign}{whole} {rest}/{bottom}"),
        }
    }
}
