//! The unit table: every unit, its exact size and its names. The order is the order of the printed unit list.
//!
//! Sizes come from definitions that are exact: the gallon of 231 cubic inches, the dry pint of 33.600 312 5 cubic inches,
//! the avoirdupois pound of 453.592 37 g and the foot of 0.3048 m (NIST Handbook 44, Appendix C; the foot of every year
//! since the survey foot was given up: 85 FR 62698), the imperial gallon of 4.546 09 L, standard gravity of
//! 9.806 65 m/s² for the psi, the nautical mile of 1852 m.

use super::{Dimension, Exact, ShareOf, System};

/// One unit.
pub(super) struct Row {
    /// The canonical word; reads back as this unit.
    pub word: &'static str,
    /// The word after a number above one.
    pub many: &'static str,
    pub dimension: Dimension,
    /// What a share is a share of; counts and everything else leave it empty.
    pub share_of: Option<ShareOf>,
    /// The systems it belongs to; none for units that every system uses.
    pub systems: &'static [System],
    /// Base units in one unit.
    pub factor: Exact,
    /// Other names. Case, spaces, full stops, hyphens, `°`, `^` and a plural `s` are forgiven and need no entry.
    pub aliases: &'static [&'static str],
}

const US: &[System] = &[System::Us];
const IMPERIAL: &[System] = &[System::Imperial];
const METRIC: &[System] = &[System::Metric];
const FEET_AND_POUNDS: &[System] = &[System::Us, System::Imperial];
const EVERYWHERE: &[System] = &[];

/// 231 cubic inches of 16.387064 mL, as nL.
const GALLON_NL: i128 = 231 * 16_387_064;
/// 4.54609 L, in units of 10 µL.
const IMPERIAL_GALLON: i128 = 454_609;
/// 33.6003125 cubic inches of 16.387064 mL, in units of 10^-13 mL.
const DRY_PINT: i128 = 336_003_125 * 16_387_064;
/// In units of 10 µg.
const POUND: i128 = 45_359_237;
/// In units of 10^-8 m².
const SQ_FOOT: i128 = 3048 * 3048;

const fn row(
    word: &'static str,
    dimension: Dimension,
    systems: &'static [System],
    factor: (i128, i128),
    aliases: &'static [&'static str],
) -> Row {
    let factor = Exact::constant(factor.0, factor.1);
    Row { word, many: word, dimension, share_of: None, systems, factor, aliases }
}

const fn many(many: &'static str, row: Row) -> Row {
    Row { many, ..row }
}

const fn share(word: &'static str, share_of: ShareOf, factor: (i128, i128), aliases: &'static [&'static str]) -> Row {
    Row { share_of: Some(share_of), ..row(word, Dimension::Share, EVERYWHERE, factor, aliases) }
}

#[rustfmt::skip]
pub(super) static TABLE: &[Row] = &[
    // Volume, mL
    row("gal", Dimension::Volume, US, (GALLON_NL, 1_000_000), &["gallon", "US gal", "US gallon"]),
    row("qt", Dimension::Volume, US, (GALLON_NL, 4_000_000), &["quart", "US qt", "liquid quart"]),
    row("pt", Dimension::Volume, US, (GALLON_NL, 8_000_000), &["pint", "US pt", "liquid pint"]),
    many("cups", row("cup", Dimension::Volume, US, (GALLON_NL, 16_000_000), &["US cup"])),
    row("fl oz", Dimension::Volume, US, (GALLON_NL, 128_000_000),
        &["fluid ounce", "fluid oz", "fl ounce", "oz fl", "liquid ounce", "liquid oz", "US fl oz"]),
    row("tbsp", Dimension::Volume, US, (GALLON_NL, 256_000_000), &["tablespoon", "tbs", "tblsp"]),
    row("tsp", Dimension::Volume, US, (GALLON_NL, 768_000_000), &["teaspoon"]),
    row("dry pt", Dimension::Volume, US, (DRY_PINT, 10_i128.pow(13)), &["dry pint"]),
    row("dry qt", Dimension::Volume, US, (DRY_PINT * 2, 10_i128.pow(13)), &["dry quart"]),
    many("pecks", row("peck", Dimension::Volume, US, (DRY_PINT * 16, 10_i128.pow(13)), &[])),
    many("bushels", row("bushel", Dimension::Volume, US, (DRY_PINT * 64, 10_i128.pow(13)), &["bu"])),
    row("imp gal", Dimension::Volume, IMPERIAL, (IMPERIAL_GALLON, 100), &["imperial gallon", "imperial gal", "imp gallon", "UK gal", "UK gallon"]),
    row("imp qt", Dimension::Volume, IMPERIAL, (IMPERIAL_GALLON, 400), &["imperial quart", "imp quart", "UK qt"]),
    row("imp pt", Dimension::Volume, IMPERIAL, (IMPERIAL_GALLON, 800), &["imperial pint", "imp pint", "UK pt", "UK pint"]),
    row("imp fl oz", Dimension::Volume, IMPERIAL, (IMPERIAL_GALLON, 16_000), &["imperial fluid ounce", "imp fluid ounce", "UK fl oz"]),
    row("mL", Dimension::Volume, METRIC, (1, 1), &["millilitre", "milliliter", "cc", "cm3"]),
    row("dL", Dimension::Volume, METRIC, (100, 1), &["decilitre", "deciliter"]),
    row("L", Dimension::Volume, METRIC, (1000, 1), &["litre", "liter", "ltr"]),
    row("hL", Dimension::Volume, METRIC, (100_000, 1), &["hectolitre", "hectoliter"]),
    row("m3", Dimension::Volume, METRIC, (1_000_000, 1), &["cubic metre", "cubic meter", "cu m"]),
    row("cu ft", Dimension::Volume, FEET_AND_POUNDS, (3048 * 3048 * 3048, 1_000_000), &["ft3", "cubic foot", "cubic feet", "cu feet", "cu foot"]),
    row("metric cup", Dimension::Volume, METRIC, (250, 1), &[]),
    row("metric tbsp", Dimension::Volume, METRIC, (15, 1), &["metric tablespoon"]),
    row("metric tsp", Dimension::Volume, METRIC, (5, 1), &["metric teaspoon"]),
    // Weight, g
    row("oz wt", Dimension::Mass, FEET_AND_POUNDS, (POUND, 1_600_000),
        &["oz av", "oz avdp", "oz weight", "oz by weight", "wt oz", "ounce wt", "ounces wt", "ounce weight", "ounces weight", "weight ounce", "avoirdupois ounce"]),
    row("lb", Dimension::Mass, FEET_AND_POUNDS, (POUND, 100_000), &["pound"]),
    many("tons", row("ton", Dimension::Mass, US, (POUND * 2000, 100_000), &["short ton", "US ton"])),
    many("long tons", row("long ton", Dimension::Mass, IMPERIAL, (POUND * 2240, 100_000), &["imperial ton", "UK ton"])),
    row("mg", Dimension::Mass, METRIC, (1, 1000), &["milligram", "milligramme"]),
    row("g", Dimension::Mass, METRIC, (1, 1), &["gram", "gramme", "gm"]),
    row("kg", Dimension::Mass, METRIC, (1000, 1), &["kilogram", "kilogramme", "kilo"]),
    many("tonnes", row("tonne", Dimension::Mass, METRIC, (1_000_000, 1), &["metric ton"])),
    // A weight or a volume: no size until the form is known.
    row("oz", Dimension::Ounce, US, (1, 1), &["ounce"]),
    // Area, m²
    row("acre", Dimension::Area, FEET_AND_POUNDS, (SQ_FOOT * 43_560, 100_000_000), &["ac"]),
    row("sq ft", Dimension::Area, FEET_AND_POUNDS, (SQ_FOOT, 100_000_000), &["ft2", "square foot", "square feet", "sq feet", "sq foot"]),
    row("sq yd", Dimension::Area, FEET_AND_POUNDS, (SQ_FOOT * 9, 100_000_000), &["yd2", "square yard", "sq yard"]),
    row("ha", Dimension::Area, METRIC, (10_000, 1), &["hectare"]),
    row("m2", Dimension::Area, METRIC, (1, 1), &["sq m", "square metre", "square meter", "sq metre", "sq meter"]),
    // Length, m
    row("in", Dimension::Length, FEET_AND_POUNDS, (254, 10_000), &["inch", "inches"]),
    row("ft", Dimension::Length, FEET_AND_POUNDS, (3048, 10_000), &["foot", "feet"]),
    row("yd", Dimension::Length, FEET_AND_POUNDS, (9144, 10_000), &["yard"]),
    many("miles", row("mile", Dimension::Length, FEET_AND_POUNDS, (1_609_344, 1000), &["mi"])),
    row("um", Dimension::Length, METRIC, (1, 1_000_000), &["micron", "micrometre", "micrometer"]),
    row("mm", Dimension::Length, METRIC, (1, 1000), &["millimetre", "millimeter"]),
    row("cm", Dimension::Length, METRIC, (1, 100), &["centimetre", "centimeter"]),
    row("m", Dimension::Length, METRIC, (1, 1), &["metre", "meter"]),
    row("km", Dimension::Length, METRIC, (1000, 1), &["kilometre", "kilometer"]),
    // Time, s
    row("s", Dimension::Time, EVERYWHERE, (1, 1), &["sec", "second"]),
    row("min", Dimension::Time, EVERYWHERE, (60, 1), &["minute"]),
    row("h", Dimension::Time, EVERYWHERE, (3600, 1), &["hr", "hour"]),
    many("days", row("day", Dimension::Time, EVERYWHERE, (86_400, 1), &["d"])),
    many("weeks", row("week", Dimension::Time, EVERYWHERE, (604_800, 1), &["wk"])),
    // Temperature, K in one degree; the zero points are in `amount`.
    row("F", Dimension::Temperature, US, (5, 9), &["deg F", "degree F", "degrees F", "fahrenheit", "degree fahrenheit", "degrees fahrenheit"]),
    row("C", Dimension::Temperature, METRIC, (1, 1), &["deg C", "degree C", "degrees C", "celsius", "degree celsius", "degrees celsius", "centigrade"]),
    // Pressure, kPa: a pound-force (pound × 9.80665 m/s²) on a square inch (0.0254 m)²
    row("psi", Dimension::Pressure, FEET_AND_POUNDS, (POUND * 980_665, 254 * 254 * 10_i128.pow(8)), &["lb/in2", "lbf/in2", "lb/sq in", "pounds per square inch"]),
    row("bar", Dimension::Pressure, METRIC, (100, 1), &[]),
    row("mbar", Dimension::Pressure, METRIC, (1, 10), &["millibar"]),
    row("hPa", Dimension::Pressure, METRIC, (1, 10), &["hectopascal"]),
    row("kPa", Dimension::Pressure, METRIC, (1, 1), &["kilopascal"]),
    row("MPa", Dimension::Pressure, METRIC, (1000, 1), &["megapascal"]),
    // Speed, m/s
    row("mph", Dimension::Speed, FEET_AND_POUNDS, (44_704, 100_000), &["mi/h", "mi/hr", "mile/h", "mile/hr", "mile/hour", "miles/hour", "mile per hour", "miles per hour"]),
    row("ft/min", Dimension::Speed, FEET_AND_POUNDS, (3048, 600_000), &["fpm", "feet per minute"]),
    row("ft/s", Dimension::Speed, FEET_AND_POUNDS, (3048, 10_000), &["fps", "ft/sec", "feet per second"]),
    row("km/h", Dimension::Speed, METRIC, (1000, 3600), &["kmh", "kph", "kmph", "km/hr", "km/hour", "km per hour", "kilometres per hour", "kilometers per hour"]),
    row("m/s", Dimension::Speed, METRIC, (1, 1), &["m/sec", "metres per second", "meters per second"]),
    row("kn", Dimension::Speed, EVERYWHERE, (1852, 3600), &["knot", "kt"]),
    // Shares, of one
    share("%", ShareOf::Parts, (1, 100), &["percent", "pct"]),
    share("% v/v", ShareOf::Volume, (1, 100), &["percent v/v", "% by volume", "percent by volume", "v/v %"]),
    share("% w/v", ShareOf::WeightInVolume, (1, 100), &["percent w/v", "% m/v", "w/v %"]),
    share("% w/w", ShareOf::Weight, (1, 100), &["percent w/w", "% m/m", "% by weight", "percent by weight", "w/w %"]),
    share("ppm", ShareOf::WeightInVolume, (1, 1_000_000), &["ppm w/v", "part per million", "parts per million"]),
    share("mg/L", ShareOf::WeightInVolume, (1, 1_000_000), &["mg per L"]),
    // A grain is a pound / 7000, here per US gallon: pound × 10^-5 / 7000 g in gallon × 10^-6 mL.
    share("gpg", ShareOf::WeightInVolume, (POUND * 10, 7000 * GALLON_NL), &["grain/gal", "grains/gal", "grains per gallon", "grain per gallon"]),
    // Acidity
    row("pH", Dimension::Acidity, EVERYWHERE, (1, 1), &[]),
    // Counts
    many("trees", row("tree", Dimension::Count, EVERYWHERE, (1, 1), &[])),
    many("sprays", row("spray", Dimension::Count, EVERYWHERE, (1, 1), &["application"])),
    row("each", Dimension::Count, EVERYWHERE, (1, 1), &["ea"]),
];
