//! Numbers as growers write them: `12`, `0.5`, `.5`, `1/2`, `1 1/2`, `½`, `-3`.

use super::{Exact, NumberTrouble};

/// The most digits a written number may have. It leaves room for several exact conversions in 128-bit parts.
const MOST_DIGITS: usize = 18;
const LIMIT: i128 = 10_i128.pow(MOST_DIGITS as u32);

impl Exact {
    /// Reads a number: `12`, `0.5`, `.5`, `1/2`, `1 1/2`, `½`, `-3`.
    ///
    /// # Errors
    /// [`NumberTrouble`]: other words, more than eighteen digits, or a zero below the line.
    pub fn parse(words: &str) -> Result<Exact, NumberTrouble> {
        let words = words.trim();
        let (negative, unsigned) = match words.strip_prefix('-').or_else(|| words.strip_prefix('\u{2212}')) {
            Some(rest) => (true, rest),
            None => (false, words),
        };
        let number = match decimal(unsigned.as_bytes()) {
            Ok(number) => number,
            Err(NumberTrouble::NotANumber) => fraction(unsigned)?,
            Err(trouble) => return Err(trouble),
        };
        Ok(if negative { number.neg() } else { number })
    }
}

/// `12`, `0.5`, `.5`. The common case: one pass, no division but by powers of ten.
fn decimal(bytes: &[u8]) -> Result<Exact, NumberTrouble> {
    let mut value: u64 = 0;
    let mut digits = 0;
    let mut places: Option<u32> = None;
    for &byte in bytes {
        match byte {
            b'0'..=b'9' => {
                // Leading zeros are free.
                if value != 0 || byte != b'0' {
                    digits += 1;
                }
                if digits > MOST_DIGITS || places.is_some_and(|places| places as usize >= MOST_DIGITS) {
                    return if bytes.iter().all(|byte| byte.is_ascii_digit() || *byte == b'.') {
                        Err(NumberTrouble::TooLarge)
                    } else {
                        Err(NumberTrouble::NotANumber)
                    };
                }
                value = value * 10 + u64::from(byte - b'0');
                places = places.map(|places| places + 1);
            }
            b'.' if places.is_none() => places = Some(0),
            _ => return Err(NumberTrouble::NotANumber),
        }
    }
    match places {
        // `5.` and `.` are cut short; a full stop is not a decimal point.
        Some(0) => Err(NumberTrouble::NotANumber),
        None if bytes.is_empty() => Err(NumberTrouble::NotANumber),
        None => Ok(Exact::lowest_terms(i128::from(value), 1)),
        Some(places) => Ok(over_power_of_ten(value, places)),
    }
}

/// `value / 10^places`: only twos and fives can cancel.
fn over_power_of_ten(mut value: u64, places: u32) -> Exact {
    if value == 0 {
        return Exact::ZERO;
    }
    let mut fives = places;
    while fives > 0 && value % 5 == 0 {
        value /= 5;
        fives -= 1;
    }
    let twos = places - value.trailing_zeros().min(places);
    value >>= places - twos;
    // At most eighteen places, so both powers and their product fit in 64 bits.
    Exact::lowest_terms(i128::from(value), i128::from(5_u64.pow(fives) << twos))
}

/// `1/2`, `1 1/2`, `½`, `1½`.
fn fraction(words: &str) -> Result<Exact, NumberTrouble> {
    let (whole, top, bottom) = match words.split_once('/') {
        Some((before, bottom)) => match before.rsplit_once([' ', '\t']) {
            Some((whole, top)) => (Some(whole.trim_end()), count(top)?, count(bottom)?),
            None => (None, count(before)?, count(bottom)?),
        },
        None => {
            let sign = words.chars().next_back().ok_or(NumberTrouble::NotANumber)?;
            let (top, bottom) = printed_fraction(sign).ok_or(NumberTrouble::NotANumber)?;
            let whole = words[..words.len() - sign.len_utf8()].trim_end();
            ((!whole.is_empty()).then_some(whole), top, bottom)
        }
    };
    let whole = whole.map_or(Ok(0), count)?;
    if bottom == 0 {
        return Err(NumberTrouble::ZeroDenominator);
    }
    // Each part is below 10^18, so the sum is below 10^37 and fits.
    let top = whole * bottom + top;
    let number = Exact::new(top, bottom).ok_or(NumberTrouble::TooLarge)?;
    if number.numerator() < LIMIT { Ok(number) } else { Err(NumberTrouble::TooLarge) }
}

fn count(words: &str) -> Result<i128, NumberTrouble> {
    match decimal(words.as_bytes())? {
        number if number.is_integer() && !words.contains('.') => Ok(number.numerator()),
        _ => Err(NumberTrouble::NotANumber),
    }
}

/// The fraction signs that telephones put in place of `1/2`.
fn printed_fraction(sign: char) -> Option<(i128, i128)> {
    Some(match sign {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}
