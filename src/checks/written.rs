//! What a written number stands for: everything that rounds to it. And where in a spray its words stand.

use crate::journal::{MaterialId, Spray, Written};
use crate::quantity::{Amount, Exact};
use crate::season::{Dose, Season, like};
use crate::text::Span;

/// Half of the last written digit of the first number in some words: 0.5 for `24 oz wt`, 0.05 for `0.8 acre`. Zero for a
/// fraction, which nobody rounds to, and where no number stands.
pub(super) fn half_digit(words: &str) -> Exact {
    let Some(start) = words.find(|sign: char| sign.is_ascii_digit() || sign == '.') else { return Exact::ZERO };
    let number = &words[start..];
    let end = number.find(|sign: char| !sign.is_ascii_digit() && sign != '.').unwrap_or(number.len());
    let (number, rest) = number.split_at(end);
    let rest = rest.trim_start();
    let fraction = rest.starts_with('/')
        || rest.starts_with(|sign: char| "½⅓⅔¼¾⅕⅛⅜⅝⅞".contains(sign))
        || rest
            .split_whitespace()
            .next()
            .is_some_and(|next| next.contains('/') && next.bytes().all(|byte| byte.is_ascii_digit() || byte == b'/'));
    if fraction {
        return Exact::ZERO;
    }
    let places = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let scale = u32::try_from(places).ok().and_then(|places| 10_i128.checked_pow(places));
    scale.and_then(|scale| Exact::new(1, scale.checked_mul(2)?)).unwrap_or(Exact::ZERO)
}

/// The least [`half_digit`] of several numbers with commas between them: `22 fl oz, 21.5 fl oz` were read to half an
/// ounce or finer.
pub(super) fn least_half_digit(words: &str) -> Exact {
    let numbers = words.split_once(" in ").map_or(words, |(numbers, _)| numbers);
    numbers.split(',').map(half_digit).min().unwrap_or(Exact::ZERO)
}

/// Half of the last written digit of an amount, in its own unit.
pub(super) fn rounding(season: &Season<'_>, written: Written<Amount>) -> Amount {
    Amount::new(half_digit(season.words(written.span)), written.value.unit)
}

/// By how much an amount measured out for a whole job may be off because its numbers were rounded: half of the last
/// digit, added up over the lines or the loads that it was measured in.
pub(super) fn measured_rounding(
    season: &Season<'_>,
    spray: &Spray,
    material: MaterialId,
    measured: Written<Amount>,
) -> Option<Amount> {
    let mut sum = Amount::new(Exact::ZERO, measured.value.unit);
    if spray.measured.iter().any(|one| one.span == measured.span) {
        for line in spray.measured.iter().filter(|line| line.material.id == Some(material)) {
            let off = rounding(season, Written::new(line.amount?, line.span));
            sum = sum.plus(like(season.journal, material, off, sum.unit)?)?;
        }
        return Some(sum);
    }
    for load in &spray.loads {
        for portion in load.portions.iter().filter(|portion| portion.material.id == Some(material)) {
            let off = rounding(season, Written::new(portion.amount?, portion.span));
            let off = off.times(Exact::int(i64::from(load.count)))?;
            sum = sum.plus(like(season.journal, material, off, sum.unit)?)?;
        }
    }
    Some(sum)
}

/// What went in, as exactly as it is known: what the recipe asks for where the measured amount rounds to it, or else the
/// measured amount.
pub fn went_in(season: &Season<'_>, spray: &Spray, dose: &Dose) -> Option<Amount> {
    match (dose.measured, dose.expected) {
        (Some(measured), Some(expected)) if rounds_to(season, spray, dose, measured, expected) => Some(expected),
        _ => dose.amount(),
    }
}

fn rounds_to(season: &Season<'_>, spray: &Spray, dose: &Dose, measured: Written<Amount>, expected: Amount) -> bool {
    let fits = || {
        let expected = like(season.journal, dose.material, expected, measured.value.unit)?;
        let off = measured.value.value.sub(expected.value)?.abs();
        Some(off <= measured_rounding(season, spray, dose.material, measured)?.value)
    };
    fits().unwrap_or(false)
}

/// Whether a dose is the spray's own: put in besides the mix, or measured otherwise than the recipe asks for.
pub(super) fn is_own(season: &Season<'_>, spray: &Spray, dose: &Dose) -> bool {
    spray.at.entry.covers(dose.span) || dose.measured.is_some() && went_in(season, spray, dose) != dose.expected
}

/// Where in the spray's entry the amount of an ingredient stands: as measured, put in, or made of the mix.
pub(super) fn place(spray: &Spray, dose: &Dose) -> Span {
    let measured = dose.measured.map(|measured| measured.span);
    let put = Some(dose.span).filter(|span| spray.at.entry.covers(*span));
    measured.or(put).unwrap_or_else(|| volume_place(spray))
}

/// Where the spray's volume stands, or its first line.
pub(super) fn volume_place(spray: &Spray) -> Span {
    let made = spray.mix.and_then(|used| Some(used.volume?.span));
    made.or(spray.volume.map(|volume| volume.span)).unwrap_or(spray.at.line)
}
