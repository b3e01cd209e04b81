//! Amounts and rates from words.

use super::{Amount, Dimension, Exact, Per, QuantityTrouble, Rate, Unit};

impl Unit {
    /// The unit of that name, or what to say about it.
    ///
    /// # Errors
    /// [`QuantityTrouble::NoUnit`] and [`QuantityTrouble::UnknownUnit`].
    pub fn read(words: &str) -> Result<Unit, QuantityTrouble> {
        Unit::named(words).ok_or_else(|| {
            let written = words.trim();
            if written.is_empty() {
                return QuantityTrouble::NoUnit;
            }
            QuantityTrouble::UnknownUnit { written: written.to_owned(), nearest: Unit::nearest(written) }
        })
    }
}

impl Amount {
    /// Reads a number and a unit that stand apart: `1 1/2`, `gal`.
    ///
    /// # Errors
    /// [`QuantityTrouble`] for either part.
    pub fn read(number: &str, unit: &str) -> Result<Amount, QuantityTrouble> {
        Ok(Amount { value: Exact::parse(number)?, unit: Unit::read(unit)? })
    }

    /// Reads `1 1/2 gal`, `52F`, `74 %`.
    ///
    /// # Errors
    /// [`QuantityTrouble`] for either part.
    pub fn parse(words: &str) -> Result<Amount, QuantityTrouble> {
        let (number, unit) = split_number(words);
        Amount::read(number, unit)
    }
}

impl Rate {
    /// An amount per so many units; no count means one. `per_unit` may end in `row`: `0.4 oz wt`, `100`, `gal`.
    ///
    /// # Errors
    /// [`QuantityTrouble`] when the amount is no weight or volume, or nothing is counted by such a unit.
    pub fn read(amount: Amount, per_count: Option<&str>, per_unit: &str) -> Result<Rate, QuantityTrouble> {
        let count = per_count.map_or(Ok(Exact::ONE), Exact::parse)?;
        let amount = amount.expect(Dimension::Ounce)?;
        let unit = Unit::read(without_row(per_unit))?;
        if !count.is_positive() {
            return Err(QuantityTrouble::NotPositive);
        }
        Ok(Rate::Of { amount, per: Per::counted(Amount { value: count, unit })? })
    }

    /// Reads a rate: `0.4 oz wt per gal`, `2 lb/100 gal`, `3 qt per acre`, `1 oz per 100 ft row`, `2 oz per tree`,
    /// `0.5 % v/v`, `75 ppm`, `1:500`.
    ///
    /// # Errors
    /// [`QuantityTrouble`] for whichever part cannot be read.
    pub fn parse(words: &str) -> Result<Rate, QuantityTrouble> {
        if let Some((one, parts)) = words.split_once(':') {
            if Exact::parse(one)? != Exact::ONE {
                return Err(QuantityTrouble::NoBasis);
            }
            return Rate::one_in(Exact::parse(parts)?);
        }
        let (number, rest) = split_number(words);
        if let Some(unit) = Unit::named(rest) {
            return Rate::share(Amount { value: Exact::parse(number)?, unit });
        }
        let (unit, per) = split_per(rest).ok_or_else(|| match Unit::read(rest) {
            Err(trouble) => trouble,
            Ok(_) => QuantityTrouble::NoBasis,
        })?;
        let (count, per_unit) = split_number(per);
        Rate::read(Amount::read(number, unit)?, (!count.is_empty()).then_some(count), per_unit)
    }
}

/// `10.59 lb/gal` as `10.59 lb` and `1 gal`.
pub(super) fn amount_per(words: &str) -> Result<(Amount, Amount), QuantityTrouble> {
    let (number, rest) = split_number(words);
    let (unit, per) = split_per(rest).ok_or(QuantityTrouble::NoBasis)?;
    let (count, per_unit) = split_number(per);
    let count = if count.is_empty() { Exact::ONE } else { Exact::parse(count)? };
    Ok((Amount::read(number, unit)?, Amount { value: count, unit: Unit::read(per_unit)? }))
}

/// `oz wt per 100 gal` as `oz wt` and `100 gal`; so with `/`.
fn split_per(words: &str) -> Option<(&str, &str)> {
    // ASCII only: lower case moves no letter. Before `/`, which may stand in a fraction: `oz per 1/2 gal`.
    match words.to_ascii_lowercase().find(" per ") {
        Some(at) => Some((&words[..at], &words[at + " per ".len()..])),
        None => words.split_once('/'),
    }
}

/// `ft of row` and `ft row` as `ft`.
fn without_row(words: &str) -> &str {
    let mut words = words.trim();
    for ending in [" rows", " row", " of"] {
        let Some(at) = words.len().checked_sub(ending.len()) else { continue };
        if words.is_char_boundary(at) && words[at..].eq_ignore_ascii_case(ending) {
            words = words[..at].trim_end();
        }
    }
    words
}

/// The number at the start, and what follows it.
fn split_number(words: &str) -> (&str, &str) {
    let words = words.trim();
    let start = words.len() - words.trim_start_matches(['-', '\u{2212}']).len();
    let mut end = start + digits(&words[start..]);
    if let Some(bottom) = below_the_line(&words[end..]) {
        end += bottom;
    } else {
        // `1 1/2`: a second number belongs to the first only as a fraction.
        let space = words[end..].len() - words[end..].trim_start_matches(' ').len();
        let top = digits(&words[end + space..]);
        if top > 0
            && let Some(bottom) = below_the_line(&words[end + space + top..])
        {
            end += space + top + bottom;
        } else if let Some(sign) = words[end + space..].chars().next().filter(|sign| "½⅓⅔¼¾⅕⅛⅜⅝⅞".contains(*sign))
        {
            end += space + sign.len_utf8();
        }
    }
    (&words[..end], words[end..].trim_start())
}

fn digits(words: &str) -> usize {
    words.len() - words.trim_start_matches(|sign: char| sign.is_ascii_digit() || sign == '.').len()
}

/// The length of `/2` at the start.
fn below_the_line(words: &str) -> Option<usize> {
    let bottom = digits(words.strip_prefix('/')?);
    (bottom > 0).then_some(1 + bottom)
}
